"""Writes an invented book of any size, seeded: ten kites to look at, ten thousand to measure with.

python tests/tools/large_book.py FOLDER --kites 1000 --seed 1 [--photos 0]
"""

from __future__ import annotations

import argparse
import json
import math
import random
import shutil
from pathlib import Path

CONTENT = Path(__file__).resolve().parents[2] / "content"
SOUNDS = "ba cor del fen gli hav ib jun kel lor mi nar os pel qui ra sol tam ul ver wen yar zo"
SYLLABLES = SOUNDS.split()
# Pieces that names are put together from, by script; they mean nothing in particular.
SCRIPTS = {
    "latin": ("", [s.capitalize() + e for s in SYLLABLES for e in ("nock", "lin", "ster", "wick")]),
    "accents": (" ", ["Ærø", "Čička", "Dúfa", "Éclat", "Łąka", "Ñandú", "Ørret", "Þoka", "Ždral", "Ünlü"]),
    "japanese": ("", ["白雲", "夕凪", "しぶき", "ツバメ", "青嵐", "小春", "墨色", "折鶴"]),
    "korean": (" ", ["하늘", "바람", "종이", "연못", "새벽"]),
    "arabic": (" ", ["ورق", "نسيم", "جناح", "حبر", "سحاب", "خيط"]),
    "hebrew": (" ", ["נייר", "רוח", "כנף", "דיו", "ענן"]),
    "greek": (" ", ["Άνεμος", "Χαρτί", "Νήμα", "Φτερό"]),
    "cyrillic": (" ", ["Бумага", "Ветер", "Крыло", "Нить"]),
    "devanagari": (" ", ["पतंग", "कागज़", "हवा", "डोर"]),
}
TALK = """paper glue thread evening knife scale half bow skin wind patience sand stroke reading tip nose spine line
turn climb fall table lamp window field grass gust lull hand friend bundle rod strip fold edge corner winter"""
WORDS = TALK.split()
RODS = {  # name: modulus GPa, diameter mm or (wide, thick) mm
    "carbon-1.0": (120, 1.0),
    "carbon-1.2": (120, 1.2),
    "carbon-1.5": (120, 1.5),
    "carbon-2.0": (120, 2.0),
    "glass-1.5": (38, 1.5),
    "glass-2.0": (38, 2.0),
    "bamboo-strip": (15, (4.0, 1.8)),
}
SKINS = {"washi-30": (0.016, 30), "tissue-18": (0.010, 18), "film-12": (0.009, 17), "spun-43": (0.030, 43)}
FLYERS = ("Ansa", "Rook", "Tuil", "Ode")
STAGES = ("flying",) * 8 + ("building", "building", "retired", "planned")


def name_of(number: int, dice: random.Random) -> str:
    """A name no other kite has: mostly plain, some in other scripts, some very long, some full of odd characters."""
    kind = dice.choices(["latin", "odd", "long", *list(SCRIPTS)[1:]], [60, 2, 3, *[4] * (len(SCRIPTS) - 1)])[0]
    if kind == "odd":
        return f'Nick & "Quote" <b>{number}</b> \'`$'
    if kind == "long":
        return " ".join(dice.choice(WORDS).capitalize() for _ in range(12))[:76] + f" {number}"
    gap, pieces = SCRIPTS[kind]
    return f"{gap.join(dice.sample(pieces, 2)) if kind != 'latin' else dice.choice(pieces)} {number}"


def paragraph(dice: random.Random, words: int) -> str:
    """Sentences about nothing, wrapped."""
    lines, line = [], ""
    for i in range(words):
        word = dice.choice(WORDS)
        line += (word.capitalize() if i % 9 == 0 else word) + (". " if i % 9 == 8 else " ")
        if len(line) > 90:
            lines, line = [*lines, line.strip()], ""
    return "\n".join([*lines, line.strip()] if line.strip() else lines).removesuffix(".") + "."


def sentence(dice: random.Random, words: int) -> str:
    """The same on one line, as front matter wants it."""
    return paragraph(dice, words).replace("\n", " ")


