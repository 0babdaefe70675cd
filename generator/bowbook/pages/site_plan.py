"""Which pages a site has, where each stands, and what each is made from.

``plan(book, values, stories, style, steps)`` gives every HTML page of the site as a `PageSpec`, in a fixed order;
making the plan is cheap: it words nothing and draws nothing that was not asked for. A page's `model` is a function
with the exact values it is given, such as ``bind(band_page, chrome, band, rows)``: its fingerprint says what the page
is made from, and calling it gives the frozen record that the page's template shows. What a page is not given it cannot
show, and no change of it makes the page again.

Links in pages are relative and end in a file name. The one page that cannot know its depth is ``404.html``: it uses
the site's address where the book gives one.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book, Kite, Rod, Settings, Skin
from bowbook.book.values import Gathered, Given, Now, Steps, Value, bind
from bowbook.charts.style import Style
from bowbook.charts.takeaway import TakenHome
from bowbook.findings.compute import BookValues, Flyers, KiteValues, Winds, bench_settings, finished, without_notes
from bowbook.findings.pooled import with_scatter
from bowbook.findings.ratings import ratings_of
from bowbook.findings.readings import Precision
from bowbook.findings.results import BookFindings, Findings, KiteResult, WindFindings
from bowbook.findings.winds import air_density
from bowbook.pages.band_page import band_page
from bowbook.pages.batch_page import batch_page
from bowbook.pages.chart_figure import ComfortPart
from bowbook.pages.chrome import Chrome, chrome_of, kite_address
from bowbook.pages.compare_page import compare_page
from bowbook.pages.comparison_table import Compared, compared
from bowbook.pages.days_page import KiteDays, days_of_kite, days_page
from bowbook.pages.field_page import FlightCounts, field_page, flown_of
from bowbook.pages.flyers_page import flyer_part, flyers_page
from bowbook.pages.free_page import free_page
from bowbook.pages.home_page import Shelf, home_page, hung_kites, shelf_of
from bowbook.pages.how_page import how_page
from bowbook.pages.kite_page import BowCharts, Surroundings, bow_charts, comfort_part, kite_page
from bowbook.pages.kite_row import KiteRow, row_of
from bowbook.pages.links import batch_address, linked, pair_address
from bowbook.pages.not_found import not_found
from bowbook.pages.pair_page import pair_page
from bowbook.pages.photo_view import PhotoView
from bowbook.pages.sheet_page import for_sheet, on_sheet, printed_sheet, sheet_page
from bowbook.pages.sky import Layout, SkyKites, layout_of
from bowbook.pages.stock_page import stock_page
from bowbook.pages.story_html import Links
from bowbook.pages.take_home import BATCH, BOOK, FLYER, KITE, PAIR, ChartSource, ChartTaken, Group, chart_taken
from bowbook.sheets.content import PrintedSheet


class PageSpec(Struct, frozen=True):
    """One page: its address, its template, what it is made from and the chrome around it."""

    address: str
    template: str
    chrome: Value[Chrome]
    model: Value[object]
    priority: float = 0.5  # for the sitemap


class Told(Struct, frozen=True):
    """What a kite's page tells beside its figures: its whole record, its photos, and where its story's links lead."""

    kite: Value[Kite]
    photos: Value[tuple[PhotoView, ...]]
    links: Links


class SitePlan(Struct, frozen=True):
    """Every page of a site, home first, every chart to take home by its files' address without the ending, and what
    shows on every kite's sheet by the kite's key.
    """

    pages: tuple[PageSpec, ...]
    charts: Mapping[str, Value[TakenHome]]
    sheets: Mapping[str, Value[PrintedSheet]]


def plan(book: Book, values: BookValues, told: Mapping[str, Told], style: Style, steps: Steps) -> SitePlan:
    """The plan of a site. Of `book`, settings, stock and free pages are looked at; `told` is by key."""
    made = _Plan(book, values, told, style, steps)
    return SitePlan(made.pages(), made.charts(), made.sheets)


class _Plan:
    """The values that several pages are given."""

    def __init__(self, book: Book, values: BookValues, told: Mapping[str, Told], style: Style, steps: Steps) -> None:
        self.book, self.values, self.told, self.steps = without_notes(book), values, told, steps
        self.style = Given(style)
        self.chrome = Given(chrome_of(book))
        self.units = Given(book.settings.units)
        self.flyers = values.flyers()
        self.names = {key: kite.facts.name for key, kite in values.kites.items()}
        settings = replace(chart_settings(book.settings), bands=book.settings.bands)
        self.shown = bind(book_shown, Given(Book("", settings)), values.scatter)
        flyers = Given(tuple(self.flyers))
        kites = values.kites.values()
        rows = [bind(row_of, kite.findings, self.units, self._skin(kite), self._rod(kite), flyers) for kite in kites]
        self.rows = dict(zip(values.kites, steps.run_all(KiteRow, rows), strict=True))
        records = {name: replace(flyer, points=()) for name, flyer in self.flyers.items()}
        self.records, self.nobody = Given(records), Given[Flyers]({})
        self.by_flyer: dict[str | None, Value[BookFindings]] = {}
        steps_compared = [bind(compared, kite.findings, self.shown, bind(ratings_of, kite.record)) for kite in kites]
        self.compared_of = dict(zip(values.kites, steps.run_all(Compared, steps_compared), strict=True))
        self.compared = Gathered(self.compared_of.values())
        printed = [
            bind(printed_sheet, sheet_book(self.book, kite, told[key].kite, values.scatter, steps), Given(key))
            for key, kite in values.kites.items()
        ]
        self.sheets = dict(zip(values.kites, steps.run_all(PrintedSheet, printed), strict=True))

    def pages(self) -> tuple[PageSpec, ...]:
        """Every page, home first."""
        bands, rows = self.book.settings.bands, Gathered(self.rows.values())
        home = self._home(rows)
        how = bind(how_book, Given(self.book.settings), self.values.counted)
        strips = Given(tuple(self.book.strips.values()))
        stock = bind(stock_page, self.chrome, Given(self.names), self.values.rods, self.values.skins, strips)
        return (
            self._page("index.html", "home.html", home, 1.0),
            *(
                self._page(f"bands/{band.key}.html", "band.html", bind(band_page, self.chrome, Given(band), rows), 0.7)
                for band in bands
            ),
            *(page for key, kite in self.values.kites.items() for page in self._kite(key, kite)),
            self._page("compare.html", "compare.html", self._comparison(), 0.7),
            *self._side_by_side(),
            *self._batches(),
            self._page("stock.html", "stock.html", stock),
            self._page("flyers.html", "flyers.html", self._flyers()),
            self._page("field.html", "field.html", self._field(rows), 0.7),
            self._page("days.html", "days.html", self._days(), 0.6),
            self._page("how.html", "how.html", bind(how_page, self.chrome, how)),
            *self._free_pages(),
            self._page("404.html", "404.html", bind(not_found), 0.0),
        )

    def _home(self, rows: Value[tuple[KiteRow, ...]]) -> Value[object]:
        """The wind shelf."""
        given = self.chrome, Given(self.book.settings.bands), Given(tuple(self.flyers))
        shelf = Now().run(Shelf, bind(shelf_of, *given, rows))  # once for both
        hung = self.steps.run(SkyKites, bind(hung_kites, shelf, given[2]))
        layout = self.steps.later(Layout, bind(layout_of, hung))
        return bind(home_page, *given, shelf, hung, layout)

    def _page(self, address: str, template: str, model: Value[object], priority: float = 0.5) -> PageSpec:
        return PageSpec(address, template, self.chrome, model, priority)

    def _kite(self, key: str, kite: KiteValues) -> list[PageSpec]:
        """A kite's own page and its sheet."""
        told, address = self.told[key], kite_address(key)
        bare = bind(bare_findings, kite.result)
        charts = self.steps.later(BowCharts, bind(bow_charts, bare, self.shown, self.style))
        comfort = self.steps.later(
            ComfortPart, bind(comfort_part, self._flown(kite), self._shown_for(kite), self.style)
        )
        whole = bind(finished, told.kite, kite.result, kite.winds, kite.learnt)
        records = self.records if kite.winds().wind.range is None else self.nobody
        rod, skin = self.book.rods.get(kite.facts.bow_rod or ""), self.book.skins.get(kite.facts.skin or "")
        skins = {key: self.book.skins[key] for key in kite.facts.skins if key in self.book.skins}
        page = bind(
            kite_page,
            self.chrome,
            whole,
            self.rows[key],
            records,
            charts,
            comfort,
            told.photos,
            Given(Surroundings(rod, skin, skins, told.links, self.style())),
        )
        return [
            self._page(address, "kite.html", page, 0.8),
            self._page(f"kites/{key}/sheet.html", "sheet.html", bind(sheet_page, self.sheets[key])),
        ]

    def _field(self, rows: Value[tuple[KiteRow, ...]]) -> Value[object]:
        """The page for the field."""
        flown = self.steps.run_all(FlightCounts, [bind(flown_of, kite.record) for kite in self.values.kites.values()])
        height, flyers = Given(self.book.settings.height_m), Given(tuple(self.flyers))
        return bind(field_page, self.chrome, height, flyers, rows, Gathered(flown))

    def _days(self) -> Value[object]:
        """The page of what was built and flown, day by day."""
        steps = []
        for kite in self.values.kites.values():
            flex = kite.summary().flex_m_s
            steps.append(bind(days_of_kite, kite.record, Given(flex.value if flex else None)))
        days = Gathered(self.steps.run_all(KiteDays, steps))
        settings = Given(replace(bench_settings(self.book.settings), flyer=None))
        return bind(days_page, self.chrome, settings, Given(tuple(self.flyers)), days)

    def _skin(self, kite: KiteValues) -> Value[Mapping[str, Skin]]:
        skin = self.book.skins.get(kite.facts.skin or "")
        return Given({} if skin is None else {skin.key: skin})

    def _rod(self, kite: KiteValues) -> Value[Mapping[str, Rod]]:
        rod = self.book.rods.get(kite.facts.bow_rod or "")
        return Given({} if rod is None else {rod.key: rod})

    def _flown(self, kite: KiteValues) -> Value[Findings]:
        """A kite as far as its winds are drawn."""
        return bind(only_winds, Given(Kite(kite.facts.key, kite.facts.name)), kite.winds)

    def _shown_for(self, kite: KiteValues) -> Value[BookFindings]:
        """What is shown of the book beside the records of the flyer whose chart stands on the kite's page."""
        named = [name for name in (kite.winds().wind.flyer, self.book.settings.flyer) if name in self.flyers]
        most = max(self.flyers.values(), key=lambda flyer: flyer.kites).name if self.flyers else None
        flyer = named[0] if named else most
        return self._with_points(flyer)

    def _with_points(self, name: str | None) -> Value[BookFindings]:
        """What is shown of the book beside a flyer's records; of the kites in these, name and flex wind."""
        if name in self.by_flyer:
            return self.by_flyer[name]
        flyers = {} if name is None else {name: self.flyers[name]}
        kites = {
            point.kite: Findings(
                Kite(point.kite, self.names[point.kite]),
                wind=WindFindings(self.values.kites[point.kite].summary().flex_m_s),
            )
            for flyer in flyers.values()
            for point in flyer.points
        }
        kites = {key: kites[key] for key in self.names if key in kites}
        found = BookFindings(Book("", chart_settings(self.book.settings)), kites, flyers)
        self.by_flyer[name] = bind(with_scatter, Given(found), self.values.scatter)
        return self.by_flyer[name]

    def _flyers(self) -> Value[object]:
        """The page of every flyer's records, and of how many flights they have logged."""
        counts = self.values.flights
        counted = Given({name: replace(flyer, flights=counts[name]) for name, flyer in self.flyers.items()})
        charts = [
            self.steps.later(
                ComfortPart, bind(flyer_part, Given(name), self._with_points(name), self.records, self.style)
            )
            for name in self.flyers
        ]
        return bind(flyers_page, self.chrome, counted, Gathered(charts))

    def charts(self) -> dict[str, Value[TakenHome]]:
        """The charts to take home: every kite's, and those that hold kites against each other."""
        found: dict[str, Value[TakenHome]] = {}
        source = Given(ChartSource(self.book.settings.title, self.book.settings.address))

        def add(
            group: Group,
            about: tuple[str, ...],
            name: str,
            book: Value[BookFindings],
        ) -> None:
            chart = ChartTaken(group, about, name)
            found[chart.take.stem] = bind(chart_taken, Given(chart), book, source, self.style)

        for key, kite in self.values.kites.items():
            bow = bind(with_kite, self.shown, bind(bare_findings, kite.result))
            for name in KITE[:2]:
                add("kite", (key,), name, bow)
            add("kite", (key,), KITE[2], bind(with_kite, self._shown_for(kite), self._flown(kite)))
        everyone = bind(with_kites, self._compared_book(), self.compared)
        for flyer in self.flyers:
            for name in FLYER:
                add("flyer", (flyer,), name, everyone)
        for name in BOOK:
            add("book", (), name, everyone)
        for batch, made in self.values.batches().items():
            few = Gathered(self.compared_of[key] for key in made.kites)
            add("batch", (batch,), BATCH[0], bind(with_kites, self._compared_book(), few))
        for keys in self._pairs():
            book = bind(with_found, self._pair_book(keys), Gathered(self.values.kites[key].findings for key in keys))
            for name in PAIR:
                add("pair", keys, name, book)
        return found

    def _comparison(self) -> Value[object]:
        """The page of every kite against the others."""
        return bind(compare_page, self.chrome, self._compared_book(), self.compared, self.style)

    def _compared_book(self) -> Value[BookFindings]:
        """What the charts of every kite rest on beside the kites."""
        settings = replace(chart_settings(self.book.settings), compare=self.book.settings.compare)
        colours = {key: Skin(key, colours=skin.colours) for key, skin in self.book.skins.items()}
        book = Book("", settings, {}, colours)
        found = BookFindings(book, flyers=self.flyers, batches=self.values.batches())
        return bind(with_scatter, Given(found), self.values.scatter)

    def _side_by_side(self) -> list[PageSpec]:
        """The pages of pairs (and threes, and fours) that the book asks for by name."""
        pages = []
        for keys in self._pairs():
            kites = Gathered(self.values.kites[key].findings for key in keys)
            model = bind(pair_page, self.chrome, self._pair_book(keys), kites, self.style)
            pages.append(self._page(pair_address(keys), "pair.html", model))
        return pages

    def _batches(self) -> list[PageSpec]:
        """The pages of kites that were built together."""
        pages = []
        for name, batch in self.values.batches().items():
            compared, rows = (
                Gathered(self.compared_of[k] for k in batch.kites),
                Gathered(self.rows[k] for k in batch.kites),
            )
            given = (self.chrome, Given(name), Given(batch), self.shown)
            pages.append(
                self._page(batch_address(name), "batch.html", bind(batch_page, *given, compared, rows, self.style), 0.6)
            )
        return pages

    def _pairs(self) -> list[tuple[str, ...]]:
        """The keys of the kites that stand side by side, where all of them are known."""
        return [keys for keys in self.book.settings.compare if all(key in self.values.kites for key in keys)]

    def _pair_book(self, keys: tuple[str, ...]) -> Value[BookFindings]:
        """What is shown of the book beside a few kites."""
        worn = {self.values.kites[key].facts.skin for key in keys}
        skins = {key: skin for key, skin in self.book.skins.items() if key in worn}
        records = {name: replace(flyer, points=()) for name, flyer in self.flyers.items()}
        found = BookFindings(Book("", chart_settings(self.book.settings), {}, skins), flyers=records)
        return bind(with_scatter, Given(found), self.values.scatter)

    def _free_pages(self) -> list[PageSpec]:
        """The maker's own pages."""
        pages = []
        for page in self.book.pages.values():
            links = Given(links_of(linked(page.story, page.file), self.names, self.book.pages))
            model = bind(free_page, self.chrome, Given(page), links)
            pages.append(self._page(f"pages/{page.key}.html", "page.html", model))
        return pages


