"""Makes the demo book's readings: draws them, seeded, from invented true kites and writes them into content/kites.

Nobody built or flew these kites. For each there is a "truth" below (how stiff either half really is, how much its
skin adds, how it is held on the scale); the readings are that truth put through plain mechanics, then scattered as
a kitchen scale and fingers scatter them, and rounded. Only numbers already standing in a file are replaced: how
many repeats a reading has, what was shaved, the story and every comment are written by hand. Run again, it gives
the same numbers.

    python tests/tools/demo_readings.py            # all of content/kites
    python tests/tools/demo_readings.py FILE.md …  # these only
"""

from __future__ import annotations

import math
import random
import re
import sys
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import yaml
from plain_mechanics import (
    G0,
    Array,
    area_of,
    cells,
    column_load,
    droop,
    flex_wind,
    rise_factor,
    sail_area,
    second_moment,
    strung_rise,
)

CONTENT = Path(__file__).resolve().parents[2] / "content"
SCATTER = 0.008  # of one press reading, relative: a careful pair of hands
AIR = 1.2086  # kg/m³ at the demo field's 140 m, standard atmosphere
DENSITY = {"carbon": 1550.0, "glass": 1950.0, "bamboo": 750.0, "spruce": 430.0}
FITTINGS = 1.6e-3  # kg of thread, glue, tape and bridle on a kite of 0.15 m² (scaled with its size)

# What each flyer really likes: best-low and best-high over the flex wind, and how much that wanders from kite to kite.
LIKES = {"Ansa": (0.56, 0.95), "Rook": (0.74, 1.30)}
WANDER = 0.07


class Truth(NamedTuple):
    """Modulus of either half, GPa; what the skin adds, N·m² per metre of mean chord; how hands hold the halves."""

    left: float
    right: float
    skin: float = 0.0
    hold: float = 1.0


TRUTH = {
    "afterword": Truth(117, 118.5, 0.010),
    "ampersand": Truth(39.0, 38.8, 0.012),
    "blotter": Truth(121, 119.5, 0.009),
    "colophon": Truth(14.6, 14.5, 0.016),
    "deckle": Truth(16.9, 15.1, 0.017),
    "ditto": Truth(117, 118, 0.030, 0.95),
    "dust-jacket": Truth(120, 120, 0.016),
    "erratum": Truth(111, 123.5, 0.016),
    "foolscap": Truth(122, 121, 0.015),
    "ink-cap": Truth(120, 116.5, 0.009),
    "longhand": Truth(126.5, 117.5, 0.016),
    "marginalia": Truth(119, 118, 0.015),
    "nib": Truth(118, 118.5, 0.010),
    "octavo": Truth(37.5, 37.9, 0.011),
    "palimpsest": Truth(15.6, 15.2, 0.016),
    "paperknife": Truth(121.5, 120, 0.032),
    "quarto": Truth(38.8, 38.6, 0.009),
    "small-hours": Truth(123, 124, 0.010),
    "suminagashi": Truth(118.5, 118, 0.010),
    "vellum": Truth(120.5, 119.5, 0.010),
    "watermark": Truth(115, 125, 0.017),
}


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


