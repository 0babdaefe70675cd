"""How a kite's stage moves on with what is done to it."""

from __future__ import annotations

from bowbook.book.records import Kite, Stage


def stage_after_bench(kite: Kite) -> Stage | None:
    """The stage of a kite whose bow has been read; None where it stays what it is."""
    return "building" if kite.stage == "planned" else None


def stage_after_flight(kite: Kite) -> Stage | None:
    """The stage of a kite that has been flown; None where it stays what it is."""
    return "flying" if kite.stage in ("planned", "building", "resting") else None


def bare_rounds(kite: Kite) -> int:
    """How many rounds read its bare bow."""
    return sum(not one.skin_on and bool(one.left or one.right or one.whole) for one in kite.bench)
