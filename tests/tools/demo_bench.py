"""An invented kite at its invented bench: what its true bows read and its true flyers like, by plain mechanics."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
from demo_truths import (
    AIR,
    BOWED_OUT,
    DAY,
    DENSITY,
    FINGERTIP,
    HAND,
    HANDS_WANDER,
    LIKES,
    SCATTER,
    SKIN_ADDS,
    TRUTH,
    WANDER,
)
from plain_mechanics import (
    G0,
    Array,
    area_of,
    cells,
    column_load,
    droop,
    edge,
    flex_wind,
    rise_factor,
    sail_area,
    second_moment,
    thrust,
)

CLAMPED = 0.6991556597  # smallest root of tan u = u, as π/u: a column clamped at one end and pinned at the other


def metres(text: Any) -> float:
    """A length as the demo files write it: "12 mm", or a bare number in mm."""
    return float(str(text).removesuffix("mm")) / 1000


def grams(text: Any) -> float:
    """A weight as the demo files write it: "200 g", or a bare number in g."""
    return float(str(text).removesuffix("g")) / 1000


def section_of(entry: dict[str, Any]) -> dict[str, float]:
    """A rod's or a station's section in metres."""
    if "tube" in entry:
        outer, inner = entry["tube"]
        return {"tube": metres(outer), "inner": metres(inner)}
    return {k: metres(entry[k]) for k in ("round", "wide", "thick") if k in entry}


def outline_of(sail: dict[str, Any]) -> list[tuple[float, float]]:
    """The right half of a sail, m, its curved edges in short steps."""
    points = [p if isinstance(p, dict) else {"at": p} for p in sail["outline"]]
    return edge([(metres(p["at"][0]), metres(p["at"][1]), metres(p.get("curve", 0))) for p in points])


class Bow:
    """One invented bow: its true halves, changing as they are shaved, and the readings they give."""

    def __init__(self, key: str, written: dict[str, Any], rods: dict[str, Any]) -> None:
        """The bow with the truth `key`, as a file writes it."""
        self.truth, self.key, self.rod, self.written = TRUTH[key], key, rods[written["rod"]], written
        self.half, self.readings = metres(written["length"]) / 2, 0
        self.s = cells(self.half)
        self.EI = {side: self.as_cut(side) for side in ("left", "right")}
        self.hold = HAND * random.Random(f"hand:{key}").gauss(1, HANDS_WANDER)

    def as_cut(self, side: str) -> Array:
        """Flexural rigidity of one half at the cell middles, N·m², before anything is shaved."""
        modulus = getattr(self.truth, side) * 1e9
        stations = self.written.get("sections", {}).get(side)
        if not stations:
            return np.full_like(self.s, modulus * second_moment(section_of(self.rod)))
        at = [metres(e["at"]) for e in stations]
        shapes = [section_of(e) for e in stations]
        run = {k: np.interp(self.s, at, [shape[k] for shape in shapes]) for k in shapes[0]}
        each = [second_moment({k: float(v[i]) for k, v in run.items()}) for i in range(len(self.s))]
        return modulus * np.array(each)

    def shaves(self, note: dict[str, Any]) -> None:
        """Takes the shaving off the true half."""
        third = {"whole half": (0, 3), "inner third": (0, 1), "middle third": (1, 2), "outer third": (2, 3)}
        start, end = (part / 3 for part in third[note["zone"]])
        section = section_of(self.rod)
        thick = section.get("round") or section.get("tube") or section["thick"]
        left = (1 - metres(note["taken"]) / thick) ** (3 if "thick" in section else 4)
        inside = (self.s > start * self.half) & (self.s < end * self.half)
        self.EI[note["side"]] = np.where(inside, self.EI[note["side"]] * left, self.EI[note["side"]])

    def soft(self, on: str) -> float:
        """What a day's damp and wear have left of the bow's stiffness."""
        return math.prod(left for since, left in self.truth.softer.items() if since <= on)

    def mass(self) -> float:
        """Mass of the bow, kg."""
        return area_of(section_of(self.rod)) * DENSITY[self.rod["material"]] * 2 * self.half

    def whole(self, on: str, skin: float) -> Array:
        """The whole bow from tip to tip with what the skin adds, N·m²."""
        both = np.concatenate((self.EI["left"][::-1], self.EI["right"])).reshape(-1, 2).mean(axis=1)
        return np.asarray(both * self.soft(on) + skin)

    def press(self, side: str, repeats: int, entry: dict[str, Any], on: str, skin: float) -> str:
        """Repeats of a press reading, whole grams, as the scale would have shown them."""
        self.readings += 1
        dice = random.Random(f"press:{self.key}:{self.readings}")
        clamped = entry.get("hold") == "clamped"
        if side == "whole":
            EI, length, hold = self.whole(on, skin), 2 * self.half, FINGERTIP
        else:
            EI, length = self.EI[side] * self.soft(on) + skin, self.half
            hold = CLAMPED if clamped else self.hold
        load = column_load(EI, length) / hold**2
        load *= rise_factor(metres(entry["rise"]), length) if "rise" in entry else BOWED_OUT[clamped]
        weight = self.mass() * length / (2 * self.half)
        day = random.Random(f"day:{self.key}:{on}:{skin > 0}").gauss(1, DAY)
        true = day * load / G0 * 1000 + (0.346 if clamped else 0.5) * weight * 1000
        return ", ".join(f"{true * dice.gauss(1, SCATTER):.0f}" for _ in range(repeats))

    def drops(self, side: str, entry: dict[str, Any], on: str) -> str:
        """Repeats of a sag's or droop's drop, to half a millimetre."""
        dice = random.Random(f"drop:{self.key}:{on}:{side}")
        EI = float(np.mean(self.EI[side]))
        if "sag" in entry:
            true = grams(entry["sag"]["load"]) * G0 * metres(entry["sag"]["span"]) ** 3 / (48 * EI)
            repeats = entry["sag"]["drop"]
        else:
            true = droop(grams(entry["droop"]["load"]) * G0, metres(entry["droop"]["length"]), EI)
            repeats = entry["droop"]["drop"]
        shown = [round(true * dice.gauss(1, SCATTER) * 2000) / 2 for _ in repeats]
        return ", ".join(f"{x:g} mm" for x in shown)


class Truly:
    """One invented kite: its bows, and what it is on any day."""

    def __init__(self, key: str, front: dict[str, Any], rods: dict[str, Any]) -> None:
        """The kite `key` with its file's front matter and the book's rods."""
        self.key, self.front = key, front
        self.outline = outline_of(front["sail"])
        self.chord = sail_area(self.outline) / (2 * max(x for x, _ in self.outline))
        written = {f"{key}:{name}": bow for name, bow in front.get("bows", {}).items()} | {key: front.get("bow")}
        self.bows = {
            name.removeprefix(key).removeprefix(":"): Bow(name, bow, rods)
            for name, bow in written.items()
            if name in TRUTH
        }

    def on_day(self, what: str, first: Any, on: str) -> Any:
        """The skin or the span that stood on a day: as first built, then by the changes up to then."""
        so_far = [change for change in self.front.get("changes", ()) if what in change and str(change["on"]) <= on]
        return so_far[-1][what] if so_far else first

    def skin(self, on: str) -> float:
        """What the skin of a day adds to the bow, N·m²; each sheet its own."""
        name = self.on_day("skin", self.front["sail"]["skin"], on)
        return SKIN_ADDS[name] * random.Random(f"skin:{self.key}:{name}").gauss(1, 0.08) * self.chord

    def tips(self, entry: dict[str, Any], on: str) -> str:
        """Repeats of both tips pressed back, grams: thrust times the distance back, over half a span each."""
        bow = self.bows[""]
        span = metres(self.on_day("span", bow.written["span"], on))
        back = metres(entry["back"])
        push = thrust(bow.whole(on, self.skin(on)), 2 * bow.half, math.sqrt(span**2 - (2 * back) ** 2))
        dice = random.Random(f"tips:{self.key}:{on}")
        shown = [2 * push * back / (span / 2) / G0 * 1000 * dice.gauss(1, 0.02) for _ in str(entry["both"]).split(",")]
        return ", ".join(f"{x:.0f}" for x in shown) + " g"

    def liked(self, flyer: str, on: str, bow: Bow, number: int) -> tuple[float, float]:
        """Where this flyer liked the kite best on a day, m/s: low and high."""
        span = metres(self.on_day("span", bow.written["span"], on))
        flex = flex_wind(bow.whole(on, self.skin(on)), 2 * bow.half, span, self.outline, AIR)
        taste = random.Random(f"liked:{self.key}:{flyer}").gauss(0, WANDER)
        dice = random.Random(f"liked:{self.key}:{flyer}:{on}:{number}")
        low, high = (flex * ratio * math.exp(taste + dice.gauss(0, 0.035)) for ratio in LIKES[flyer])
        return low, high
