"""Every figure of one kite in one table, each with its unit, and ± where it was measured."""

from __future__ import annotations

from bowbook.book.records import Units
from bowbook.charts.tables import Row, Table
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import Findings
from bowbook.wording import numbers


def figures_table(found: Findings, units: Units) -> Table | None:
    """The table; None where nothing at all is known."""
    rows = [Row((label, said)) for label, said in _exact(found, units) + _measured(found, units)]
    return Table(("Figure", "Value"), tuple(rows)) if rows else None


def _exact(found: Findings, units: Units) -> list[tuple[str, str]]:
    sail, record = found.sail, found.kite
    wanted: list[tuple[str, float | None, str]] = [
        ("Sail, wide", sail.width_m, "length"),
        ("Sail, tall", sail.height_m, "length"),
        ("Sail area", sail.area_m2, "area"),
        ("Mean chord", sail.mean_chord_m, "length"),
        ("Whole kite, flying", record.mass_kg, "mass"),
        ("Sail loading", sail.loading_kg_m2, "areal"),
        ("Spine", record.spine.length_m, "length"),
        ("Bow", record.bow.length_m, "length"),
        ("Bow, tip to tip", record.bow.span_m, "length"),
        ("Bow crosses the spine below the nose", record.bow.crosses_m, "length"),
        ("Tow point, below the nose", found.tow.down_m if found.tow else None, "length"),
        ("Tow point, out from the sail", found.tow.out_m if found.tow else None, "length"),
        ("Least wind that carries it", found.wind.least_m_s, "wind"),
    ]
    return [(label, numbers.both(value, kind, units)) for label, value, kind in wanted if value is not None]


def _measured(found: Findings, units: Units) -> list[tuple[str, str]]:
    bow = found.bow
    wanted: list[tuple[str, Measured | None, str]] = [
        ("Left half on the scale", bow.left.press_N, "force"),
        ("Right half on the scale", bow.right.press_N, "force"),
        ("Whole bow on the scale", bow.whole.press_N, "force"),
        ("Left half, stiffness", bow.left.EI_Nm2, "rigidity"),
        ("Right half, stiffness", bow.right.EI_Nm2, "rigidity"),
        ("Whole bow, stiffness", bow.whole.EI_Nm2, "rigidity"),
        ("Rod's modulus", bow.modulus_Pa, "stress"),
        ("Skin's part of the stiffness", found.skin.EI_Nm2, "rigidity"),
        ("Bow and skin together", found.total, "rigidity"),
        ("Wind in which the tips flex", found.wind.flex_m_s, "wind"),
    ]
    said = [(label, numbers.measured_both(m, kind, units)) for label, m, kind in wanted if m is not None]
    if bow.hold_factor is not None:
        said.append(("Hold, inferred from the whole bow", numbers.number(bow.hold_factor)))
    return said
