"""A whole book worked out: the visible list of steps from checked records to findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Literal

from msgspec.structs import replace

from bowbook.book.lazy_mapping import LazyMapping, at_hand
from bowbook.book.problems import Problem, location_of
from bowbook.book.records import Book, Kite
from bowbook.findings.cloth import expected_per_chord
from bowbook.findings.flyers import Predictor, flyer_findings, predictor
from bowbook.findings.known import KiteResult, SkinEstimate
from bowbook.findings.readings import Precision, pool, precision_of, repeated
from bowbook.findings.results import (
    BookFindings,
    Findings,
    FlyerFindings,
    KiteProblem,
    KiteSummary,
    Measured,
    Predicted,
    Range,
    WindFindings,
)
from bowbook.findings.stock import rod_findings, skin_stock
from bowbook.findings.winds import air_density, bands_of, shelf_range

if TYPE_CHECKING:
    from bowbook.findings.kite_findings import BareFindings

NOBODY: Mapping[str, KiteResult] = {}
Hold = Callable[[Findings], Callable[[], Findings]]


def compute_findings(book: Book) -> BookFindings:
    """Everything that can be computed from a book."""
    return recompute_findings(book, NOBODY)[0]


def recompute_findings(
    book: Book, known: Mapping[str, KiteResult], hold: Hold = at_hand
) -> tuple[BookFindings, Mapping[str, KiteResult]]:
    """Everything that can be computed from a book, and each of its kites by itself, to be `known` the next time.

    `known` are kites of this book, by key, as they were worked out before: from the same record, settings and stock.
    `hold` says how a kite's findings are held until somebody asks for them: as they are, or packed.
    A kite is only worked out anew if it is not among them, or if the others have changed what is known of readings or
    of its skin. The result is the same for any `known`.

    Steps: pool the repeats; each kite on the bench; skins from the covered kites; each kite's wind; each flyer's
    comfort; each kite's prediction and bands, when it is asked for; the stock.
    """
    precision = pool(
        book.settings,
        [known[key].told.repeated if key in known else repeated(book.kites[key]) for key in book.kites],
    )
    rho = air_density(book.settings)
    kites = _each_by_itself(book, known, precision, rho, hold)
    told = {key: kite.told for key, kite in kites.items()}
    flyers = _flyers(told)
    predictors = {name: p for name, flyer in flyers.items() if (p := predictor(flyer))}
    loaded = LazyMapping({key: kite.load for key, kite in kites.items()})
    book = replace(book, kites=LazyMapping({key: partial(_record, loaded, key) for key in kites}))
    findings = BookFindings(
        book=book,
        kites=LazyMapping({key: partial(_finish, book, loaded, key, predictors) for key in kites}),
        told=told,
        flyers=flyers,
        rods=rod_findings(book, told),
        skins=skin_stock(book, told),
        bands=book.settings.bands,
        repeatability=precision.relative,
        freedom=precision.freedom,
        coverage=precision.coverage,
        air_kg_m3=rho,
        problems=book.problems + tuple(p for key, kite in kites.items() for p in _placed(book, key, kite.problems)),
    )
    return findings, kites


def _each_by_itself(
    book: Book, known: Mapping[str, KiteResult], precision: Precision, rho: float, hold: Hold
) -> dict[str, KiteResult]:
    """Every kite of the book by itself: as known where that still stands, else worked out now.

    Kites pressed with their skins on come first, since they teach what a skin adds; then, one by one, the others.
    """
    found = {key: known[key] for key in book.kites if key in known and known[key].precision == precision}
    teaching = [key for key in book.kites if key not in found and book.kites[key].covered is not None]
    lessons = {key: (kite.told.skin, kite.told.per_chord_Nm) for key, kite in found.items()}
    for key in teaching:
        bench = _on_the_bench(book, key, precision)
        lessons[key] = bench.kite.sail.skin, bench.per_chord_Nm
        if bench.covered is not None:
            found[key] = _alone(book, bench, None, precision, rho, hold)
    learnt = _learnt_skins(lessons[key] for key in book.kites if key in lessons)
    for key in book.kites:
        if key in found and (found[key].told.covered or found[key].learnt == learnt.get(found[key].told.skin or "")):
            continue
        bench = _on_the_bench(book, key, precision)
        found[key] = _alone(book, bench, learnt.get(bench.kite.sail.skin or ""), precision, rho, hold)
    return {key: found[key] for key in book.kites}


def _on_the_bench(book: Book, key: str, precision: Precision) -> BareFindings:
    """One of the book's kites without its skin. Until there is one, the mechanics are not even loaded."""
    from bowbook.findings.kite_findings import on_the_bench

    return on_the_bench(book, book.kites[key], precision)


