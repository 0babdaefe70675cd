"""A whole book worked out: the visible list of steps from checked records to findings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Literal

from bowbook.book.asked import WhenAsked
from bowbook.book.records import Book, Kite
from bowbook.findings.cloth import expected_per_chord
from bowbook.findings.flyers import Predictor, flyer_findings, predictor
from bowbook.findings.known import Alone, Learnt
from bowbook.findings.readings import Precision, pool, precision_of, repeated
from bowbook.findings.results import (
    BookFindings,
    Findings,
    FlyerFindings,
    Measured,
    Predicted,
    Range,
    Told,
    WindFindings,
)
from bowbook.findings.stock import rod_findings, skin_stock
from bowbook.findings.winds import air_density, bands_of, shelf_range

if TYPE_CHECKING:
    from bowbook.findings.alone import OnTheBench

NOBODY: Mapping[str, Alone] = {}


def work_out(book: Book) -> BookFindings:
    """Everything that can be computed from a book."""
    return work_out_again(book, NOBODY)[0]


def work_out_again(book: Book, known: Mapping[str, Alone]) -> tuple[BookFindings, Mapping[str, Alone]]:
    """Everything that can be computed from a book, and each of its kites by itself, to be `known` the next time.

    `known` are kites of this book, by key, as they were worked out before: from the same record, settings and stock.
    Places of values in their files are left out of the kites that come back: every fault has been found by then.
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
    kites = _each_by_itself(book, known, precision, rho)
    told = {key: kite.told for key, kite in kites.items()}
    flyers = _flyers(told)
    predictors = {name: p for name, flyer in flyers.items() if (p := predictor(flyer))}
    book = replace(book, kites=WhenAsked({key: kite.kite for key, kite in kites.items()}))
    findings = BookFindings(
        book=book,
        kites=WhenAsked({key: partial(_finish, book, kite, predictors) for key, kite in kites.items()}),
        told=told,
        flyers=flyers,
        rods=rod_findings(book, told),
        skins=skin_stock(book, told),
        bands=book.settings.bands,
        repeatability=precision.relative,
        freedom=precision.freedom,
        coverage=precision.coverage,
        air_kg_m3=rho,
        faults=book.faults + tuple(fault for kite in kites.values() for fault in kite.faults),
    )
    return findings, kites


def _each_by_itself(book: Book, known: Mapping[str, Alone], precision: Precision, rho: float) -> dict[str, Alone]:
    """Every kite of the book by itself: as known where that still stands, else worked out now."""
    stands = {key: known[key] for key in book.kites if key in known and known[key].precision == precision}
    benched = _on_the_bench(book, [key for key in book.kites if key not in stands], precision)
    told = [
        (stands[key].told.skin, stands[key].told.per_chord_Nm)
        if key in stands
        else (benched[key].kite.sail.skin, benched[key].per_chord_Nm)
        for key in book.kites
    ]
    learnt = _learnt_skins(told)
    untaught = [
        key for key, kite in stands.items() if not kite.told.covered and kite.learnt != learnt.get(kite.told.skin or "")
    ]
    benched |= _on_the_bench(book, untaught, precision)
    if not benched:
        return stands
    from bowbook.findings.alone import alone

    worked = {key: alone(book, b, learnt.get(b.kite.sail.skin or ""), precision, rho) for key, b in benched.items()}
    return {key: worked[key] if key in worked else stands[key] for key in book.kites}


def _on_the_bench(book: Book, keys: Sequence[str], precision: Precision) -> dict[str, OnTheBench]:
    """Some of the book's kites without their skins. Without any, the mechanics are not even loaded."""
    if not keys:
        return {}
    from bowbook.findings.alone import on_the_bench

    return {key: on_the_bench(book, book.kites[key], precision) for key in keys}


def at_the_bench(book: Book, kite: Kite) -> Findings:
    """Balance, shaving and bow of one kite alone, as sure as the whole book's repeats make it; no skin and no wind.

    `kite` need not be in the book: this is for a round that is still being read.
    """
    from bowbook.findings.alone import on_the_bench

    precision = precision_of(replace(book, kites={**book.kites, kite.key: kite}))
    return on_the_bench(book, kite, precision).findings()


def _learnt_skins(found: list[tuple[str | None, Measured | None]]) -> dict[str, Learnt]:
    """What each skin adds per metre of mean chord, from (skin, that figure) of every kite."""
    by_skin: dict[str, list[Measured]] = {}
    for skin, value in found:
        if skin is not None and value is not None:
            by_skin.setdefault(skin, []).append(value)
    return {skin: Learnt(expected_per_chord(values), len(values)) for skin, values in by_skin.items()}


def _flyers(kites: Mapping[str, Told]) -> dict[str, FlyerFindings]:
    flex = {key: told.flex_m_s.value for key, told in kites.items() if told.flex_m_s is not None}
    found = {}
    for name in sorted({flyer for told in kites.values() for flyer in told.flights}):
        liked = {key: told.flown[name] for key, told in kites.items() if name in told.flown}
        flights = sum(told.flights.get(name, 0) for told in kites.values())
        found[name] = flyer_findings(name, liked, flex, flights)
    return found


def _finish(book: Book, kite: Alone, predictors: Mapping[str, Predictor]) -> Findings:
    """A kite's findings with what the flyers' records foretell."""
    found = kite.load()
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
