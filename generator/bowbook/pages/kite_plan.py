"""One kite's own files: its page, its sheet, its charts to take home, its photos, and what each is made from.

They are made from nothing but a `BookParts` and a `KiteParts`: where the fingerprints of these are as they were, so is
every one of the files, and none of them need be looked at.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book, Kite, Settings
from bowbook.book.values import Bound, Gathered, Given, Steps, Value, bind
from bowbook.charts.style import Style
from bowbook.charts.takeaway import TakenHome
from bowbook.findings.compute import Flyers, Winds, finished
from bowbook.findings.pooled import with_scatter
from bowbook.findings.readings import Precision
from bowbook.findings.results import BookFindings, Findings, LearntStrokes
from bowbook.pages.chart_figure import ComfortPart
from bowbook.pages.chrome import Chrome, kite_address
from bowbook.pages.kite_files import card_file, card_words, drawn_sheet, on_card, printed_pdf, shared_settings, to_share
from bowbook.pages.kite_page import BowCharts, Surroundings, bow_charts, comfort_part, kite_page
from bowbook.pages.kite_row import KiteRow
from bowbook.pages.outline import Outline
from bowbook.pages.photos import Made, PhotoSizes, made_of, stems, views_of
from bowbook.pages.sheet_page import for_sheet, on_sheet, printed_sheet, sheet_page
from bowbook.pages.story_html import Links
from bowbook.pages.take_home import ENDINGS, KITE, ChartSource, ChartTaken, chart_file, chart_taken
from bowbook.pages.targets import PageSpec, Target
from bowbook.sheets.content import PrintedSheet


class BookParts(Struct, frozen=True):
    """What every kite's files are made from. `zones` has what a chart shows of each flyer, and last of none."""

    settings: Value[Settings]
    stock: Value[Book]
    chrome: Value[Chrome]
    shown: Value[BookFindings]
    records: Value[Flyers]
    zones: tuple[Value[BookFindings], ...]
    scatter: Value[Precision]
    style: Value[Style]
    themes: Value[str]


class KiteParts(Struct, frozen=True):
    """What one kite's files are made from besides: its record, its figures, its row, its photos, where links lead."""

    outline: Value[Outline]
    record: Value[Kite]
    alone: Value[Findings]
    winds: Value[Winds]
    learnt: Value[LearntStrokes]
    findings: Value[Findings]
    row: Value[KiteRow]
    links: Value[Links]
    photos: tuple[Value[PhotoSizes], ...]