def links_of(named: tuple[str, ...], kites: Mapping[str, object], pages: Mapping[str, object]) -> Links:
    """Which of the kites and pages a story's links mean are there."""
    wanted = [name.partition("/") for name in named]
    return Links(
        tuple(key for room, _, key in wanted if room == "kites" and key in kites),
        tuple(key for room, _, key in wanted if room == "pages" and key in pages),
    )


def chart_settings(settings: Settings) -> Settings:
    """The settings that charts and rows of figures show; all others as they are by default."""
    return Settings(units=settings.units, tolerance=settings.tolerance, ruler_m=settings.ruler_m, flyer=settings.flyer)


def book_shown(book: Book, scatter: Precision) -> BookFindings:
    """What is shown of a book beside one kite: settings, bands, and how sure a reading is."""
    return with_scatter(BookFindings(book, bands=book.settings.bands), scatter)


def how_book(settings: Settings, scatter: Precision) -> BookFindings:
    """What the page of formulas shows of a book."""
    found = BookFindings(Book("", settings), bands=settings.bands, air_kg_m3=air_density(settings))
    return with_scatter(found, scatter)


def with_kite(book: BookFindings, found: Findings) -> BookFindings:
    """The book with one kite more."""
    return replace(book, kites={**book.kites, found.kite.key: found})


