"""How far a bow is from the readings it is built to, in words."""

from __future__ import annotations

from bowbook.book.records import Units
from bowbook.book.units import show
from bowbook.findings.results import TargetFindings
from bowbook.wording.numbers import share

NEAR = 0.005  # a half of one per cent: no kitchen scale tells less


def built_to(found: TargetFindings, units: Units) -> str:
    """What is wanted of the bow: "left 282 g, right 282 g, as Sanderling reads"."""
    parts = (("left", found.left), ("right", found.right), ("whole bow", found.whole))
    said = ", ".join(f"{name} {show(part.wanted_N, 'force', units)}" for name, part in parts if part)
    return f"{said}, as {found.like} reads" if found.like else said


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
            said.append(f"The {name} reads {share(round(abs(part.off), 3), units)} {way} the {wanted} it is built to.")
    return tuple(said)
