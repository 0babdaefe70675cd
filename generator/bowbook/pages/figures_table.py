"""Every figure of one kite in groups, each with its unit, and ± where it was measured."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.book.written_numbers import ABOUT_U
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import Findings
from bowbook.wording import numbers

Exact = tuple[str, float | None, str]
Sure = tuple[str, Measured | None, str]


class FigureGroup(Struct, frozen=True):
    """Figures that belong together: a title, and (name, figure) in order."""

    title: str
    rows: tuple[tuple[str, str], ...]


def figure_groups(found: Findings, units: Units) -> tuple[FigureGroup, ...]:
    """Sail, bow, skin and wind, each with what is known of it; a group of which nothing is known is left out."""
    groups = (
        FigureGroup("Sail", _sail(found, units)),
        FigureGroup("Bow", _bow(found, units)),
        FigureGroup("Skin", _skin(found, units)),
        FigureGroup("Wind", _wind(found, units)),
    )
    return tuple(group for group in groups if group.rows)


def _sail(found: Findings, units: Units) -> tuple[tuple[str, str], ...]:
    sail, record = found.sail, found.kite
    outline = _exact(
        (
            ("Wide", sail.width_m, "length"),
            ("Tall", sail.height_m, "length"),
            ("Area", sail.area_m2, "area"),
            ("Mean chord", sail.mean_chord_m, "length"),
        ),
        units,
    )
    weighed = _measured(
        (
            ("Whole kite, flying", _by_mass(found, record.mass_kg), "mass"),
            ("Sail loading", _by_mass(found, sail.loading_kg_m2), "areal"),
        ),
        units,
    )
    spine = _exact(
        (
            ("Spine", record.spine.length_m, "length"),
            ("Tow point, below the nose", found.tow.down_m if found.tow else None, "length"),
            ("Tow point, out from the sail", found.tow.out_m if found.tow else None, "length"),
        ),
        units,
    )
    return outline + weighed + spine


def _by_mass(found: Findings, value: float | None, power: float = 1.0) -> Measured | None:
    """A figure that goes with a power of the kite's mass: open by as much where that is written as a guess."""
    if value is None:
        return None
    return Measured(value, u=power * ABOUT_U * value if "mass" in found.kite.about else None)


def _bow(found: Findings, units: Units) -> tuple[tuple[str, str], ...]:
    record, bow = found.kite.bow, found.bow
    exact = _exact(
        (
            ("Long", record.length_m, "length"),
            ("Tip to tip", record.span_m, "length"),
            ("Crosses the spine below the nose", record.crosses_m, "length"),
        ),
        units,
    )
    measured = _measured(
        (
            ("Left half on the scale", bow.left.press_N, "force"),
            ("Right half on the scale", bow.right.press_N, "force"),
            ("Whole bow on the scale", bow.whole.press_N, "force"),
            ("Left half, stiffness", bow.left.EI_Nm2, "rigidity"),
            ("Right half, stiffness", bow.right.EI_Nm2, "rigidity"),
            ("Whole bow, stiffness", bow.whole.EI_Nm2, "rigidity"),
            ("Rod’s modulus", bow.modulus_Pa, "stress"),
        ),
        units,
    )
    thrust = found.shape.tension
    tension = (("Tension", numbers.surely(thrust.value, thrust.u, "force", units)),) if thrust else ()
    hold = (("Hold, inferred from the whole bow", numbers.number(bow.hold_factor)),) if bow.hold_factor else ()
    return exact + measured + tension + hold


def _skin(found: Findings, units: Units) -> tuple[tuple[str, str], ...]:
    share = (("Its share", numbers.share(found.skin.share, units)),) if found.skin.share is not None else ()
    measured = _measured(
        (
            ("Left half, skin on", found.skin.left_N, "force"),
            ("Right half, skin on", found.skin.right_N, "force"),
            ("Its part of the stiffness", found.skin.EI_Nm2, "rigidity"),
            ("Bow and skin together", found.total, "rigidity"),
        ),
        units,
    )
    return measured + share


def _wind(found: Findings, units: Units) -> tuple[tuple[str, str], ...]:
    tips = found.tips.flex_m_s is not None
    flex = _measured(
        (
            ("Flex wind", found.wind.flex_m_s, "wind"),
            ("Both tips on the scale", found.tips.read_N, "force"),
            ("Flex wind by the tips", found.tips.flex_m_s, "wind"),
            ("Flex wind by the bow’s tension", found.wind.computed_m_s if tips else None, "wind"),
        ),
        units,
    )
    least = _by_mass(found, found.wind.least_m_s, 0.5)
    return flex + _measured((("Least wind that carries it", least, "wind"),), units)


def _exact(wanted: tuple[Exact, ...], units: Units) -> tuple[tuple[str, str], ...]:
    return tuple((name, numbers.both(value, kind, units)) for name, value, kind in wanted if value is not None)


def _measured(wanted: tuple[Sure, ...], units: Units) -> tuple[tuple[str, str], ...]:
    return tuple((name, numbers.measured_both(m, kind, units)) for name, m, kind in wanted if m is not None)
