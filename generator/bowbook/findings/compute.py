"""A whole book computed: the visible list of steps from checked records to findings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.lazy_mapping import LazyMapping
from bowbook.book.problems import Location, Problem, location_of
from bowbook.book.records import AWAY, Book, Flight, Kite, Settings
from bowbook.book.values import Gathered, Given, Now, Steps, Value, bind
from bowbook.findings.batches import batches_of
from bowbook.findings.flyers import Predictor, flyer_findings, predictor
from bowbook.findings.pooled import PooledFigures, SkinEstimate, learnt_skins, with_scatter
from bowbook.findings.readings import Precision, in_use, pool, repeated
from bowbook.findings.results import (
    BatchFindings,
    BookFindings,
    Findings,
    FlyerFindings,
    KiteProblem,
    KiteResult,
    KiteSummary,
    LearntStrokes,
    LoggedStrokes,
    Predicted,
    Range,
    Repeated,
    RodFindings,
    SkinStock,
    WindFindings,
)
from bowbook.findings.states import newest, rod_keys, skin_keys, states_of
from bowbook.findings.stock import rod_findings, skin_stock
from bowbook.findings.strokes import learnt_strokes, logged, with_strokes
from bowbook.findings.winds import air_density, bands_of, outside_records, shelf_range

Flyers = dict[str, FlyerFindings]
Strokes = dict[str, tuple[LoggedStrokes, ...]]


class KiteFacts(Struct, frozen=True):
    """What has to be known of a kite at once, before anything is computed."""

    key: str
    name: str
    file: str
    bow_rod: str | None = None
    spine_rod: str | None = None
    skin: str | None = None
    covered: bool = False
    flights: Mapping[str, int] = {}  # by flyer
    rods: tuple[str, ...] = ()  # every one it is or was made from
    skins: tuple[str, ...] = ()


class Winds(Struct, frozen=True):
    """The winds of one kite with what the flyers' records foretell, and what is wanting to know them."""

    wind: WindFindings
    wanting: Mapping[str, str]
    warnings: tuple[str, ...] = ()


class KiteValues(Struct, frozen=True):
    """One kite computed: each value is there as soon as it is needed, and its fingerprint at once."""

    facts: KiteFacts
    record: Value[Kite]
    result: Value[KiteResult]
    summary: Value[KiteSummary]
    winds: Value[Winds]
    learnt: Value[LearntStrokes]
    findings: Value[Findings]


class BookValues(Struct, frozen=True):
    """A book computed. `book` has no kites of its own; `flights` counts each flyer's, which no other figure uses.

    `scatter` is what the kites' figures rest on, `counted` the same with its degrees of freedom as they were counted.
    """

    book: Book
    kites: Mapping[str, KiteValues]
    scatter: Value[Precision]
    counted: Value[Precision]
    flyers: Value[Flyers]
    flights: Mapping[str, int]
    rods: Value[dict[str, RodFindings]]
    skins: Value[dict[str, SkinStock]]
    batches: Value[dict[str, BatchFindings]]


def facts_of(kite: Kite) -> KiteFacts:
    """What has to be known of a kite before it is computed."""
    flights: dict[str, int] = {}
    for flight in kite.flights:
        if flight.flyer:
            flights[flight.flyer] = flights.get(flight.flyer, 0) + 1
    now = newest(states_of(kite)).kite
    return KiteFacts(
        key=kite.key,
        name=kite.name,
        file=kite.file,
        bow_rod=now.bow.rod,
        spine_rod=kite.spine.rod,
        skin=now.sail.skin,
        covered=kite.covered is not None or any(one.skin_on for one in kite.bench),
        flights=flights,
        rods=tuple(rod_keys(kite)),
        skins=tuple(skin_keys(kite)),
    )


def compute_findings(book: Book) -> BookFindings:
    """Everything that can be computed from a book."""
    return findings_of(computed(book), book)


def computed(book: Book) -> BookValues:
    """A book whose kites are at hand, computed; nothing is kept."""
    kites = book.kites.items()
    return compute(book, {key: facts_of(kite) for key, kite in kites}, {key: Given(kite) for key, kite in kites}, Now())