def _alone(
    book: Book, bench: BareFindings, learnt: SkinEstimate | None, precision: Precision, rho: float, hold: Hold
) -> KiteResult:
    """One kite with its skin, its findings held."""
    from bowbook.findings.kite_findings import alone

    kite = alone(book, bench, learnt, precision, rho)
    return replace(kite, load=hold(kite.load()))


def at_the_bench(book: Book, kite: Kite) -> Findings:
    """Balance, shaving and bow of one kite alone, as sure as the whole book's repeats make it; no skin and no wind.

    `kite` need not be in the book: this is for a round that is still being read.
    """
    from bowbook.findings.kite_findings import on_the_bench

    precision = precision_of(replace(book, kites={**book.kites, kite.key: kite}))
    return on_the_bench(book, kite, precision).findings()


def _learnt_skins(found: Iterable[tuple[str | None, Measured | None]]) -> dict[str, SkinEstimate]:
    """What each skin adds per metre of mean chord, from (skin, that figure) of every kite."""
    by_skin: dict[str, list[Measured]] = {}
    for skin, value in found:
        if skin is not None and value is not None:
            by_skin.setdefault(skin, []).append(value)
    return {skin: SkinEstimate(expected_per_chord(values), len(values)) for skin, values in by_skin.items()}


def _flyers(kites: Mapping[str, KiteSummary]) -> dict[str, FlyerFindings]:
    flex = {key: told.flex_m_s.value for key, told in kites.items() if told.flex_m_s is not None}
    found = {}
    for name in sorted({flyer for told in kites.values() for flyer in told.flights}):
        liked = {key: told.flown[name] for key, told in kites.items() if name in told.flown}
        flights = sum(told.flights.get(name, 0) for told in kites.values())
        found[name] = flyer_findings(name, liked, flex, flights)
    return found


def _placed(book: Book, key: str, problems: Iterable[KiteProblem]) -> list[Problem]:
    """The problems of a kite at the lines that caused them."""
    places = book.places.get(key, {}) if problems else {}
    return [Problem(location_of(p.path, places, book.kites[key].file), p.message, p.hint) for p in problems]


def _record(loaded: Mapping[str, Findings], key: str) -> Kite:
    return loaded[key].kite


def _finish(book: Book, loaded: Mapping[str, Findings], key: str, predictors: Mapping[str, Predictor]) -> Findings:
    """A kite's findings with what the flyers' records foretell."""
    found = loaded[key]
    wanting = dict(found.wanting)
    flown, flex = found.wind.flown, found.wind.flex_m_s
    predicted = {} if flex is None else {name: predict(flex.value) for name, predict in predictors.items()}
    if not predicted:
        first = "Three flown kites of one flyer, measured with their skins, before winds can be predicted."
        wanting.setdefault("wind.predicted", wanting.get("wind.flex_m_s", first))
    flyer, shown = shelf_range(book, found.kite, flown, predicted)
    basis: Literal["flown", "predicted"] | None = "flown" if flown else ("predicted" if predicted else None)
    if basis is None:
        wanting.setdefault("wind.basis", "A flight with its best wind, or what a prediction wants.")
    wind = WindFindings(
        flex_m_s=flex,
        least_m_s=found.wind.least_m_s,
        flown=flown,
        predicted=predicted,
        bands=bands_of(_band_ranges(book, flown, predicted), book.settings.bands),
        basis=basis,
        range=shown,
        flyer=flyer,
    )
    return replace(found, wind=wind, wanting=wanting)


def _band_ranges(book: Book, flown_by: Mapping[str, Range], predicted: Mapping[str, Predicted]) -> list[Range]:
    """The ranges that put a kite on the shelf: of the book's flyer if there are any, else of every flyer."""
    ranges = dict(flown_by) or {name: Range(p.low, p.high) for name, p in predicted.items()}
    wanted = book.settings.flyer
    return [ranges[wanted]] if wanted in ranges else list(ranges.values())
