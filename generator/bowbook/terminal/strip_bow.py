"""A loose strip that becomes a kite's bow: its sizes and its rounds go into the kite's file and leave the stock."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from bowbook.book.records import Kite
from bowbook.format.edit import FileEdit, TextChange, drop, item, value
from bowbook.format.source_file import LARGEST_BYTES
from bowbook.format.stock_file import STRIPS
from bowbook.storage.regular import read_plain
from bowbook.terminal.stage import stage_after_bench

_SIZES = ("rod", "length", "mass")


class StripBow(Struct, frozen=True):
    """A loose strip as it is typed in strips.yaml, and the bytes of that file."""

    name: str
    typed: Mapping[str, Any]
    seen: bytes

    @property
    def sizes(self) -> dict[str, str]:
        """What of it is a bow's: rod, length, mass."""
        return {key: str(self.typed[key]) for key in _SIZES if self.typed.get(key)}

    @property
    def rounds(self) -> list[Mapping[str, Any]]:
        """Its rounds as they are typed."""
        return [one for one in self.typed.get("bench") or () if isinstance(one, Mapping)]


def strip_named(root: Path, name: str) -> StripBow:
    """The strip of this name, which is known to be in stock."""
    seen = read_plain(root / STRIPS, LARGEST_BYTES)
    typed = yaml.load(seen.decode("utf-8-sig"), yaml.BaseLoader)
    return StripBow(name, typed[name], seen)


def is_first_bow(kite: Kite) -> bool:
    """Whether nothing has been done with a kite yet: what it gets is its first bow, and no change of it."""
    changed = any(not change.of_stage_alone for change in kite.changes)
    return not (kite.bench or kite.covered or kite.flights or changed)


def as_first_bow(strip: StripBow, sizes: Mapping[str, str]) -> list[TextChange]:
    """The changes that make a strip the bow of a kite that was never read: with its rounds on their own days."""
    sized = [value(f"bow.{key}", text) for key, text in sizes.items()]
    return [*sized, *(item("bench", _noted(one, f"As the loose strip {strip.name}.")) for one in strip.rounds)]


def as_later_bow(strip: StripBow, day: str) -> list[TextChange]:
    """The rounds of a strip that becomes the bow on a day, as rounds of that day: the days before are the old bow's."""
    found = []
    for one in strip.rounds:
        when = f", on {one['on']}" if one.get("on") else ""
        found.append(item("bench", {**_noted(one, f"As the loose strip {strip.name}{when}."), "on": day}))
    return found


def out_of_stock(root: Path, strip: StripBow) -> FileEdit:
    """The edit that takes a strip out of the stock."""
    return FileEdit(root / STRIPS, (drop([strip.name]),), strip.seen)


def moved_on(kite: Kite, strip: StripBow) -> list[TextChange]:
    """The change of the stage of a plan that has a bow now that was read."""
    stage = stage_after_bench(kite)
    return [value("stage", stage)] if stage and strip.rounds else []


def _noted(one: Mapping[str, Any], note: str) -> dict[str, Any]:
    """A round with where it was read before whatever is noted of it."""
    rest = {key: text for key, text in one.items() if key not in ("on", "note")}
    own = {"on": one["on"]} if one.get("on") else {}
    return own | rest | {"note": f"{note} {one['note']}" if one.get("note") else note}