class Bench:
    """One invented kite: its true halves, changing as they are shaved, and the readings they give."""

    def __init__(self, key: str, front: dict[str, Any], rods: dict[str, Any]) -> None:
        """The kite `key` with its file's front matter and the book's rods."""
        self.truth = TRUTH[key]
        self.dice = random.Random(f"demo:{key}")
        self.front, self.rod = front, rods[front["bow"]["rod"]]
        self.half = metres(front["bow"]["length"]) / 2
        self.outline = [(metres(x), metres(y)) for x, y in front["sail"]["outline"]]
        self.s = cells(self.half)
        self.EI = {"left": self.halves("left"), "right": self.halves("right")}
        self.chord = sail_area(self.outline) / (2 * max(x for x, _ in self.outline))
        self.covered = False

    def halves(self, side: str) -> Array:
        """Flexural rigidity of one half at the cell middles, N·m²."""
        modulus = getattr(self.truth, side) * 1e9
        stations = self.front["bow"].get("sections", {}).get(side)
        if not stations:
            return np.full_like(self.s, modulus * second_moment(section_of(self.rod)))
        at = [metres(e["at"]) for e in stations]
        shapes = [section_of(e) for e in stations]
        run = {k: np.interp(self.s, at, [shape[k] for shape in shapes]) for k in shapes[0]}
        each = [second_moment({k: float(v[i]) for k, v in run.items()}) for i in range(len(self.s))]
        return modulus * np.array(each)

    def skinned(self, side: str) -> Array:
        """The half with what the skin adds, if it is on by now."""
        return self.EI[side] + (self.truth.skin * self.chord if self.covered else 0.0)

    def shaves(self, note: dict[str, Any]) -> None:
        """Takes the shaving off the true half."""
        third = {"whole half": (0, 3), "inner third": (0, 1), "middle third": (1, 2), "outer third": (2, 3)}
        start, end = (edge / 3 for edge in third[note["zone"]])
        section = section_of(self.rod)
        thick = section.get("round") or section.get("tube") or section["thick"]
        left = (1 - metres(note["taken"]) / thick) ** (3 if "thick" in section else 4)
        inside = (self.s > start * self.half) & (self.s < end * self.half)
        self.EI[note["side"]] = np.where(inside, self.EI[note["side"]] * left, self.EI[note["side"]])

    def press(self, side: str, repeats: int, entry: dict[str, Any]) -> str:
        """Repeats of a press reading, whole grams, as the scale would have shown them."""
        if side == "whole":
            EI = np.concatenate((self.skinned("left")[::-1], self.skinned("right"))).reshape(-1, 2).mean(axis=1)
            length, hold = 2 * self.half, 1.0
        else:
            length, hold = self.half, 0.6991556597 if entry.get("hold") == "clamped" else self.truth.hold
            EI = self.skinned(side)
        load = column_load(EI, length) / hold**2
        if "rise" in entry:
            load *= rise_factor(metres(entry["rise"]), length)
        weight = self.bow_mass() * length / (2 * self.half)
        true = load / G0 * 1000 + (0.5 if hold > 0.8 else 0.346) * weight * 1000
        return ", ".join(f"{true * self.dice.gauss(1, SCATTER):.0f}" for _ in range(repeats))

    def drops(self, side: str, entry: dict[str, Any]) -> str:
        """Repeats of a sag's or droop's drop, to half a millimetre."""
        EI = float(np.mean(self.EI[side]))
        if "sag" in entry:
            true = grams(entry["sag"]["load"]) * G0 * metres(entry["sag"]["span"]) ** 3 / (48 * EI)
            repeats = entry["sag"]["drop"]
        else:
            true = droop(grams(entry["droop"]["load"]) * G0, metres(entry["droop"]["length"]), EI)
            repeats = entry["droop"]["drop"]
        shown = [round(true * self.dice.gauss(1, SCATTER) * 2000) / 2 for _ in repeats]
        return ", ".join(f"{x:g} mm" for x in shown)

    def bow_mass(self) -> float:
        """Mass of the bow, kg."""
        return area_of(section_of(self.rod)) * DENSITY[self.rod["material"]] * 2 * self.half

    def liked(self, flyer: str) -> tuple[float, float]:
        """Where this flyer liked the kite best, m/s: low and high."""
        self.covered = True
        flex = flex_wind(self.skinned("left"), self.skinned("right"), self.half, self.outline, AIR)
        wander = self.dice.gauss(0, WANDER)
        low, high = (flex * ratio * math.exp(wander + self.dice.gauss(0, 0.03)) for ratio in LIKES[flyer])
        return low, high


UNITS = {"mph": 0.44704, "km/h": 1 / 3.6, "m/s": 1.0}
READING = re.compile(r"\b(left|right|whole): +(\[[^\]]*\] *g?|\{.*\}|[\d., ]+ g)(?= *(#.*)?$)")


def range_in(unit: str, low: float, high: float) -> str:
    """A wind range as a maker notes it: halves in the small numbers, whole ones above."""

    def nearest(v: float) -> float:
        return max(round(v * 2) / 2, 0.5) if v < (6 if unit == "mph" else 4) else float(round(v))

    a, b = nearest(low / UNITS[unit]), nearest(high / UNITS[unit])
    return f"{a:g}-{b if b > a else a + 0.5:g} {unit}"