def compute(book: Book, kites: Mapping[str, KiteFacts], records: Mapping[str, Value[Kite]], steps: Steps) -> BookValues:
    """Every step from records to findings: each a function of what it is given, run by `steps` where it has to be.

    Pool the repeats; each kite measured with its skin; what these say of skins; every other kite; what each flyer
    likes; each kite's winds with what that foretells; the stock.
    """
    settings = bench_settings(book.settings)
    bare = steps.run_all(Kite, [bind(for_figures, records[key]) for key in kites])
    bench = dict(zip(kites, bare, strict=True))
    repeats = steps.run_all(Repeated, [bind(repeated, kite) for kite in bare])
    counted = steps.run(Precision, bind(pool, Given(settings), Gathered(repeats)))
    scatter = steps.run(Precision, bind(in_use, counted))
    shelf = Given(Book("", Settings(), book.rods, book.skins))
    stock = _Stock(without_notes(book), settings)
    pooled: dict[SkinEstimate | None, Given[PooledFigures]] = {}

    def results(skins: Mapping[str, SkinEstimate | None]) -> None:
        """Compute kites, each with what was learnt about its skin."""
        made = []
        for key, skin in skins.items():
            if skin not in pooled:
                pooled[skin] = Given(PooledFigures(scatter(), skin))
            made.append(bind(_kite_result, bench[key], stock.of(kites[key]), pooled[skin]))
        for key, one in zip(skins, steps.run_all(KiteResult, made), strict=True):
            found[key] = one, steps.run(KiteSummary, bind(summary_of, one))

    found: dict[str, tuple[Value[KiteResult], Value[KiteSummary]]] = {}
    results({key: None for key, facts in kites.items() if facts.covered})
    taught = Gathered([summary for _, summary in found.values()])
    learnt = steps.run(dict[str, SkinEstimate], bind(learnt_skins, shelf, taught))()
    bare_keys = (key for key in kites if key not in found or not found[key][1]().covered)
    results({key: learnt.get(kites[key].skin or "") for key in bare_keys})
    told = Gathered([found[key][1] for key in kites])
    flights = _counted(kites.values())
    flyers = steps.run(Flyers, bind(flyers_of, Given(tuple(flights)), told))
    shown = Given(replace(Settings(), bands=book.settings.bands, flyer=book.settings.flyer))
    nobody, untold = Given[Flyers]({}), Given(LearntStrokes())
    logs = steps.run(Strokes, bind(strokes_of, told))
    values = {}
    for key, facts in kites.items():
        made, summary = found[key]
        foretold = flyers if summary().flex_m_s is not None else nobody
        winds = steps.run(Winds, bind(winds_of, made, foretold, shown))
        of_this = bind(learnt_strokes, Given(key), Given(_material(book, facts.bow_rod)), logs)
        learnt_here = steps.run(LearntStrokes, of_this) if summary().uneven else untold
        values[key] = KiteValues(
            facts,
            records[key],
            made,
            summary,
            winds,
            learnt_here,
            bind(finished, records[key], made, winds, learnt_here),
        )
    return BookValues(
        book=book,
        kites=values,
        scatter=scatter,
        counted=counted,
        flyers=flyers,
        flights=flights,
        rods=steps.run(dict[str, RodFindings], bind(rods_of, shelf, told)),
        skins=steps.run(dict[str, SkinStock], bind(skins_of, shelf, told)),
        batches=steps.run(dict[str, BatchFindings], bind(batches_of, told)),
    )


def findings_of(values: BookValues, book: Book) -> BookFindings:
    """The findings of a computed book, a kite's fetched when it is looked at."""
    counts = values.flights
    found = BookFindings(
        book=book,
        kites=LazyMapping({key: kite.findings for key, kite in values.kites.items()}),
        flyers={name: replace(flyer, flights=counts[name]) for name, flyer in values.flyers().items()},
        rods=values.rods(),
        skins=values.skins(),
        bands=book.settings.bands,
        batches=values.batches(),
        air_kg_m3=air_density(book.settings),
        problems=book.problems + mechanics_problems(values, book),
    )
    return with_scatter(found, values.counted())


