"""Makes the demo book's readings: draws them, seeded, from invented true kites and writes them into content/.

Nobody built or flew these kites. For each there is a "truth" in demo_truths.py (how stiff either half really is, what
its skin adds, how fingers hold it, when it went soft); the readings are that truth put through plain mechanics, then
scattered as a kitchen scale and fingers scatter them, and rounded. Only numbers already standing in a file are
replaced: how many repeats a reading has, what was shaved and changed, the story and every comment are written by hand.
Run again, it gives the same numbers.

    python tests/tools/demo_readings.py          # all of content/
    python tests/tools/demo_readings.py FOLDER   # of a copy of it
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import yaml
from demo_bench import Bow, Truly, metres, section_of
from demo_truths import AIR, DENSITY, FITTINGS, TRUTH
from plain_mechanics import area_of, flex_wind, sail_area, strung_rise

CONTENT = Path(__file__).resolve().parents[2] / "content"
UNITS = {"mph": 0.44704, "km/h": 1 / 3.6, "m/s": 1.0}
READING = re.compile(r"\b(left|right|whole): +(\[[^\]]*\] *g?|\{.*\}(?= *(?:#.*)?$)|[\d., ]+ g)")
TIPS = re.compile(r"\btips: +(\{[^}]*\})")
WINDS = re.compile(r"\b(wind|best): +(?:(to) )?([\d.]+)(-[\d.]+)? (mph|km/h|m/s)( up)?")
TAP = re.compile(r"([\d.]+) (mph|km/h|m/s) (little|liked|much)")


def nearest(unit: str, speed: float) -> float:
    """A speed as a maker notes it: halves in the small numbers, whole ones above."""
    v = speed / UNITS[unit]
    return max(round(v * 2) / 2, 0.5) if v < (6 if unit == "mph" else 4) else float(round(v))


def tapped(text: str, low: float, high: float) -> tuple[str, str, str]:
    """The taps of a session in new winds, between which winds they lie, and between which they were liked."""
    taps = TAP.findall(text)
    liked = sum(said == "liked" for _, _, said in taps)
    winds: list[tuple[float, str, str]] = []
    for _, unit, said in taps:
        done = sum(was == said for _, _, was in winds)
        true = {
            "little": low * (0.72 + 0.12 * done),
            "liked": low + (high - low) * (0.12 + 0.76 * done / max(liked - 1, 1)),
            "much": high * (1.14 + 0.15 * done),
        }[said]
        winds.append((float(max(round(true / UNITS[unit]), 1)), unit, said))
    good = [v for v, _, said in winds if said == "liked"]
    return (
        ", ".join(f"{v:g} {unit} {said}" for v, unit, said in winds),
        span_of([v for v, _, _ in winds], winds[0][1]),
        span_of(good, winds[0][1]),
    )


def span_of(values: list[float], unit: str) -> str:
    """From the least to the greatest of some winds, as text."""
    low, high = min(values), max(values)
    return f"{low:g}-{high:g} {unit}" if high > low else f"{low:g} {unit}"


class Filling:
    """Walks a kite file line by line, in the order things happened, and puts the drawn readings in."""

    def __init__(self, kite: Truly) -> None:
        """A filling from one kite's truth."""
        self.kite, self.part, self.on, self.skin_on, self.bow = kite, "", "", False, ""
        self.low = self.high = 0.0
        self.number, self.flight_at = 0, 0
        self.lines: list[str] = []

    def line(self, text: str) -> None:
        """Takes in one line, its readings replaced."""
        if text[:1].isalpha():
            self.part = text.split(":")[0]
            self.on, self.skin_on, self.bow = "9999", self.part == "covered", ""
        if self.part in ("bench", "covered", "flights"):
            self._entry(text)
        if self.part in ("bench", "covered"):
            text = READING.sub(self._reading, text)
            text = TIPS.sub(self._tips, text)
            if found := re.search(r"\bshave: +(\[.*\]|\{.*\})", text):
                notes = yaml.safe_load(found[1])
                for note in notes if isinstance(notes, list) else [notes]:
                    self.kite.bows[self.bow].shaves(note)
        elif self.part == "flights":
            text = self._flight(text)
        self.lines.append(text)

    def _entry(self, text: str) -> None:
        """What an entry says of itself before its readings: its day, its bow, whether the skin is on."""
        if text.lstrip().startswith("- "):
            self.skin_on, self.bow = self.part == "covered", ""
            self.number, self.flight_at = self.number + 1, len(self.lines)
        for name, value in re.findall(r"\b(on|skin|bow): +([\w-]+)", text):
            if name == "on":
                self.on = str(value)
            elif name == "skin":
                self.skin_on = value == "on"
            else:
                self.bow = value

    def _reading(self, found: re.Match[str]) -> str:
        """One reading, in the shape it was written in."""
        side, written = found[1], found[2]
        entry = yaml.safe_load(written) if written.startswith("{") else {}
        bow = self.kite.bows[self.bow]
        skin = self.kite.skin(self.on) if self.skin_on else 0.0
        if "sag" in entry or "droop" in entry:
            return f"{side}: " + re.sub(r"drop: *\[[^\]]*\]", f"drop: [{bow.drops(side, entry, self.on)}]", written)
        if "press" in entry:
            drawn = bow.press(side, len(entry["press"]), entry, self.on, skin)
            return f"{side}: " + re.sub(r"press: *\[[^\]]*\]", f"press: [{drawn}]", written)
        if written.startswith("["):
            return f"{side}: [{bow.press(side, written.count(',') + 1, {}, self.on, skin)}]"
        return f"{side}: {bow.press(side, written.count(',') + 1, {}, self.on, skin)} g"

    def _tips(self, found: re.Match[str]) -> str:
        """Both tips pressed back together."""
        entry = yaml.safe_load(found[1])
        return "tips: " + re.sub(r"both: *'[^']*'", f"both: '{self.kite.tips(entry, self.on)}'", found[1])

    def _flight(self, text: str) -> str:
        """The winds of one flight; a flight names its day, its flyer and its bow before its winds."""
        if found := re.search(r"\bflyer: +(\w+)", text):
            bow = next((b for name, b in self.kite.bows.items() if name == self.bow), None)
            bow = bow or next(iter(self.kite.bows.values()))
            self.low, self.high = self.kite.liked(found[1], self.on, bow, self.number)
        text = WINDS.sub(self._winds, text)
        if found := re.search(r"\btaps: +(.*)", text):
            taps, blew, liked = tapped(found[1], self.low, self.high)
            for at in range(self.flight_at, len(self.lines)):
                self.lines[at] = re.sub(r"\bwind: .*", f"wind: {blew}", self.lines[at])
                self.lines[at] = re.sub(r"\bbest: .*", f"best: {liked}", self.lines[at])
            text = text.replace(found[1], taps)
        return text

    def _winds(self, found: re.Match[str]) -> str:
        """What blew, a little wider than what was liked, or what was liked; an open end stays open."""
        what, only_to, _, wide, unit, only_from = found.groups()
        low, high = self.low, self.high
        if what == "wind":
            low, high = max(low - 0.5, 0.2), high + 1.2
        least, most = nearest(unit, low), nearest(unit, high)
        if only_to:
            return f"{what}: to {most:g} {unit}"
        if only_from:
            return f"{what}: {least:g} {unit} up"
        if not wide:
            return f"{what}: {nearest(unit, (low + high) / 2):g} {unit}"
        return f"{what}: {least:g}-{most if most > least else least + 0.5:g} {unit}"