def kite_text(number: int, dice: random.Random, photo: bool) -> str:
    """One kite file."""
    rod, skin = dice.choice(list(RODS)), dice.choice(list(SKINS))
    modulus, section = RODS[rod]
    inertia = math.pi * section**4 / 64 if isinstance(section, float) else section[0] * section[1] ** 3 / 12  # mm⁴
    span = round(dice.uniform(260, 700))
    length, height = round(span * dice.uniform(1.03, 1.12)), round(span * dice.uniform(0.82, 0.95))
    half, chord = length / 2000, height / 2000
    true = {side: modulus * 1e-3 * inertia * dice.gauss(1, 0.03) for side in ("left", "right")}  # N·m²

    def press(side: str, extra: float, repeats: int, share: float = 1.0) -> str:
        grams = math.pi**2 * (true[side] * share + extra) / half**2 / 9.80665e-3
        return ", ".join(f"{grams * dice.gauss(1, 0.008):.0f}" for _ in range(repeats)) + " g"

    added = SKINS[skin][0] * chord
    flex = 1.3 * math.sqrt(2 * 0.8 * (sum(true.values()) / 2 + added) / (chord * half**3) / 1.225) / 0.44704
    stage = dice.choice(STAGES)
    front = [
        f"name: {json.dumps(name_of(number, dice))}" if dice.random() < 0.5 else f"name: >-\n  {name_of(number, dice)}",
        f"made: {2018 + number % 9}-{dice.randint(1, 12):02}-{dice.randint(1, 28):02}",
        f"stage: {stage}",
        f"summary: {sentence(dice, 9)}",
        "sail:",
        f"  skin: {skin}",
        f"  outline: [[0, 0], [{span / 4:.0f}, {span * 0.16:.0f}], [{span / 2:.1f}, {span * 0.34:.0f}], [0, {height}]]",
        f"mass: {height * span / 2e6 * (SKINS[skin][1] + 40):.1f} g",
        f"spine: {{rod: bamboo-spine, length: {height}}}",
        f"bow: {{rod: {rod}, length: {length}, span: {span}, crosses: {span * 0.17:.0f}}}",
    ]
    if stage != "planned":
        front.append("bench:")
        for r in range(dice.randint(1, 4)):
            front.append(f"  - on: 2026-0{r + 1}-0{dice.randint(1, 9)}")
            front.append(f"    left: {press('left', 0, 3, 1 + 0.03 * (3 - r))}")
            front.append(f"    right: {press('right', 0, 3)}")
            if r < 3 and dice.random() < 0.6:
                front.append(
                    f"    shave: {{side: left, zone: middle third, strokes: {dice.randint(5, 20)}, taken: 0.02 mm}}"
                )
        if dice.random() < 0.6:
            front += ["covered:", f"  left: {press('left', added, 2)}", f"  right: {press('right', added, 2)}"]
    if stage in ("flying", "retired") and dice.random() < 0.8:
        front.append("flights:")
        for _ in range(dice.randint(1, 5)):
            low = flex * 0.6 * dice.gauss(1, 0.08)
            front.append(f"  - on: 2026-0{dice.randint(1, 9)}-1{dice.randint(0, 9)}")
            front.append(f"    flyer: {dice.choice(FLYERS)}")
            front.append(f"    wind: {max(low * 0.8, 0.2):.1f}-{low * 2.2:.1f} mph")
            front.append(f"    best: {low:.1f}-{low * 1.7:.1f} mph")
            front.append(f"    control: {dice.randint(1, 5)}\n    speed: {dice.randint(1, 5)}")
            front.append(f"    note: {sentence(dice, 12)}")
    if photo:
        front.append("photos:\n  - {file: drawn.jpg, alt: A drawing of a kite., caption: Drawn and not photographed.}")
    story = "\n\n".join(paragraph(dice, dice.randint(20, 160)) for _ in range(dice.randint(1, 4)))
    return "---\n" + "\n".join(front) + "\n---\n" + story + "\n"


def write_book(folder: Path, kites: int, seed: int = 1, photos: int = 0) -> Path:
    """`folder` as a book of that many invented kites, the first `photos` of them with a picture; gives the folder."""
    dice = random.Random(f"large:{seed}")
    content = folder / "content"
    (content / "kites").mkdir(parents=True)
    shutil.copytree(CONTENT / "stock", content / "stock")
    about = "An invented book, made by a script to see how a shelf of this size looks."
    (content / "book.yaml").write_text(
        f"title: A shelf of {kites}\nmaker: Nobody\ndemonstration: {about}\n"
        "units: {length: mm, force: g, mass: g, wind: mph}\nflyer: Ansa\n",
        encoding="utf-8",
    )
    for number in range(1, kites + 1):
        key = f"{dice.choice(SYLLABLES)}{dice.choice(SYLLABLES)}-{number}"
        has_photo = number <= photos
        (content / "kites" / f"{key}.md").write_text(kite_text(number, dice, has_photo), encoding="utf-8")
        if has_photo:
            (content / "kites" / key).mkdir()
            shutil.copy(CONTENT / "kites" / "longhand" / "on-the-slipway.jpg", content / "kites" / key / "drawn.jpg")
    return folder


def main() -> None:
    """Writes a book where the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("folder", type=Path)
    words.add_argument("--kites", type=int, default=100)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--photos", type=int, default=0)
    asked = words.parse_args()
    print(write_book(asked.folder, asked.kites, asked.seed, asked.photos))


if __name__ == "__main__":
    main()
