"""One kite as far as it can be computed before what flyers like is known, and what it tells about the other kites.

Nothing here depends on another kite but through the pooled figures. As long as they stay, what was computed stands.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book, Kite
from bowbook.findings.bench_results import Balance, BowFindings, Measured, SailFindings, Shape, Shaving
from bowbook.findings.bow import BareBow, bare_bow, bow_findings, rod_modulus
from bowbook.findings.cloth import bending_rigidity
from bowbook.findings.evenness import balance_findings
from bowbook.findings.flexing import FlexFindings, flex_findings
from bowbook.findings.ledger import Ledger, wanted_sentence
from bowbook.findings.pooled import PooledFigures, SkinEstimate
from bowbook.findings.readings import (
    Measuring,
    Precision,
    UFloat,
    at_least,
    exactly,
    measured,
    uncertain_again,
)
from bowbook.findings.results import Findings, KiteResult, KiteSummary, Range, SkinFindings, TowPoint, WindFindings
from bowbook.findings.shape import shape_findings
from bowbook.findings.shaving import shaving_findings
from bowbook.findings.skin import covered_press, covered_skin, want_skin
from bowbook.findings.strokes import logged
from bowbook.findings.winds import air_density, flown, least_wind, sail_findings


class BareFindings(Struct, frozen=True):
    """One kite as far as it can be worked out without its skin."""

    kite: Kite
    m: Measuring
    ledger: Ledger
    bare: BareBow
    material: str | None
    sail: SailFindings
    bow: BowFindings
    balance: Balance
    shave: Shaving
    shape: Shape
    modulus: UFloat | None
    covered: UFloat | None
    covered_press: tuple[Measured | None, Measured | None]
    flown: Mapping[str, Range]

    @property
    def per_chord_Nm(self) -> Measured | None:
        """What its skin adds per metre of mean chord, where it was measured covered and has a sail."""
        chord = self.sail.mean_chord_m
        return measured(self.covered / chord) if self.covered is not None and chord and self.kite.sail.skin else None

    def findings(self) -> Findings:
        """Balance, shaving, bow and shape; no skin and no wind."""
        return Findings(
            kite=self.kite,
            sail=self.sail,
            bow=self.bow,
            balance=self.balance,
            shave=self.shave,
            shape=self.shape,
            wanting=dict(self.ledger.wanting),
            assumed=tuple(self.ledger.assumed),
            warnings=tuple(self.ledger.warnings),
        )


def on_the_bench(book: Book, kite: Kite, precision: Precision, beside: int | None = None) -> BareFindings:
    """Balance, shaving, bow and shape of one kite, and what its covered press and its flights say.

    The covered press is compared with the bow as it read after `beside` rounds, None for all of them.
    """
    ledger, m = Ledger(kite), Measuring(precision)
    bare = bare_bow(kite, m, ledger)
    then = bare if beside is None else bare_bow(replace(kite, bench=kite.bench[:beside]), m, Ledger(kite))
    balance = balance_findings(book, kite, bare, m, ledger)
    sail = sail_findings(kite, ledger)
    modulus = rod_modulus(book, kite, bare, m)
    rod = book.rods.get(kite.bow.rod or "")
    return BareFindings(
        kite=kite,
        m=m,
        ledger=ledger,
        bare=bare,
        material=rod.material if rod else None,
        sail=sail,
        bow=bow_findings(book, kite, bare, modulus, m, ledger),
        balance=balance,
        shave=shaving_findings(book, kite, bare, balance, sail.width_m, ledger),
        shape=shape_findings(book, kite, bare, ledger),
        modulus=modulus,
        covered=covered_skin(kite, then, m, ledger),
        covered_press=covered_press(kite, m),
        flown=flown(kite, book.settings, ledger),
    )


def kite_result(kite: Kite, book: Book, pooled: PooledFigures, beside: int | None = None) -> KiteResult:
    """One kite with its skin, and its winds but for what flyers say.

    `book` need only have the settings, and the stock that this kite names; `pooled` is what it takes from the others;
    `beside` as `on_the_bench` has it.
    """
    b = on_the_bench(book, kite, pooled.precision, beside)
    rho = air_density(book.settings)
    EI, how = _skin(book, b, pooled.skin)
    if EI is None:
        want_skin(b.kite, book, b.ledger)
    floor = how == "lower bound"
    bow_EI = b.bare.mean_EI
    total = None if EI is None or bow_EI is None else bow_EI + EI
    if bow_EI is None:
        for figure in ("total.EI_Nm2", "skin.share"):
            b.ledger.want(figure, wanted_sentence(b.bare.wanting))
    share = None if total is None else float((EI / total).nominal_value)
    flex = FlexFindings()
    try:
        flex = flex_findings(b.kite, b.bare, EI, floor, b.sail, rho, b.m, b.ledger)
    except ValueError as error:
        b.ledger.problem("bow.span", error, "Measure the span tip to tip, strung, and the bow along the rod.")
    winds = WindFindings(
        flex.flex_m_s,
        least_wind(b.kite, b.sail, rho, b.ledger),
        dict(b.flown),
        flex_how=flex.how,
        computed_m_s=flex.computed_m_s,
    )
    found = replace(
        b.findings(),
        skin=SkinFindings(at_least(EI) if floor else measured(EI), share, how, *b.covered_press),
        total=at_least(total) if floor else measured(total),
        tips=flex.tips,
        wind=winds,
        tow=tow_point(b.kite),
    )
    return KiteResult(found, _summary(b, winds.flex_m_s))


def _summary(b: BareFindings, flex: Measured | None) -> KiteSummary:
    kite = b.kite
    return KiteSummary(
        key=kite.key,
        bow_rod=kite.bow.rod,
        spine_rod=kite.spine.rod,
        skin=kite.sail.skin,
        covered=b.covered is not None,
        modulus_Pa=measured(b.modulus),
        per_chord_Nm=b.per_chord_Nm,
        flex_m_s=flex,
        flown=dict(b.flown),
        problems=tuple(b.ledger.problems),
        strokes=logged(kite, b.material),
        example=kite.example,
        uneven=b.shave.side is not None,
    )


def _skin(
    book: Book, b: BareFindings, learnt: SkinEstimate | None
) -> tuple[UFloat | None, Literal["covered", "same skin", "lower bound"] | None]:
    """The skin's rigidity and how it is known: measured, learnt from the same skin elsewhere, or a floor."""
    if b.covered is not None:
        return b.covered, "covered"
    skin = book.skins.get(b.kite.sail.skin or "")
    chord = b.sail.mean_chord_m
    if skin is None or chord is None:
        return None, None
    if learnt is not None:  # a covered kite never gets here, so these are all others
        others = "one other covered kite" if learnt.kites == 1 else f"{learnt.kites} other covered kites"
        b.ledger.assume(f"The skin's part is learnt from {others} in {skin.key}.")
        return uncertain_again(learnt.per_chord_Nm) * chord, "same skin"
    rigidity = bending_rigidity(skin)
    if rigidity is None:
        return None, None
    b.ledger.assume(
        "The skin's part is its own bending only, a floor: a sail mostly resists by being held taut along its "
        "edges, which only a covered press sees."
    )
    return exactly(rigidity * chord), "lower bound"


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