class KitePlan:
    """The files of one kite."""

    def __init__(self, book: BookParts, kite: KiteParts, steps: Steps) -> None:
        self._book, self._kite, self._steps = book, kite, steps
        self._outline = kite.outline()
        self._facts = self._outline.facts
        self._sheet = steps.run(PrintedSheet, sheet_step(book, kite, steps))

    def targets(self, page: Callable[[PageSpec], Target]) -> Iterator[Target]:
        """Every file; `page` is how a page is made."""
        yield from self._photos()
        yield from map(page, self.pages())
        yield from self._files()
        yield from self._charts()

    def pages(self) -> tuple[PageSpec, PageSpec]:
        """The kite's own page and its sheet."""
        book, kite, steps = self._book, self._kite, self._steps
        bow = steps.later(BowCharts, bind(bow_charts, kite.alone, book.shown, book.style))
        comfort = steps.later(ComfortPart, bind(comfort_part, self._flown(), self._zone(), book.style))
        whole = bind(finished, kite.record, kite.alone, kite.winds, kite.learnt)
        records = book.records if kite.winds().wind.range is None else Given[Flyers]({})
        made = [steps.run(Made, bind(made_of, sizes)) for sizes in kite.photos]
        photos = bind(views_of, Given(self._outline.photos), Gathered(made))
        around = Given(self._surroundings())
        model = bind(kite_page, book.chrome, whole, kite.row, records, bow, comfort, photos, around)
        key = self._facts.key
        return (
            PageSpec(kite_address(key), "kite.html", book.chrome, model, KITE_PRIORITY),
            PageSpec(sheet_address(key), "sheet.html", book.chrome, bind(sheet_page, self._sheet), SHEET_PRIORITY),
        )

    def _surroundings(self) -> Surroundings:
        stock, facts = self._book.stock(), self._facts
        rod, skin = stock.rods.get(facts.bow_rod or ""), stock.skins.get(facts.skin or "")
        skins = {key: stock.skins[key] for key in facts.skins if key in stock.skins}
        return Surroundings(rod, skin, skins, self._kite.links(), self._book.style())

    def _photos(self) -> Iterator[Target]:
        """Every photo in each of its sizes."""
        for stem, sizes in zip(stems(self._outline.photos), self._kite.photos, strict=True):
            for end in self._steps.run(Made, bind(made_of, sizes))().files:
                address = f"kites/{self._facts.key}/{stem}-{end}"
                yield Target("photo", address, bind(_size, sizes, Given(end)), bytes)

    def _files(self) -> Iterator[Target]:
        """What stands beside the page: the printable sheet, the picture for previews, the file to build from."""
        settings, stock, facts = self._book.settings(), self._book.stock(), self._facts
        folder = f"kites/{facts.key}"
        sheet = bind(drawn_sheet, self._sheet, Given(settings.paper))
        yield Target("sheet", f"{folder}/sheet.pdf", sheet, printed_pdf)
        skins = {name: skin for name, skin in stock.skins.items() if name == facts.skin}
        look = Book("", Settings(title=settings.title, units=settings.units), skins=skins)
        card = bind(on_card, self._kite.findings, Given(BookFindings(look)), self._book.style)
        yield Target("card", f"{folder}/card.png", card, card_file, shown=card_words)
        rods = {name: rod for name, rod in stock.rods.items() if name in facts.rods}
        worn = {name: skin for name, skin in stock.skins.items() if name in facts.skins}
        told = Book("", shared_settings(settings), rods, worn)
        shared = bind(to_share, self._kite.record, Given(told))
        yield Target("kite file", f"{folder}/kite.md", shared, str.encode)

    def _charts(self) -> Iterator[Target]:
        """The charts to take home."""
        bow = bind(with_kite, self._book.shown, self._kite.alone)
        wind = bind(with_kite, self._zone(), self._flown())
        for name, book in zip(KITE, (bow, bow, wind), strict=True):
            yield from chart_targets(ChartTaken("kite", (self._facts.key,), name), book, self._book)

    def _flown(self) -> Value[Findings]:
        """The kite as far as its winds are drawn."""
        return bind(only_winds, Given(Kite(self._facts.key, self._facts.name)), self._kite.winds)

    def _zone(self) -> Value[BookFindings]:
        """What is shown of the book beside the records of the flyer whose chart stands on the kite's page."""
        flyers = self._book.records()
        named = [name for name in (self._kite.winds().wind.flyer, self._book.settings().flyer) if name in flyers]
        most = max(flyers.values(), key=lambda flyer: flyer.kites).name if flyers else None
        zones: Mapping[str | None, Value[BookFindings]] = dict(zip([*flyers, None], self._book.zones, strict=True))
        return zones[named[0] if named else most]


KITE_PRIORITY, SHEET_PRIORITY = 0.8, 0.5


def sheet_address(key: str) -> str:
    """The address of a kite's sheet."""
    return f"kites/{key}/sheet.html"


def sheet_step(book: BookParts, kite: KiteParts, steps: Steps) -> Bound[PrintedSheet]:
    """How a kite's sheet is made: from its figures and its whole record, and of the book what stands on a sheet."""
    facts, settings, stock = kite.outline().facts, book.settings(), book.stock()
    named = facts.bow_rod, facts.spine_rod
    rods = {key: rod for key, rod in stock.rods.items() if key in named}
    skins = {key: skin for key, skin in stock.skins.items() if key == facts.skin}
    plain = replace(settings, about=None, accent=None, theme="", flyer=None, compare=(), bands=())
    found = BookFindings(Book("", plain, rods, skins), bands=settings.bands)
    shown = bind(with_scatter, Given(found), book.scatter)
    record = steps.run(Kite, bind(for_sheet, kite.record))
    return bind(printed_sheet, bind(on_sheet, shown, record, kite.alone, kite.winds, kite.learnt), Given(facts.key))


def chart_targets(chart: ChartTaken, findings: Value[BookFindings], book: BookParts) -> Iterator[Target]:
    """The files of one chart to take home; `findings` need only have what it shows."""
    settings, style = book.settings(), book.style()
    source = Given(ChartSource(settings.title, settings.address))
    model: Value[TakenHome] = bind(chart_taken, Given(chart), findings, source, book.style)
    for ending in ENDINGS:
        render = partial(chart_file, ending, style)
        yield Target("chart", chart.stem + ending, model, render, book.style.fingerprint)


def with_kite(book: BookFindings, found: Findings) -> BookFindings:
    """The book with one kite more."""
    return replace(book, kites={**book.kites, found.kite.key: found})


def only_winds(kite: Kite, winds: Winds) -> Findings:
    """A kite of which only name and winds are known."""
    return Findings(kite, wind=winds.wind)


def _size(sizes: PhotoSizes, end: str) -> bytes:
    return sizes.files[end]
