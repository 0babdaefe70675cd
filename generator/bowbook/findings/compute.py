"""A whole book computed: the visible list of steps from checked records to findings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.lazy_mapping import LazyMapping
from bowbook.book.problems import Location, Problem, location_of
from bowbook.book.records import AWAY, Book, Kite, Settings
from bowbook.book.values import Given, Now, Steps, Value, bind
from bowbook.findings.batches import batches_of
from bowbook.findings.flyers import Predictor, flyer_findings, predictor
from bowbook.findings.kite_input import KiteFacts, KiteInput, kite_input
from bowbook.findings.pooled import PooledFigures, SkinEstimate, learnt_skins, with_scatter
from bowbook.findings.readings import Precision, in_use, pool, repeated
from bowbook.findings.results import (
    BatchFindings,
    BookFindings,
    Findings,
    FlyerFindings,
    KiteProblem,
    KiteSummary,
    LearntStrokes,
    LoggedStrokes,
    Predicted,
    Range,
    RodFindings,
    SkinStock,
    WindFindings,
)
from bowbook.findings.states import newest, states_of
from bowbook.findings.stock import rod_findings, skin_stock
from bowbook.findings.strokes import learnt_strokes, logged, with_strokes
from bowbook.findings.winds import air_density, bands_of, outside_records, shelf_range

Flyers = dict[str, FlyerFindings]
Strokes = dict[str, tuple[LoggedStrokes, ...]]


class Winds(Struct, frozen=True):
    """The winds of one kite with what the flyers' records foretell, and what is wanting to know them."""

    wind: WindFindings
    wanting: Mapping[str, str]
    warnings: tuple[str, ...] = ()


class ComputedKite(Struct, frozen=True):
    """One kite computed by itself: its findings, which want only what flyers say, and what it tells the others."""

    alone: Value[Findings]
    summary: Value[KiteSummary]


class KiteValues(Struct, frozen=True):
    """One kite computed: each value is there as soon as it is needed, and its fingerprint at once.

    `alone` are its findings without what flyers say, `findings` all of them.
    """

    facts: KiteFacts
    record: Value[Kite]
    alone: Value[Findings]
    summary: KiteSummary
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


def compute_findings(book: Book) -> BookFindings:
    """Everything that can be computed from a book."""
    return findings_of(computed(book), book)


def computed(book: Book) -> BookValues:
    """A book whose kites are at hand, computed; nothing is kept."""
    return compute(book, {key: kite_input(kite) for key, kite in book.kites.items()}, Now())


def compute(book: Book, kites: Mapping[str, KiteInput], steps: Steps) -> BookValues:
    """Every step from records to findings: each a function of what it is given, run by `steps` where it has to be.

    Pool the repeats; each kite measured with its skin; what these say of skins; every other kite; what each flyer
    likes; each kite's winds with what that foretells; the stock.
    """
    settings = bench_settings(book.settings)
    counted = steps.run(Precision, bind(pool, Given(settings), steps.gathered(kite.repeats for kite in kites.values())))
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
            made.append(bind(_computed_kite, kites[key].bench, stock.of(kites[key].facts), pooled[skin]))
        found.update(zip(skins, steps.run_split(ComputedKite, made), strict=True))
        summaries.update(zip(skins, steps.opened([found[key].summary for key in skins]), strict=True))

    found: dict[str, ComputedKite] = {}
    summaries: dict[str, KiteSummary] = {}
    results({key: None for key, kite in kites.items() if kite.facts.covered})
    taught = steps.gathered([kite.summary for kite in found.values()])
    learnt = steps.run(dict[str, SkinEstimate], bind(learnt_skins, shelf, taught))()
    bare_keys = (key for key in kites if key not in found or not summaries[key].covered)
    results({key: learnt.get(kites[key].facts.skin or "") for key in bare_keys})
    told = steps.gathered([found[key].summary for key in kites])
    flights = _counted(kite.facts for kite in kites.values())
    flyers = steps.run(Flyers, bind(flyers_of, Given(tuple(flights)), told))
    shown = Given(replace(Settings(), bands=book.settings.bands, flyer=book.settings.flyer))
    nobody, untold = Given[Flyers]({}), Given(LearntStrokes())
    logs = steps.run(Strokes, bind(strokes_of, told))
    winds_steps = []
    for key in kites:
        foretold = flyers if summaries[key].flex_m_s is not None else nobody
        winds_steps.append(bind(winds_of, found[key].alone, foretold, shown))
    values = {}
    for (key, kite), winds in zip(kites.items(), steps.run_all(Winds, winds_steps), strict=True):
        learnt_here: Value[LearntStrokes] = untold
        if summaries[key].uneven:
            rod = _material(book, kite.facts.bow_rod)
            learnt_here = steps.run(LearntStrokes, bind(learnt_strokes, Given(key), Given(rod), logs))
        whole = bind(finished, kite.record, found[key].alone, winds, learnt_here)
        values[key] = KiteValues(kite.facts, kite.record, found[key].alone, summaries[key], winds, learnt_here, whole)
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

    return tuple(placed(key, kite, p) for key, kite in values.kites.items() for p in kite.summary.problems)


def _computed_kite(kite: Kite, book: Book, pooled: PooledFigures) -> ComputedKite:
    """One kite computed; until there is one to compute, the mechanics are not even loaded."""
    from bowbook.findings.life import life_result

    result = life_result(kite, book, pooled)
    return ComputedKite(Given(result.findings), Given(result.summary))


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


def winds_of(found: Findings, flyers: Flyers, settings: Settings) -> Winds:
    """A kite's winds with what the flyers' records foretell; `found` is of the kite alone."""
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


def finished(kite: Kite, alone: Findings, winds: Winds, learnt: LearntStrokes) -> Findings:
    """The findings of a kite's record, with its winds and what logged strokes say of the next."""
    found = _stroked(alone, learnt)
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