def mechanics_problems(values: BookValues, book: Book) -> tuple[Problem, ...]:
    """What the mechanics refuse, at the lines that caused it."""

    def placed(key: str, kite: KiteValues, problem: KiteProblem) -> Problem:
        where: Location = location_of(problem.path, book.places.get(key, {}), kite.facts.file)
        return Problem(where, problem.message, problem.hint)

    return tuple(placed(key, kite, p) for key, kite in values.kites.items() for p in kite.summary().problems)


def for_figures(kite: Kite) -> Kite:
    """A kite as far as anything is computed from it: no words, no photos, its flights' best winds and taps."""
    told = (f for f in kite.flights if f.flyer is not None and (f.best is not None or f.taps))
    flights = tuple(
        Flight(on=f.on, flyer=f.flyer, best=f.best, height_m=f.height_m, bow=f.bow, taps=f.taps) for f in told
    )
    words = {"summary": None, "photos": (), "origin": None, "ancestors": (), "story": "", "story_line": 0}
    return replace(kite, stage=None, to=None, tags=(), flights=flights, **words)


def summary_of(result: KiteResult) -> KiteSummary:
    """What one kite tells about its stock, its flyers and the others."""
    return result.summary


def _kite_result(kite: Kite, book: Book, pooled: PooledFigures) -> KiteResult:
    """One kite computed; until there is one to compute, the mechanics are not even loaded."""
    from bowbook.findings.life import life_result

    return life_result(kite, book, pooled)


def at_the_bench(book: Book, kite: Kite) -> Findings:
    """Balance, shaving and bow of one kite alone, as sure as the whole book's repeats make it; no skin and no wind.

    `kite` need not be in the book: this is for a round that is still being read.
    """
    from bowbook.findings.life import life_at_the_bench

    kites = tuple({**book.kites, kite.key: kite}.values())
    precision = in_use(pool(book.settings, tuple(repeated(one) for one in kites)))
    logs = {one.key: found for one in kites if (found := logged(one, _material(book, one.bow.rod)))}
    found_here = life_at_the_bench(book, kite, precision)
    return _stroked(found_here, learnt_strokes(kite.key, found_here.bow.material, logs))


def bench_settings(settings: Settings) -> Settings:
    """The settings that figures rest on; all others as they are by default."""
    return Settings(
        units=settings.units,
        tolerance=settings.tolerance,
        scale_N=settings.scale_N,
        ruler_m=settings.ruler_m,
        height_m=settings.height_m,
        altitude_m=settings.altitude_m,
        mark=settings.mark,
        sure=settings.sure,
    )


def without_notes(book: Book) -> Book:
    """The book with nothing noted of its stock: no figure rests on that, and only the stock's own page shows it."""
    rods = {key: replace(rod, note=None) for key, rod in book.rods.items()}
    return replace(book, rods=rods, skins={key: replace(skin, note=None) for key, skin in book.skins.items()})


class _Stock:
    """The settings, and of the stock what a kite names, once for all kites that name the same."""

    def __init__(self, book: Book, settings: Settings) -> None:
        self._book, self._settings = book, settings
        self._made: dict[tuple[tuple[str, ...], tuple[str, ...]], Given[Book]] = {}

    def of(self, kite: KiteFacts) -> Value[Book]:
        """The book as far as one kite's figures rest on it."""
        named = kite.rods, kite.skins
        if named not in self._made:
            rods = {key: rod for key, rod in self._book.rods.items() if key in kite.rods}
            skins = {key: skin for key, skin in self._book.skins.items() if key in kite.skins}
            self._made[named] = Given(Book("", self._settings, rods, skins))
        return self._made[named]


def _counted(kites: Iterable[KiteFacts]) -> dict[str, int]:
    """How many flights each flyer has logged, flyers in the order of their names."""
    counts: dict[str, int] = {}
    for kite in kites:
        for flyer, flights in kite.flights.items():
            counts[flyer] = counts.get(flyer, 0) + flights
    return dict(sorted(counts.items()))


