"""Every chart that can be taken home as a file: where it lies, and how it is drawn.

A chart has its two files from a kite's first day, so that a picture that somebody linked to is never gone; where there
is nothing to draw yet, they say so. Only the names are at hand here: charts are imported when one is drawn.
"""

from __future__ import annotations

import hashlib
import re
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from bowbook.charts.names import pair_name
from bowbook.charts.svg import identifier
from bowbook.charts.takeaway import TakenHome, nothing_yet, png_file, svg_file, taken_home
from bowbook.findings.results import BookFindings
from bowbook.pages.links import batch_address, pair_address

if TYPE_CHECKING:
    from bowbook.charts.sheet import Drawing
    from bowbook.charts.style import Style

Group = Literal["kite", "flyer", "book", "pair", "batch"]
KITE, FLYER, BOOK, PAIR, BATCH = (
    ("bench", "bow", "wind"),
    ("zone", "loading", "marks", "marks-loading", "marks-skin"),
    ("halves", "skin", "balance"),
    ("sails", "bows", "winds"),
    ("batch",),
)
LONGEST = 120  # characters of a file's name: a flyer's name may be long, and not every disk takes long ones
ENDINGS = (".svg", ".png")


class ChartTaken(Struct, frozen=True):
    """One chart to take home: whose chart it is (a kite's, a flyer's, some kites', a batch's, the book's), its name.

    `about` are the keys or the names of those that it is about.
    """

    group: Group
    about: tuple[str, ...]
    name: str

    @property
    def stem(self) -> str:
        """The address of its files without their ending."""
        if self.group == "kite":
            return f"kites/{self.about[0]}/chart-{self.name}"
        return _stem(self.name, pair_name(self.about) if self.group == "pair" else "".join(self.about))

    @property
    def page(self) -> str:
        """The address of the page that it belongs to."""
        if self.group == "kite":
            return f"kites/{self.about[0]}/index.html"
        if self.group == "pair":
            return pair_address(self.about)
        return batch_address(self.about[0]) if self.group == "batch" else "compare.html"

    def draw(self, book: BookFindings) -> Drawing | None:
        """The chart; None where there is nothing to draw yet."""
        if self.group == "kite":
            return _kite(self.name, self.about[0], book)
        if self.group == "flyer":
            return _flyer(self.name, self.about[0], book)
        if self.group == "pair":
            return _pair(self.name, self.about, book)
        return _batch(self.about[0], book) if self.group == "batch" else _book(self.name, book)


class ChartSource(Struct, frozen=True):
    """What a chart taken home says of where it is from."""

    title: str
    address: str | None


def chart_taken(chart: ChartTaken, book: BookFindings, source: ChartSource, style: Style) -> TakenHome:
    """What is on a chart's files; `book` need only have the kites and the flyer that the chart shows."""
    site = f"{source.address.rstrip('/')}/" if source.address else ""
    return taken_home(chart.draw(book) or nothing_yet(), f"{source.title} · {site}{chart.page}", style)


def chart_file(ending: str, style: Style, chart: TakenHome) -> bytes:
    """The file with this ending."""
    return (svg_file if ending == ".svg" else png_file)(chart, style)


def stem_of(drawing: Drawing) -> str:
    """Where the files of a drawing lie, without their endings."""
    if drawing.name in KITE:
        return f"kites/{drawing.about}/chart-{drawing.name}"
    return _stem(drawing.name, drawing.about)


def _stem(name: str, about: str) -> str:
    """Where a chart's files lie; no two charts' stems are the same, or differ in small and capital letters only.

    >>> _stem("zone", "Ansa"), _stem("zone", "ansa")
    ('charts/zone-Ansa', 'charts/zone-ansa-bcf2024a')
    """
    short = identifier(about)
    if len(short) > LONGEST:
        short = f"{short[: LONGEST - 17]}-{hashlib.sha256(short.encode()).hexdigest()[:16]}"
    if name in FLYER and not _needs_no_digest(name, short, about):
        short = f"{short}-{hashlib.sha256(about.encode()).hexdigest()[:8]}"
    return f"charts/{name}-{short}" if short else f"charts/{name}"


def _needs_no_digest(name: str, short: str, about: str) -> bool:
    """Whether no other flyer's chart can have this address without a digest, in whichever letters they are called.

    Of flyers that differ in capitals only, the one who is spelled as most are keeps it: two initials, or each word
    with a capital. Nor may it look like an address with a digest, or like one of another chart: that of the marks
    of "Loading Ansa" like that of the marks by loading of "Ansa".
    """
    as_most_are = about == (about.upper() if len(about) < 3 else about.title())
    like_a_digest = re.search(r"-[0-9a-f]{8}$", short)
    of_this_one = f"{name}-{short}".lower()
    like_another = any(of_this_one.startswith(f"{other}-") for other in FLYER if other.startswith(f"{name}-"))
    return as_most_are and not like_a_digest and not like_another


def _kite(name: str, key: str, book: BookFindings) -> Drawing | None:
    from bowbook.charts.bench import bench_chart
    from bowbook.charts.bow import bow_chart
    from bowbook.charts.comfort import comfort_chart

    return (bench_chart, bow_chart, comfort_chart)[KITE.index(name)](book.kites[key], book)


def _flyer(name: str, flyer: str, book: BookFindings) -> Drawing | None:
    from bowbook.charts.comfort import flyer_chart
    from bowbook.charts.loading import loading_chart
    from bowbook.charts.multiples import NAMES, marks_chart

    along = {name: along for along, name in NAMES.items()}
    if name in along:
        return marks_chart(book, flyer, along[name])
    return (flyer_chart, loading_chart)[FLYER.index(name)](book, flyer)


def _book(name: str, book: BookFindings) -> Drawing | None:
    from bowbook.charts.evening import balance_chart
    from bowbook.charts.halves import halves_chart
    from bowbook.charts.share import share_chart

    return (halves_chart, share_chart, balance_chart)[BOOK.index(name)](book)


def _pair(name: str, keys: tuple[str, ...], book: BookFindings) -> Drawing | None:
    from bowbook.charts.side_by_side import bows_beside, sails_beside
    from bowbook.charts.winds_beside import winds_beside

    kites = [book.kites[key] for key in keys]
    return (sails_beside, bows_beside, winds_beside)[PAIR.index(name)](kites, book)


def _batch(name: str, book: BookFindings) -> Drawing | None:
    from bowbook.charts.batch import batch_chart

    return batch_chart(name, book.batches[name], list(book.kites.values()), book)