def fill(file: Path, rods: dict[str, Any]) -> bool:
    """Writes the drawn readings into one kite file; False where it has no bow to read or no truth."""
    text = file.read_text(encoding="utf-8")
    _, front, story = text.split("---\n", 2)
    known = yaml.load(front, Loader=yaml.BaseLoader)
    if not any(key.partition(":")[0] == file.stem for key in TRUTH):
        return False
    filling = Filling(Truly(file.stem, known, rods))
    for line in front.splitlines():
        filling.line(line)
    file.write_text("---\n" + "\n".join(filling.lines) + "\n---\n" + story, encoding="utf-8")
    return True


def fill_strips(file: Path, rods: dict[str, Any]) -> None:
    """Writes the drawn readings into the loose strips."""
    strips = yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
    lines, bow, on = [], None, ""
    for line in file.read_text(encoding="utf-8").splitlines():
        if line[:1].isalpha():
            name = line.split(":")[0]
            bow = Bow(f"strip:{name}", strips[name], rods)
        if found := re.search(r"\bon: +([\d-]+)", line):
            on = found[1]
        if bow:
            for side, written in re.findall(r"\b(left|right|whole): +([\d., ]+ g)", line):
                drawn = bow.press(side, written.count(",") + 1, {}, on, 0.0)
                line = line.replace(f"{side}: {written}", f"{side}: {drawn} g")
        lines.append(line)
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")


def advise(file: Path, rods: dict[str, Any], skins: dict[str, Any]) -> str:
    """What this kite should weigh, where its bow should cross the spine, and the wind in which it truly flexes."""
    known = yaml.load(file.read_text(encoding="utf-8").split("---\n", 2)[1], Loader=yaml.BaseLoader)
    if any(part not in known for part in ("sail", "spine")) or "outline" not in known["sail"]:
        return f"{file.stem}: -"
    kite = Truly(file.stem, known, rods)
    width, area = 2 * max(x for x, _ in kite.outline), sail_area(kite.outline)
    spine = rods[known["spine"]["rod"]]
    rest = FITTINGS * area / 0.15
    rest += area_of(section_of(spine)) * DENSITY[spine["material"]] * metres(known["spine"]["length"])
    told = [f"{file.stem:14} width {width * 1000:.0f} area {area:.3f} m²"]
    for on in ["0", *(str(change["on"]) for change in known.get("changes", ()))]:
        skin = kite.on_day("skin", known["sail"]["skin"], on)
        sheet = area * float(str(skins[skin]["areal"]).split()[0]) / 1000
        for name, bow in kite.bows.items():
            span = metres(kite.on_day("span", bow.written["span"], on))
            flex = flex_wind(bow.whole(on, kite.skin(on)), 2 * bow.half, span, kite.outline, AIR) / UNITS["mph"]
            crosses = max(kite.outline)[1] - strung_rise(2 * bow.half, span)
            told.append(
                f"{on} {name} {skin} bow {bow.mass() * 1000:.2f} g mass {1000 * (sheet + rest + bow.mass()):.1f} g "
                f"span {span * 1000:.0f} crosses {1000 * crosses:.0f} flexes {flex:.2f} mph"
            )
    return "\n    ".join(told)


def main(content: Path = CONTENT) -> None:
    """Fills all kites and strips of the demo book's content, and prints what was done."""
    rods = yaml.safe_load((content / "stock" / "rods.yaml").read_text(encoding="utf-8"))
    skins = yaml.safe_load((content / "stock" / "skins.yaml").read_text(encoding="utf-8"))
    fill_strips(content / "stock" / "strips.yaml", rods)
    for file in sorted((content / "kites").glob("*.md")):
        print(("filled " if fill(file, rods) else "left   ") + advise(file, rods, skins))


if __name__ == "__main__":
    main(*(Path(name) for name in sys.argv[1:]))
