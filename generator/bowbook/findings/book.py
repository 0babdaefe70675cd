"""A whole book worked out: the visible list of steps from checked records to findings."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from bowbook.book.records import Book, Kite
from bowbook.findings.bow import BareBow, balance_findings, bare_bow, bow_findings, rod_modulus
from bowbook.findings.flyers import Predictor, flyer_findings, predictor
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import Precision, UFloat, exactly, measured, precision_of
from bowbook.findings.results import (
    Balance,
    BookFindings,
    BowFindings,
    Findings,
    FlyerFindings,
    Measured,
    Predicted,
    Range,
    SailFindings,
    Shape,
    Shaving,
    SkinFindings,
    TowPoint,
    WindFindings,
)
from bowbook.findings.shape import shape_findings
from bowbook.findings.shaving import shaving_findings
from bowbook.findings.skin import bending_rigidity, covered_press, covered_skin, mean_per_chord, want_skin
from bowbook.findings.stock import rod_findings, skin_stock
from bowbook.findings.winds import (
    air_density,
    bands_of,
    flex_wind,
    flown,
    least_wind,
    sail_findings,
    shelf_range,
)


@dataclass(frozen=True, slots=True)
class _OnTheBench:
    """One kite as far as it can be worked out without the others."""

    kite: Kite
    ledger: Ledger
    bare: BareBow
    sail: SailFindings
    bow: BowFindings
    balance: Balance
    shave: Shaving
    shape: Shape
    modulus: UFloat | None
    covered: UFloat | None
    covered_press: tuple[Measured | None, Measured | None]
    flown: Mapping[str, Range]


@dataclass(frozen=True, slots=True)
class _Skinned:
    """One kite with its skin, which may have been learnt from others."""

    bench: _OnTheBench
    skin: SkinFindings
    total: UFloat | None
    flex: UFloat | None
    least: float | None


def work_out(book: Book) -> BookFindings:
    """Everything that can be computed from a book.

    Steps: pool the repeats; each kite on the bench; skins from the covered kites; each kite's wind; each
    flyer's comfort; each kite's prediction and bands; the stock.
    """
    precision = precision_of(book)
    rho = air_density(book.settings)
    benched = {key: _on_the_bench(book, kite, precision) for key, kite in book.kites.items()}
    per_chord = _per_chord(benched)
    learnt = _learnt_skins(book, per_chord)
    skinned = {key: _skinned(book, b, learnt, rho) for key, b in benched.items()}
    flyers = _flyers(book, skinned)
    predictors = {name: p for name, flyer in flyers.items() if (p := predictor(flyer))}
    kites = {key: _finish(book, s, predictors) for key, s in skinned.items()}
    moduli = {key: b.modulus for key, b in benched.items() if b.modulus is not None}
    found = tuple(fault for b in benched.values() for fault in b.ledger.faults)
    return BookFindings(
        book=book,
        kites=kites,
        flyers=flyers,
        rods=rod_findings(book, moduli),
        skins=skin_stock(book, per_chord),
        bands=book.settings.bands,
        repeatability=precision.relative,
        freedom=precision.freedom,
        coverage=precision.coverage,
        air_kg_m3=rho,
        faults=book.faults + found,
    )


def at_the_bench(book: Book, kite: Kite) -> Findings:
    """Balance, shaving and bow of one kite alone, as sure as the whole book's repeats make it; no skin and no wind.

    `kite` need not be in the book: this is for a round that is still being read.
    """
    b = _on_the_bench(book, kite, precision_of(replace(book, kites={**book.kites, kite.key: kite})))
    return Findings(
        kite=kite,
        sail=b.sail,
        bow=b.bow,
        balance=b.balance,
        shave=b.shave,
        shape=b.shape,
        wanting=dict(b.ledger.wanting),
        assumed=tuple(b.ledger.assumed),
        warnings=tuple(b.ledger.warnings),
    )


def _on_the_bench(book: Book, kite: Kite, precision: Precision) -> _OnTheBench:
    ledger = Ledger(kite)
    bare = bare_bow(kite, precision, ledger)
    balance = balance_findings(book, kite, bare, precision, ledger)
    return _OnTheBench(
        kite=kite,
        ledger=ledger,
        bare=bare,
        sail=sail_findings(kite, ledger),
        bow=bow_findings(book, kite, bare, precision, ledger),
        balance=balance,
        shave=shaving_findings(book, kite, bare, balance, precision, ledger),
        shape=shape_findings(book, kite, bare, ledger),
        modulus=rod_modulus(book, kite, bare, precision),
        covered=covered_skin(kite, bare, precision, ledger),
        covered_press=covered_press(kite, precision),
        flown=flown(kite, book.settings, ledger),
    )


def _per_chord(benched: Mapping[str, _OnTheBench]) -> dict[str, UFloat]:
    """Skin rigidity per metre of mean chord of every covered kite that has a sail, N m, by kite key."""
    return {
        key: b.covered / b.sail.mean_chord_m
        for key, b in benched.items()
        if b.covered is not None and b.sail.mean_chord_m and b.kite.sail.skin
    }


def _learnt_skins(book: Book, per_chord: Mapping[str, UFloat]) -> dict[str, tuple[UFloat, int]]:
    """By skin: its mean rigidity per metre of mean chord, N m, and over how many covered kites."""
    by_skin: dict[str, list[UFloat]] = {}
    for key, value in per_chord.items():
        by_skin.setdefault(book.kites[key].sail.skin or "", []).append(value)
    return {skin: (mean_per_chord(values), len(values)) for skin, values in by_skin.items()}


def _skinned(book: Book, b: _OnTheBench, learnt: Mapping[str, tuple[UFloat, int]], rho: float) -> _Skinned:
    EI, how = _skin(book, b, learnt)
    if EI is None:
        want_skin(b.kite, book, b.ledger)
    bow_EI = b.bare.mean_EI
    total = None if EI is None or bow_EI is None else bow_EI + EI
    if bow_EI is None:
        b.ledger.want("total.EI_Nm2", "Readings of both halves of the bow.")
        b.ledger.want("skin.share", "Readings of both halves of the bow.")
    share = None if total is None else float((EI / total).nominal_value)
    flex = None
    try:
        flex = flex_wind(b.kite, b.bare, EI, b.sail, rho, b.ledger)
    except ValueError as error:
        b.ledger.fault("covered", error, "Press the covered bow again: the skin can only add stiffness.")
    least = least_wind(b.kite, b.sail, rho, b.ledger)
    return _Skinned(
        b, SkinFindings(measured(EI), share, how, b.covered_press[0], b.covered_press[1]), total, flex, least
    )


def _skin(
    book: Book, b: _OnTheBench, learnt: Mapping[str, tuple[UFloat, int]]
) -> tuple[UFloat | None, Literal["covered", "same skin", "bending only"] | None]:
    """The skin's rigidity and how it is known: measured, learnt from the same skin elsewhere, or a floor."""
    if b.covered is not None:
        return b.covered, "covered"
    skin = book.skins.get(b.kite.sail.skin or "")
    chord = b.sail.mean_chord_m
    if skin is None or chord is None:
        return None, None
    if skin.key in learnt:  # a covered kite never gets here, so these are all others
        mean, kites = learnt[skin.key]
        others = "one other covered kite" if kites == 1 else f"{kites} other covered kites"
        b.ledger.assume(f"The skin's part is learnt from {others} in {skin.key}.")
        return mean * chord, "same skin"
    rigidity = bending_rigidity(skin)
    if rigidity is None:
        return None, None
    b.ledger.assume(
        "The skin's part is its own bending only, a floor: a sail mostly resists by being held taut along its "
        "edges, which only a covered press sees."
    )
    return exactly(rigidity * chord), "bending only"


