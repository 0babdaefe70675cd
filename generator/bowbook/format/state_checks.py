"""What cannot be in a kite's life: changes out of order, bows and targets that nothing can be measured against."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from bowbook.book.days import days_of
from bowbook.book.quantities import HasUnits
from bowbook.book.records import Change, Kite
from bowbook.book.suggest import nearest
from bowbook.book.units import show
from bowbook.format.build_records import records_in
from bowbook.format.checks import Say, check_bow


def check_life(kite: Kite, values: Mapping[str, Any], units: HasUnits, say: Say) -> None:
    """Says what cannot be in a kite's changes, bows and target; `values` are the plain ones it was built from."""
    for name, bow in kite.bows.items():
        check_bow(bow, values["bows"][name], f"bows.{name}", kite.spine.length_m, units, say)
    named = [(f"bench.{i}.bow", one.bow) for i, one in enumerate(kite.bench)]
    named += [(f"flights.{i}.bow", flight.bow) for i, flight in enumerate(kite.flights)]
    for path, wanted in named:
        if wanted is not None and wanted not in kite.bows:
            say(path, f"this kite has no bow {wanted[:60]}", _bow_hint(kite, wanted))
    _changes(kite, values, units, say)
    _target(kite, say)


def _bow_hint(kite: Kite, named: str) -> str:
    near = nearest(named, kite.bows)
    if near:
        return f"Did you mean {near[0]}? Its bows are {', '.join(kite.bows)}."
    return f"Write it under bows:, as {named[:40]}: {{rod: …, length: …}}."


def _changes(kite: Kite, values: Mapping[str, Any], units: HasUnits, say: Say) -> None:
    found = records_in(values.get("changes", ()))
    if len(found) != len(kite.changes):
        return  # one without its day has its own sentence
    first = min((days_of(one.on).first for one in kite.bench if one.on), default=None)
    seen: set[str] = set()
    length_m = kite.bow.length_m
    for i, (change, plain) in enumerate(zip(kite.changes, found, strict=True)):
        path = f"changes.{i}"
        if change.on in seen and not change.of_stage_alone:
            say(f"{path}.on", f"two changes on one day, {change.on}", "Write what was done that day as one change.")
        if not change.of_stage_alone:
            seen.add(change.on)
        if first is not None and not change.of_stage_alone and days_of(change.on).last < first:
            what = f"this change, {change.on}, lies before the first round at the bench, {first.isoformat()}"
            say(f"{path}.on", what, "What the kite was at first stands in bow and sail; look at both days.")
        if _names_nothing(change):
            say(
                path,
                "this change says nothing of what was changed",
                "Name skin, colours, bow, span, mass or stage, or write a note.",
            )
        if change.bow is not None:
            check_bow(change.bow, plain.get("bow", {}), f"{path}.bow", kite.spine.length_m, units, say)
            length_m = change.bow.length_m
        if change.span_m is not None and length_m is not None and change.span_m >= length_m:
            span, length = show(change.span_m, "length", units), show(length_m, "length", units)
            what = f"a span of {span} is not shorter than the bow of {length}: nothing would be bent"
            say(f"{path}.span", what, "Write the span from tip to tip with the bow strung.")


def _names_nothing(change: Change) -> bool:
    return change == Change(change.on)


def _target(kite: Kite, say: Say) -> None:
    if kite.target is None:
        return
    sides = (("left", kite.target.left), ("right", kite.target.right), ("whole", kite.target.whole))
    presses = [(name, press) for name, press in sides if press is not None]
    if not presses:
        say("target", "a target without a reading", "Write what each half is to read: {left: 282 g, right: 282 g}.")
    bows = (kite.bow, *kite.bows.values(), *(change.bow for change in kite.changes if change.bow is not None))
    for name, press in presses:
        if press.length_m is None and all(bow.length_m is None for bow in bows):
            what = "a target without a length: nobody can tell which stiffness gives this reading"
            say(f"target.{name}", what, "Write the bow's length under bow:, or the length that is to be pressed here.")
            return