class Filling:
    """Walks a kite file line by line, in the order things happened, and puts the drawn readings in."""

    def __init__(self, bench: Bench) -> None:
        """A filling from one bench."""
        self.bench, self.part, self.flyer, self.blew = bench, "", "", ""

    def line(self, text: str) -> str:
        """The line with its readings replaced."""
        if text[:1].isalpha():
            self.part = text.split(":")[0]
        if self.part in ("bench", "covered"):
            self.bench.covered = self.part == "covered"
            text = READING.sub(self.reading, text)
            if found := re.search(r"\bshave: +(\{.*\})", text):
                self.bench.shaves(yaml.safe_load(found[1]))
        elif self.part == "flights":
            text = self.flight(text)
        return text

    def reading(self, found: re.Match[str]) -> str:
        """One reading, in the shape it was written in."""
        side, written = found[1], found[2]
        entry = yaml.safe_load(written) if written.startswith("{") else {}
        if "sag" in entry or "droop" in entry:
            return f"{side}: " + re.sub(r"drop: *\[[^\]]*\]", f"drop: [{self.bench.drops(side, entry)}]", written)
        if "press" in entry:
            drawn = self.bench.press(side, len(entry["press"]), entry)
            return f"{side}: " + re.sub(r"press: *\[[^\]]*\]", f"press: [{drawn}]", written)
        return f"{side}: {self.bench.press(side, written.count(',') + 1, {})} g"

    def flight(self, text: str) -> str:
        """The winds of one flight; a flight names its flyer before its winds, and `wind` before `best`."""
        if found := re.search(r"\bflyer: +(\w+)", text):
            self.flyer = found[1]
            self.low, self.high = self.bench.liked(self.flyer)
        if found := re.search(r"\b(wind|best): +[\d.]+-[\d.]+ (mph|km/h|m/s)", text):
            wide = (0.5, 1.2) if found[1] == "wind" else (0.0, 0.0)
            low, high = max(self.low - wide[0], 0.2), self.high + wide[1]
            text = text.replace(found[0], f"{found[1]}: {range_in(found[2], low, high)}")
        return text


def fill(file: Path, rods: dict[str, Any]) -> bool:
    """Writes the drawn readings into one kite file; False where it has no bow to read or no truth."""
    text = file.read_text(encoding="utf-8")
    _, front, story = text.split("---\n", 2)
    known = yaml.safe_load(front)
    if file.stem not in TRUTH or "bow" not in known:
        return False
    filling = Filling(Bench(file.stem, known, rods))
    lines = [filling.line(line) for line in front.splitlines()]
    file.write_text("---\n" + "\n".join(lines) + "\n---\n" + story, encoding="utf-8")
    return True


def advise(file: Path, rods: dict[str, Any], skins: dict[str, Any]) -> str:
    """What this kite should weigh, and where its bow should cross the spine for its tips to lie on the outline."""
    known = yaml.safe_load(file.read_text(encoding="utf-8").split("---\n", 2)[1])
    if any(part not in known for part in ("bow", "sail", "spine")):
        return f"{file.stem}: -"
    bench = Bench(file.stem, known, rods) if file.stem in TRUTH else None
    outline = [(metres(x), metres(y)) for x, y in known["sail"]["outline"]]
    length, width = metres(known["bow"]["length"]), 2 * max(x for x, _ in outline)
    rise = strung_rise(length, metres(known["bow"]["span"]))
    spine = rods[known["spine"]["rod"]]
    area = sail_area(outline)
    mass = area * float(str(skins[known["sail"]["skin"]]["areal"]).split()[0]) / 1000 + FITTINGS * area / 0.15
    mass += area_of(section_of(spine)) * DENSITY[spine["material"]] * metres(known["spine"]["length"])
    bow = bench.bow_mass() if bench else 0.0
    tip = max(outline)[1]
    return (
        f"{file.stem:14} mass {1000 * (mass + bow):5.1f} g  bow {1000 * bow:4.2f} g  width {width * 1000:.0f}  "
        f"span {known['bow']['span']}  crosses {1000 * (tip - rise):4.0f} mm  area {area:.3f} m²"
    )


def main(names: list[str]) -> None:
    """Fills the named files, or all kites of the demo book, and prints what was done."""
    rods = yaml.safe_load((CONTENT / "stock" / "rods.yaml").read_text(encoding="utf-8"))
    skins = yaml.safe_load((CONTENT / "stock" / "skins.yaml").read_text(encoding="utf-8"))
    for file in [Path(n) for n in names] or sorted((CONTENT / "kites").glob("*.md")):
        print(("filled " if fill(file, rods) else "left   ") + advise(file, rods, skins))


if __name__ == "__main__":
    main(sys.argv[1:])
