"""Which pages a site has, where each stands, and what each is made from.

``plan(read, values, photos, look, steps)`` gives every HTML page of the site but those of single kites as a `PageSpec`,
in a fixed order, and what each kite's own files are made from (`kite_plan` has the rest). Making the plan is cheap: it
words nothing and draws nothing that was not asked for. A page's `model` is a function
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
from bowbook.book.values import Given, Now, Steps, Value, bind
from bowbook.charts.style import Style
from bowbook.findings.compute import BookValues, KiteValues, bench_settings, without_notes
from bowbook.findings.pooled import with_scatter
from bowbook.findings.readings import Precision
from bowbook.findings.results import BookFindings, Findings, WindFindings
from bowbook.findings.winds import air_density
from bowbook.pages.band_page import band_page
from bowbook.pages.batch_page import batch_page
from bowbook.pages.chart_figure import ComfortPart
from bowbook.pages.chrome import chrome_of
from bowbook.pages.compare_page import compare_page
from bowbook.pages.comparison_table import Compared
from bowbook.pages.days_page import days_page
from bowbook.pages.field_page import field_page
from bowbook.pages.flyers_page import flyer_part, flyers_page
from bowbook.pages.free_page import free_page
from bowbook.pages.home_page import Shelf, home_page, hung_kites, shelf_of
from bowbook.pages.how_page import how_page
from bowbook.pages.kite_lists import KiteLog, ListedKite, kite_log, listed_kite
from bowbook.pages.kite_plan import BookParts, KiteParts
from bowbook.pages.kite_row import KiteRow
from bowbook.pages.links import batch_address, linked, pair_address
from bowbook.pages.not_found import not_found
from bowbook.pages.outline import ReadBook
from bowbook.pages.pair_page import pair_page
from bowbook.pages.photos import PhotoSizes
from bowbook.pages.sky import Layout, SkyKites, layout_of
from bowbook.pages.stock_page import stock_page
from bowbook.pages.story_html import Links
from bowbook.pages.take_home import BATCH, BOOK, FLYER, PAIR, ChartTaken
from bowbook.pages.targets import PageSpec


class Look(Struct, frozen=True):
    """How a site looks: the inks and shapes of its charts, and what stands for the files of all themes."""

    style: Style
    themes: str


Photos = Mapping[str, tuple[Value[PhotoSizes], ...]]


class SitePlan(Struct, frozen=True):
    """A site: its pages but those of single kites, home first; what kites' own files are made from, by key; the charts
    to take home that hold kites against each other, each with what it shows; each kite as the data files have it.
    """

    pages: tuple[PageSpec, ...]
    book: BookParts
    kites: Mapping[str, KiteParts]
    charts: tuple[tuple[ChartTaken, Value[BookFindings]], ...]
    listed: Mapping[str, ListedKite]
    logs: Mapping[str, KiteLog]

    @property
    def page_count(self) -> int:
        """How many pages the site has; each kite has two of its own."""
        return len(self.pages) + 2 * len(self.kites)


def plan(read: ReadBook, values: BookValues, photos: Photos, look: Look, steps: Steps) -> SitePlan:
    """The plan of a site; `photos` are by the kite's key."""
    made = _Plan(read.book, values, look, steps)
    return SitePlan(made.pages(), made.parts, made.kites(read, photos), made.charts(), made.listed, made.logs)


