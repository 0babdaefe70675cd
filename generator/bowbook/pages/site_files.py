"""Every file of the site as a target: its address, what it is made from, and how it is made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from itertools import chain
from typing import get_args

from msgspec.structs import replace

from bowbook.book.records import Book
from bowbook.book.values import Given, Steps, bind, fingerprint, fingerprint_of
from bowbook.charts.sheet import DRAWN_BY, ChartPicture, svg_of
from bowbook.findings.compute import BookValues
from bowbook.format.json_schema import SchemaName
from bowbook.pages.atom import SitemapPage, as_atom, as_sitemap
from bowbook.pages.chrome import kite_address
from bowbook.pages.data_files import as_csv, book_as_json, book_figures, schema_text
from bowbook.pages.kite_plan import KITE_PRIORITY, SHEET_PRIORITY, KitePlan, chart_targets, sheet_address, sheet_step
from bowbook.pages.site_plan import SitePlan
from bowbook.pages.targets import PageSpec, Target
from bowbook.pages.theme import Theme
from bowbook.sheets.content import PrintedSheet

REST = ""
SCHEMAS: tuple[SchemaName, ...] = get_args(SchemaName)


class SiteFiles:
    """The files of a planned site: those of each kite, and all others."""

    def __init__(self, plan: SitePlan, values: BookValues, theme: Theme, steps: Steps) -> None:
        self._plan, self._values, self._theme, self._steps = plan, values, theme, steps

    def groups(self) -> dict[str, bytes]:
        """The groups of files: each kite's own by its key, with a fingerprint of everything they are made from, and the
        rest under `REST`, whose files are made from different things each.
        """
        book = fingerprint_of(self._plan.book)
        kites = {key: fingerprint(book + fingerprint_of(kite)) for key, kite in self._plan.kites.items()}
        return {REST: b"", **kites}

    def prepare(self, groups: Iterable[str]) -> None:
        """Run the steps that the files of several kites have in common, shared out where they are many."""
        kites = [self._plan.kites[key] for key in groups if key != REST]
        self._steps.run_all(PrintedSheet, [sheet_step(self._plan.book, kite, self._steps) for kite in kites])

    def of(self, group: str) -> list[Target]:
        """The files of a group, in a fixed order; the service worker and the site's own list are in none."""
        if group != REST:
            return list(KitePlan(self._plan.book, self._plan.kites[group], self._steps).targets(self._page))
        charts = (chart_targets(*chart, self._plan.book) for chart in self._plan.charts)
        return [*map(self._page, self._plan.pages), *chain.from_iterable(charts), *self._data(), *self._assets()]

    def _page(self, page: PageSpec) -> Target:
        beside = f"{self._plan.book.themes()} {page.address} {page.template}".encode() + page.chrome.fingerprint
        return Target("page", page.address, page.model, partial(_rendered, self._theme, self._steps, page), beside)

    def _data(self) -> Iterator[Target]:
        """The data files, the schemas and the feed; the sitemap where the site's address is known."""
        book, values = self._values.book, self._values
        gathered, listed, logs = self._steps.gathered, self._plan.listed.values(), self._plan.logs.values()
        flyers = {name: replace(who, flights=values.flights[name]) for name, who in values.flyers().items()}
        shared = Given(Book("", book.settings, book.rods, book.skins, strips=book.strips))
        figures = bind(book_figures, shared, Given(flyers), values.counted, values.batches)
        texts, rows = gathered(kite.json for kite in listed), gathered(kite.csv for kite in listed)
        yield Target("data", "data/kites.json", bind(book_as_json, figures, texts), str.encode)
        yield Target("data", "data/kites.csv", bind(as_csv, rows), str.encode)
        feed = bind(as_atom, Given(book.settings), gathered(log.feed for log in logs))
        yield Target("data", "feed.xml", feed, str.encode)
        for kind in SCHEMAS:
            yield Target("schema", f"data/schema/{kind}.json", bind(schema_text, Given(kind)), str.encode)
        if book.settings.address is not None:
            sitemap = bind(as_sitemap, Given(book.settings.address), Given(tuple(self._listed())))
            yield Target("data", "sitemap.xml", sitemap, str.encode)

    def _listed(self) -> Iterator[SitemapPage]:
        """Every page for the sitemap."""
        for page in self._plan.pages:
            yield SitemapPage(page.address, page.priority)
        for key in self._plan.kites:
            yield SitemapPage(kite_address(key), KITE_PRIORITY)
            yield SitemapPage(sheet_address(key), SHEET_PRIORITY)

    def _assets(self) -> Iterator[Target]:
        """The theme's own files; they are at hand, so their bytes stand for themselves."""
        for address, data in self._theme.assets(self._values.book.settings.accent):
            yield Target("asset", address, Given(data), bytes)


def _rendered(theme: Theme, steps: Steps, page: PageSpec, model: object) -> bytes:
    """A page's bytes; of its charts those are drawn that never were."""

    def drawn(chart: ChartPicture) -> str:
        return steps.run(str, bind(svg_of, Given(chart)))()

    before = DRAWN_BY.set(drawn)
    try:
        return theme.render(page, model)
    finally:
        DRAWN_BY.reset(before)