def with_kites(book: BookFindings, kites: tuple[Compared, ...]) -> BookFindings:
    """The book with every kite as far as kites are held against each other."""
    return replace(book, kites={one.findings.kite.key: one.findings for one in kites})


def with_found(book: BookFindings, kites: tuple[Findings, ...]) -> BookFindings:
    """The book with these kites."""
    return replace(book, kites={found.kite.key: found for found in kites})


def bare_findings(result: KiteResult) -> Findings:
    """A kite's findings as they were computed, with no words and no flights but the best."""
    return result.findings


def only_winds(kite: Kite, winds: Winds) -> Findings:
    """A kite of which only name and winds are known."""
    return Findings(kite, wind=winds.wind)


def sheet_book(
    book: Book, kite: KiteValues, whole: Value[Kite], scatter: Value[Precision], steps: Steps
) -> Value[BookFindings]:
    """What a kite's sheet is made from: its figures and its whole record, and of the book what stands on a sheet."""
    named = kite.facts.bow_rod, kite.facts.spine_rod
    rods = {key: rod for key, rod in book.rods.items() if key in named}
    skins = {key: skin for key, skin in book.skins.items() if key == kite.facts.skin}
    settings = replace(book.settings, about=None, accent=None, theme="", flyer=None, compare=(), bands=())
    found = BookFindings(Book("", settings, rods, skins), bands=book.settings.bands)
    shown = bind(with_scatter, Given(found), scatter)
    record = steps.run(Kite, bind(for_sheet, whole))
    return bind(on_sheet, shown, record, kite.result, kite.winds, kite.learnt)