class _Plan:
    """The values that several pages are given."""

    def __init__(self, book: Book, values: BookValues, look: Look, steps: Steps) -> None:
        self.book, self.values, self.steps = without_notes(book), values, steps
        self.flyers = values.flyers()
        self.names = {key: kite.facts.name for key, kite in values.kites.items()}
        self.units = Given(book.settings.units)
        settings = replace(chart_settings(book.settings), bands=book.settings.bands)
        records = {name: replace(flyer, points=()) for name, flyer in self.flyers.items()}
        self.parts = BookParts(
            settings=Given(book.settings),
            stock=Given(Book("", Settings(), self.book.rods, self.book.skins)),
            chrome=Given(chrome_of(book)),
            shown=bind(book_shown, Given(Book("", settings)), values.scatter),
            records=Given(records),
            zones=tuple(self._zone(name) for name in (*self.flyers, None)),
            scatter=values.scatter,
            style=Given(look.style),
            themes=Given(look.themes),
        )
        self.chrome, self.style, self.records = self.parts.chrome, self.parts.style, self.parts.records
        self.listed, self.logs = self._listed(), self._logs()
        self.rows = {key: kite.row for key, kite in self.listed.items()}
        self.compared = self.steps.gathered(kite.compared for kite in self.listed.values())

    def _listed(self) -> dict[str, ListedKite]:
        """Every kite's figures as lists show them."""
        flyers = Given(tuple(self.flyers))
        made = [
            bind(listed_kite, kite.findings, self.parts.shown, self._skin(kite), self._rod(kite), flyers)
            for kite in self.values.kites.values()
        ]
        return dict(zip(self.values.kites, self.steps.run_split(ListedKite, made), strict=True))

    def _logs(self) -> dict[str, KiteLog]:
        """Every kite's days and flights."""
        made = []
        for kite in self.values.kites.values():
            flex = kite.summary.flex_m_s
            made.append(bind(kite_log, kite.record, Given(flex.value if flex else None), self.units))
        return dict(zip(self.values.kites, self.steps.run_split(KiteLog, made), strict=True))

    def kites(self, read: ReadBook, photos: Photos) -> dict[str, KiteParts]:
        """What each kite's own files are made from."""
        found = {}
        for key, kite in self.values.kites.items():
            one = read.kites[key]
            links = links_of(one.outline.links, self.names, self.book.pages)
            found[key] = KiteParts(
                outline=one.read.outline,
                record=one.read.record,
                alone=kite.alone,
                winds=kite.winds,
                learnt=kite.learnt,
                findings=kite.findings,
                row=self.rows[key],
                links=Given(links),
                photos=photos.get(key, ()),
            )
        return found

    def pages(self) -> tuple[PageSpec, ...]:
        """Every page, home first."""
        bands, rows = self.book.settings.bands, self.steps.gathered(self.rows.values())
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

    def _field(self, rows: Value[tuple[KiteRow, ...]]) -> Value[object]:
        """The page for the field."""
        flown = self.steps.gathered(log.flown for log in self.logs.values())
        height, flyers = Given(self.book.settings.height_m), Given(tuple(self.flyers))
        return bind(field_page, self.chrome, height, flyers, rows, flown)

    def _days(self) -> Value[object]:
        """The page of what was built and flown, day by day."""
        days = self.steps.gathered(log.days for log in self.logs.values())
        settings = Given(replace(bench_settings(self.book.settings), flyer=None))
        return bind(days_page, self.chrome, settings, Given(tuple(self.flyers)), days)

    def _skin(self, kite: KiteValues) -> Value[Mapping[str, Skin]]:
        skin = self.book.skins.get(kite.facts.skin or "")
        return Given({} if skin is None else {skin.key: skin})

    def _rod(self, kite: KiteValues) -> Value[Mapping[str, Rod]]:
        rod = self.book.rods.get(kite.facts.bow_rod or "")
        return Given({} if rod is None else {rod.key: rod})

    def _zone(self, name: str | None) -> Value[BookFindings]:
        """What is shown of the book beside a flyer's records; of the kites in these, name and flex wind."""
        flyers = {} if name is None else {name: self.flyers[name]}
        kites = {
            point.kite: Findings(
                Kite(point.kite, self.names[point.kite]),
                wind=WindFindings(self.values.kites[point.kite].summary.flex_m_s),
            )
            for flyer in flyers.values()
            for point in flyer.points
        }
        kites = {key: kites[key] for key in self.names if key in kites}
        found = BookFindings(Book("", chart_settings(self.book.settings)), kites, flyers)
        return bind(with_scatter, Given(found), self.values.scatter)

    def _flyers(self) -> Value[object]:
        """The page of every flyer's records, and of how many flights they have logged."""
        counts = self.values.flights
        counted = Given({name: replace(flyer, flights=counts[name]) for name, flyer in self.flyers.items()})
        charts = [
            self.steps.later(ComfortPart, bind(flyer_part, Given(name), zone, self.records, self.style))
            for name, zone in zip(self.flyers, self.parts.zones, strict=False)
        ]
        return bind(flyers_page, self.chrome, counted, self.steps.gathered(charts))

    def charts(self) -> tuple[tuple[ChartTaken, Value[BookFindings]], ...]:
        """The charts to take home that hold kites against each other."""
        everyone = Now().run(BookFindings, bind(with_kites, self._compared_book(), self.compared))  # once for all
        found: list[tuple[ChartTaken, Value[BookFindings]]] = []
        found += [(ChartTaken("flyer", (flyer,), name), everyone) for flyer in self.flyers for name in FLYER]
        found += [(ChartTaken("book", (), name), everyone) for name in BOOK]
        for batch, made in self.values.batches().items():
            few = self.steps.gathered(self.listed[key].compared for key in made.kites)
            found.append((ChartTaken("batch", (batch,), BATCH[0]), bind(with_kites, self._compared_book(), few)))
        for keys in self._pairs():
            kites = self.steps.gathered(self.values.kites[key].findings for key in keys)
            book = bind(with_found, self._pair_book(keys), kites)
            found += [(ChartTaken("pair", keys, name), book) for name in PAIR]
        return tuple(found)

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
            kites = self.steps.gathered(self.values.kites[key].findings for key in keys)
            model = bind(pair_page, self.chrome, self._pair_book(keys), kites, self.style)
            pages.append(self._page(pair_address(keys), "pair.html", model))
        return pages

    def _batches(self) -> list[PageSpec]:
        """The pages of kites that were built together."""
        pages = []
        for name, batch in self.values.batches().items():
            compared, rows = (
                self.steps.gathered(self.listed[k].compared for k in batch.kites),
                self.steps.gathered(self.rows[k] for k in batch.kites),
            )
            given = (self.chrome, Given(name), Given(batch), self.parts.shown)
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


def with_kites(book: BookFindings, kites: tuple[Compared, ...]) -> BookFindings:
    """The book with every kite as far as kites are held against each other."""
    return replace(book, kites={one.findings.kite.key: one.findings for one in kites})


def with_found(book: BookFindings, kites: tuple[Findings, ...]) -> BookFindings:
    """The book with these kites."""
    return replace(book, kites={found.kite.key: found for found in kites})
