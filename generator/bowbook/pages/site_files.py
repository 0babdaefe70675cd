"""Every file of the site as a target: its address, what it is made from, and how it is made.

A target is made in two steps: a model, such as what a page says, and the file's bytes from it. A target whose model is
made from the very same things need not be made; where only something that does not show has changed, its model comes
out the same, and the file that stands is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import Any, get_args

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book, Settings
from bowbook.book.values import Gathered, Given, Steps, Value, bind, encoded, fingerprint
from bowbook.charts.sheet import DRAWN_BY, ChartPicture, svg_of
from bowbook.findings.compute import BookValues
from bowbook.findings.results import BookFindings
from bowbook.format.json_schema import SchemaName
from bowbook.pages.atom import FeedEntry, SitemapPage, as_atom, as_sitemap, entries_of
from bowbook.pages.data_files import as_csv, book_as_json, book_figures, kite_as_csv, kite_as_json, schema_text
from bowbook.pages.kite_files import card_file, card_words, drawn_sheet, on_card, printed_pdf, shared_settings, to_share
from bowbook.pages.outline import ReadBook
from bowbook.pages.photos import Made, PhotoSizes, made_of, stems
from bowbook.pages.site_plan import PageSpec, SitePlan
from bowbook.pages.take_home import ENDINGS, chart_file
from bowbook.pages.theme import Theme

SCHEMAS: tuple[SchemaName, ...] = get_args(SchemaName)


class Target(Struct, frozen=True):
    """One file to make. `kind` names what it is for the progress line: targets of a kind need the same preparation.

    `shown` gives, of the model, what the file's bytes rest on; `beside` is what they rest on besides.
    """

    kind: str
    address: str
    model: Value[Any]
    render: Callable[[Any], bytes]
    beside: bytes = b""
    shown: Callable[[Any], object] | None = None

    @property
    def made_from(self) -> bytes:
        """A fingerprint of everything the file is made from."""
        return fingerprint(self.model.fingerprint + self.beside)

    def shows(self, model: object) -> bytes:
        """A fingerprint of what the file's bytes rest on."""
        return fingerprint(encoded(self.shown(model) if self.shown else model) + self.beside)


class BuildContext(Struct, frozen=True):
    """All that targets are made from; `themes` stands for the files of all themes."""

    root: Path
    read: ReadBook
    values: BookValues
    theme: Theme
    themes: str
    plan: SitePlan
    photos: Mapping[str, tuple[Value[PhotoSizes], ...]]
    steps: Steps


def targets(context: BuildContext) -> list[Target]:
    """Every file of the site but its service worker and its own list, in a fixed order."""
    return [
        *_photos(context),
        *_pages(context),
        *_kite_files(context),
        *_charts(context),
        *_data(context),
        *_assets(context),
    ]


def _pages(context: BuildContext) -> Iterator[Target]:
    for page in context.plan.pages:
        beside = f"{context.themes} {page.address} {page.template}".encode() + page.chrome.fingerprint
        yield Target("page", page.address, page.model, partial(_page, context, page), beside)


def _kite_files(context: BuildContext) -> Iterator[Target]:
    """What stands beside each kite's page: the printable sheet, the picture for previews, the file to build from."""
    book, style = context.read.book, Given(context.theme.style)
    for key, kite in context.values.kites.items():
        folder, facts, record = f"kites/{key}", kite.facts, context.read.records[key]
        sheet = bind(drawn_sheet, context.plan.sheets[key], Given(book.settings.paper))
        yield Target("sheet", f"{folder}/sheet.pdf", sheet, printed_pdf)
        skins = {name: skin for name, skin in book.skins.items() if name == facts.skin}
        look = Book("", Settings(title=book.settings.title, units=book.settings.units), skins=skins)
        card = bind(on_card, kite.findings, Given(BookFindings(look)), style)
        yield Target("card", f"{folder}/card.png", card, card_file, shown=card_words)
        rods = {name: rod for name, rod in book.rods.items() if name in facts.rods}
        worn = {name: skin for name, skin in book.skins.items() if name in facts.skins}
        told = Book("", shared_settings(book.settings), rods, worn)
        shared = bind(to_share, record, Given(told))
        yield Target("kite file", f"{folder}/kite.md", shared, str.encode)


def _charts(context: BuildContext) -> Iterator[Target]:
    """The charts to take home."""
    look = context.theme.style
    style = Given(look).fingerprint
    for stem, chart in context.plan.charts.items():
        for ending in ENDINGS:
            yield Target("chart", stem + ending, chart, partial(chart_file, ending, look), style)


def _data(context: BuildContext) -> Iterator[Target]:
    """The data files, the schemas and the feed; the sitemap where the site's address is known."""
    book, values, steps = context.read.book, context.values, context.steps
    settings, kites = Given(book.settings), values.kites.values()
    flyers = {name: replace(who, flights=values.flights[name]) for name, who in values.flyers().items()}
    shared = Given(Book("", book.settings, book.rods, book.skins, strips=book.strips))
    texts = Gathered([steps.later(str, bind(kite_as_json, kite.findings)) for kite in kites])
    figures = bind(book_figures, shared, Given(flyers), values.counted, values.batches)
    yield Target("data", "data/kites.json", bind(book_as_json, figures, texts), str.encode)
    rows = Gathered([steps.later(str, bind(kite_as_csv, kite.findings)) for kite in kites])
    yield Target("data", "data/kites.csv", bind(as_csv, rows), str.encode)
    units = Given(book.settings.units)
    entries = [steps.later(tuple[FeedEntry, ...], bind(entries_of, kite.record, units)) for kite in kites]
    yield Target("data", "feed.xml", bind(as_atom, settings, Gathered(entries)), str.encode)
    for kind in SCHEMAS:
        yield Target("schema", f"data/schema/{kind}.json", bind(schema_text, Given(kind)), str.encode)
    if book.settings.address is not None:
        listed = tuple(SitemapPage(page.address, page.priority) for page in context.plan.pages)
        sitemap = bind(as_sitemap, Given(book.settings.address), Given(listed))
        yield Target("data", "sitemap.xml", sitemap, str.encode)


def _assets(context: BuildContext) -> Iterator[Target]:
    """The theme's own files; they are at hand, so their bytes stand for themselves."""
    for address, data in context.theme.assets(context.read.book.settings.accent):
        yield Target("asset", address, Given(data), bytes)


def _photos(context: BuildContext) -> Iterator[Target]:
    """Every photo in each of its sizes."""
    for key, photos in context.photos.items():
        for stem, sizes in zip(stems(context.read.outlines[key].photos), photos, strict=True):
            for end in context.steps.run(Made, bind(made_of, sizes))().files:
                yield Target("photo", f"kites/{key}/{stem}-{end}", bind(_size, sizes, Given(end)), bytes)


def _page(context: BuildContext, page: PageSpec, model: object) -> bytes:
    """A page's bytes; of its charts those are drawn that never were."""

    def drawn(chart: ChartPicture) -> str:
        return context.steps.run(str, bind(svg_of, Given(chart)))()

    before = DRAWN_BY.set(drawn)
    try:
        return context.theme.render(page, model)
    finally:
        DRAWN_BY.reset(before)


def _size(sizes: PhotoSizes, end: str) -> bytes:
    return sizes.files[end]