def flyers_of(names: tuple[str, ...], kites: tuple[KiteSummary, ...]) -> Flyers:
    """What each flyer likes, from every kite with a flex wind; how many flights they logged is not counted here."""
    found = {}
    for name in names:
        liked = {kite.key: kite.liked[name] for kite in kites if name in kite.liked and not kite.example}
        ranges = {key: Range(one.low, one.high) for key, one in liked.items()}
        found[name] = flyer_findings(name, ranges, {key: one.flex_m_s for key, one in liked.items()}, 0)
    return found


def rods_of(book: Book, kites: tuple[KiteSummary, ...]) -> dict[str, RodFindings]:
    """What the kites say about each rod."""
    return rod_findings(book, {kite.key: kite for kite in kites if not kite.example})


def skins_of(book: Book, kites: tuple[KiteSummary, ...]) -> dict[str, SkinStock]:
    """What the kites say about each skin."""
    return skin_stock(book, {kite.key: kite for kite in kites if not kite.example})


def winds_of(result: KiteResult, flyers: Flyers, settings: Settings) -> Winds:
    """A kite's winds with what the flyers' records foretell."""
    found = result.findings
    wanting: dict[str, str] = {}
    flown, flex = found.wind.flown, found.wind.flex_m_s
    predictors = {name: p for name, flyer in flyers.items() if (p := _predictor(flyer))}
    predicted = {} if flex is None else {name: predict(flex.value) for name, predict in predictors.items()}
    if not predicted:
        first = "Three flown kites of one flyer, measured with their skins, before winds can be predicted."
        wanting["wind.predicted"] = found.wanting.get("wind.flex_m_s", first)
    flyer, shown = shelf_range(settings, found.kite, flown, predicted)
    basis: Literal["flown", "predicted"] | None = "flown" if flown else ("predicted" if predicted else None)
    if basis is None:
        wanting["wind.basis"] = "A flight with its best wind, or what a prediction wants."
    wind = replace(
        found.wind,
        predicted=predicted,
        bands=bands_of(_band_ranges(settings, flown, predicted), settings.bands),
        basis=basis,
        range=shown,
        flyer=flyer,
    )
    beyond = [name for name in predicted if flex is not None and outside_records(flyers[name], flex.value)]
    said = f"Predicted beyond the records of {' and '.join(beyond)}: no kite they flew flexes in such a wind."
    return Winds(wind, wanting, (said,) if beyond else ())


@lru_cache(maxsize=16)
def _predictor(flyer: FlyerFindings) -> Predictor | None:
    """The same predictor for one kite after another."""
    return predictor(flyer)


def finished(kite: Kite, result: KiteResult, winds: Winds, learnt: LearntStrokes) -> Findings:
    """The findings of a kite's record, with its winds and what logged strokes say of the next."""
    found = _stroked(result.findings, learnt)
    warnings = (*found.warnings, *winds.warnings)
    now = replace(newest(states_of(kite)).kite, flights=kite.flights)
    wind = replace(winds.wind, bands=()) if kite.stage in AWAY else winds.wind
    filed = None if now == kite else kite
    wanting = {**found.wanting, **winds.wanting}
    return replace(found, kite=now, filed=filed, wind=wind, wanting=wanting, warnings=warnings)


def strokes_of(kites: tuple[KiteSummary, ...]) -> Strokes:
    """Every shaving of every kite whose strokes were counted."""
    return {kite.key: kite.strokes for kite in kites if kite.strokes}


def _material(book: Book, rod: str | None) -> str | None:
    found = book.rods.get(rod or "")
    return found.material if found else None


def _stroked(found: Findings, learnt: LearntStrokes) -> Findings:
    """The findings with how many strokes to make next, where any were logged."""
    side = found.shave.side
    if side is None:
        return found
    read = (found.bow.left if side == "left" else found.bow.right).press_N
    return replace(found, shave=with_strokes(found.shave, read.value if read else None, learnt))


def _band_ranges(settings: Settings, flown_by: Mapping[str, Range], predicted: Mapping[str, Predicted]) -> list[Range]:
    """The ranges that put a kite into bands: of the book's flyer if there are any, else of every flyer."""
    ranges = dict(flown_by) or {name: Range(p.low, p.high) for name, p in predicted.items()}
    wanted = settings.flyer
    return [ranges[wanted]] if wanted in ranges else list(ranges.values())
