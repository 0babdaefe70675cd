"""What a kite's page says is still missing, and what was assumed, each with the place where it is explained."""

from __future__ import annotations

from msgspec import Struct

from bowbook.findings.results import Findings
from bowbook.wording import numbers

GIVES = {
    "bow.left.EI_Nm2": "the left half's stiffness",
    "bow.right.EI_Nm2": "the right half's stiffness",
    "balance.difference": "whether it is even",
    "balance.verdict": "whether it is even",
    "shave.options": "what to take off",
    "total.EI_Nm2": "how stiff it is in all",
    "skin.EI_Nm2": "what the skin adds",
    "skin.share": "what the skin adds",
    "wind.flex_m_s": "the wind in which it flexes",
    "wind.flown": "the wind it was liked in",
    "wind.predicted": "the wind it should like",
    "wind.least_m_s": "the least wind that carries it",
    "sail.area_m2": "the sail's area",
    "sail.loading_kg_m2": "the sail loading",
    "shape.thrust_N": "the strung bow's shape",
    "shape.strain": "how near the rod is to breaking",
    "shape.strain_limit": "how near the rod is to breaking",
    "bow.left.press_N": "the left half's reading",
    "bow.right.press_N": "the right half's reading",
    "bow.whole.EI_Nm2": "a check on how the halves were held",
    "bow.hold_factor": "a check on how the halves were held",
    "tow": "the tow point",
}
"""What a figure is called by the maker who lacks it, the ones that matter most first."""

SECTIONS = (
    ("whole reading", "press"),
    ("hold", "press"),
    ("pinned", "press"),
    ("clamped", "press"),
    ("repeat", "reading"),
    ("resolution", "reading"),
    ("scale", "reading"),
    ("shav", "shaving"),
    ("round", "reading"),
    ("skin", "skin"),
    ("cloth", "skin"),
    ("strain", "shape"),
    ("span", "shape"),
    ("uniform", "press"),
    ("section", "press"),
    ("modulus", "press"),
    ("air", "flex"),
    ("altitude", "flex"),
    ("height", "comfort"),
    ("wind", "comfort"),
    ("bridle", "sail"),
    ("outline", "sail"),
)
"""Words in a note, and the part of the page on how it is worked out that explains it."""


class Missing(Struct, frozen=True):
    """What to do, and what it gives."""

    todo: str
    gives: str | None


class Note(Struct, frozen=True):
    """A sentence, and where its rule is explained."""

    text: str
    section: str


FOLLOWS = {
    "bow.left.press_N": "bow.left.EI_Nm2",
    "bow.right.press_N": "bow.right.EI_Nm2",
    "balance.difference": "bow.right.EI_Nm2",
    "balance.verdict": "bow.right.EI_Nm2",
    "shave.options": "bow.right.EI_Nm2",
    "total.EI_Nm2": "skin.EI_Nm2",
    "shape.strain": "shape.thrust_N",
    "shape.strain_limit": "shape.thrust_N",
    "bow.hold_factor": "bow.whole.EI_Nm2",
    "wind.least_m_s": "sail.area_m2",
    "sail.loading_kg_m2": "sail.area_m2",
    "wind.basis": "wind.flown",
}
"""Figures that need another first: while that one is missing, asking for both would only repeat it."""


def missing_of(found: Findings) -> tuple[Missing, ...]:
    """What would give the next numbers: each thing to do once, the ones that tell most first."""
    order = {path: n for n, path in enumerate(GIVES)}
    todo: dict[str, list[str]] = {}
    for path in sorted(found.wanting, key=lambda p: (order.get(p, len(order)), p)):
        if FOLLOWS.get(path) in found.wanting or (path == "shave.options" and found.balance.verdict == "even"):
            continue
        gives = todo.setdefault(found.wanting[path], [])
        called = GIVES.get(path)
        if called and called not in gives:
            gives.append(called)
    return tuple(Missing(do, numbers.listed(gives) or None) for do, gives in todo.items())


def notes_of(found: Findings) -> tuple[Note, ...]:
    """What was assumed for this kite."""
    return tuple(Note(text, section_of(text)) for text in found.assumed)


def section_of(text: str) -> str:
    """The part of the page on how it is worked out that explains a note."""
    lowered = text.lower()
    return next((section for word, section in SECTIONS if word in lowered), "reading")