def _flyers(book: Book, skinned: Mapping[str, _Skinned]) -> dict[str, FlyerFindings]:
    names = sorted({f.flyer for kite in book.kites.values() for f in kite.flights if f.flyer})
    flex = {key: float(s.flex.nominal_value) for key, s in skinned.items() if s.flex is not None}
    found = {}
    for name in names:
        liked = {key: s.bench.flown[name] for key, s in skinned.items() if name in s.bench.flown}
        flights = sum(f.flyer == name for kite in book.kites.values() for f in kite.flights)
        found[name] = flyer_findings(name, liked, flex, flights)
    return found


def _finish(book: Book, s: _Skinned, predictors: Mapping[str, Predictor]) -> Findings:
    b = s.bench
    wind = _wind(book, s, predictors)
    return Findings(
        kite=b.kite,
        sail=b.sail,
        bow=b.bow,
        balance=b.balance,
        shave=b.shave,
        shape=b.shape,
        skin=s.skin,
        total=measured(s.total),
        wind=wind,
        tow=tow_point(b.kite),
        wanting=dict(b.ledger.wanting),
        assumed=tuple(b.ledger.assumed),
        warnings=tuple(b.ledger.warnings),
    )


def _wind(book: Book, s: _Skinned, predictors: Mapping[str, Predictor]) -> WindFindings:
    b = s.bench
    predicted: dict[str, Predicted] = {}
    if s.flex is not None:
        predicted = {name: predict(float(s.flex.nominal_value)) for name, predict in predictors.items()}
    if not predicted:
        first = "Three flown kites of one flyer, measured with their skins, before winds can be predicted."
        b.ledger.want("wind.predicted", b.ledger.wanting.get("wind.flex_m_s", first))
    flyer_name, shown = shelf_range(book, b.kite, b.flown, predicted)
    ranges = _band_ranges(book, b.flown, predicted)
    basis: Literal["flown", "predicted"] | None = "flown" if b.flown else ("predicted" if predicted else None)
    if basis is None:
        b.ledger.want("wind.basis", "A flight with its best wind, or what a prediction wants.")
    return WindFindings(
        flex_m_s=measured(s.flex),
        least_m_s=s.least,
        flown=dict(b.flown),
        predicted=predicted,
        bands=bands_of(ranges, book.settings.bands),
        basis=basis,
        range=shown,
        flyer=flyer_name,
    )


def _band_ranges(book: Book, flown_by: Mapping[str, Range], predicted: Mapping[str, Predicted]) -> list[Range]:
    """The ranges that put a kite on the shelf: of the book's flyer if there are any, else of every flyer."""
    ranges = dict(flown_by) or {name: Range(p.low, p.high) for name, p in predicted.items()}
    wanted = book.settings.flyer
    return [ranges[wanted]] if wanted in ranges else list(ranges.values())


def tow_point(kite: Kite) -> TowPoint | None:
    """Where the bridle's legs meet: the third corner of the triangle on the spine; None where they cannot."""
    b = kite.bridle
    if b.upper_m is None or b.lower_m is None or b.upper_at_m is None or b.lower_at_m is None:
        return None
    base = b.lower_at_m - b.upper_at_m
    if base <= 0:
        return None
    along = (b.upper_m**2 - b.lower_m**2 + base**2) / (2 * base)
    out_squared = b.upper_m**2 - along**2
    return TowPoint(math.sqrt(out_squared), b.upper_at_m + along) if out_squared > 0 else None
