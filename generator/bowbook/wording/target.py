"""How far a bow is from the readings it is built to, in words."""

from __future__ import annotations

from bowbook.book.records import Units
from bowbook.book.units import show
from bowbook.findings.results import TargetFindings
from bowbook.wording.numbers import share

NEAR = 0.005  # a half of one per cent: no kitchen scale tells less


def target_said(found: TargetFindings, units: Units) -> tuple[str, ...]:
    """A sentence for each part that has a target and has been read."""
    said = []
    for name, part in (("left half", found.left), ("right half", found.right), ("whole bow", found.whole)):
        if part is None or part.off is None:
            continue
        wanted = show(part.wanted_N, "force", units)
        if abs(part.off) < NEAR:
            said.append(f"The {name} reads the {wanted} as wanted.")
        else:
            way = "above" if part.off > 0 else "below"
            said.append(f"The {name} reads {share(abs(part.off), units)} {way} the {wanted} it is built to.")
    return tuple(said)
