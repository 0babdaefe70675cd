"""A small book with something of everything, and ways to change it: for tests of publishing."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from drawn_photo import draw_photo

from bowbook.build.publish import publish
from everyday_edits import EDITS, Edit
from helpers import bytes_under, small_book

BOOK = """\
title: Three kites
maker: A. Maker
units: {length: mm, force: g, mass: g, wind: mph}
compare: [[knot, turnstone]]
"""
RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\n"
SKINS = "washi-30: {material: paper, areal: 17 g/m2, colours: ['#223355']}\n"
KITE = """\
---
name: {name}
made: 2026-05-03
stage: flying
sail: {{skin: washi-30, outline: [[0, 0], [300, 190], [0, 520]]}}
mass: 21 g
bow: {{rod: carbon-1.5, length: 640, span: 600, crosses: 110}}
bench:
  - left: {left}, 213, 215 g
    right: 198, 199, 197 g
flights:
  - {{on: 2026-05-10, flyer: MK, wind: 4-9 mph, best: 5-7 mph, note: Turned tight.}}
  - {{on: 2026-05-11, flyer: MK, best: 5-8 mph, private: true, note: PRIVATE}}
{photos}---
{story}
"""


def kite(name: str, left: int = 214, story: str = "A story.", photo: str = "") -> str:
    """A kite's file."""
    photos = f"photos:\n  - {{file: {photo}, alt: A kite over a field}}\n" if photo else ""
    return KITE.format(name=name, left=left, story=story, photos=photos)


def lively_book(folder: Path) -> Path:
    """Three kites, one with a photo, one hidden, a free page."""
    root = small_book(
        folder,
        {
            "knot": kite("Knot", photo="beach.jpg", story="# Made\n\nSee [Turnstone](turnstone.md).\n\n- one\n- two"),
            "turnstone": kite("Turnstone", left=220),
            "plain": "---\nname: Plain\n---\n",
            "shy": "---\nname: HIDDEN\nhidden: true\n---\nHIDDEN\n",
        },
        BOOK,
        RODS,
        SKINS,
    )
    draw_photo(root / "content" / "kites" / "knot" / "beach.jpg")
    (root / "content" / "pages").mkdir()
    (root / "content" / "pages" / "words.md").write_text("# Words\n\nOf [Knot](../kites/knot.md).\n")
    return root


def change(root: Path, dice: random.Random) -> str:
    """Change something about the book, and say what: an everyday edit, or something rarer."""
    kites = root / "content" / "kites"
    there = sorted(path.stem for path in kites.glob("*.md") if path.stem not in ("shy", "knot", "turnstone"))
    number = dice.randrange(1000)
    what = dice.choice([*EDITS, "remove", "rename", "page", "photo", "settings", "hide", "stock"])
    if isinstance(what, Edit):
        what.apply(root, number)
        return what.name
    if what == "remove" and there:
        (kites / f"{there[0]}.md").unlink()
    elif what == "rename" and there:
        (kites / f"{there[-1]}.md").rename(kites / f"renamed-{number}.md")
    elif what == "page":
        (root / "content" / "pages" / "words.md").write_text(f"# Words {number}\n\nOf [Knot](../kites/knot.md).\n")
    elif what == "photo":
        draw_photo(kites / "knot" / "beach.jpg", number % 250)
    elif what == "settings":
        (root / "content" / "book.yaml").write_text(f"{BOOK}accent: '#{number:03d}{number:03d}'\n")
    elif what == "hide" and there:
        path = kites / f"{there[0]}.md"
        path.write_text(path.read_text().replace("---\nname", "---\nhidden: true\nname", 1))
    elif what == "stock":
        (root / "content" / "stock" / "skins.yaml").write_text(SKINS.replace("17", str(12 + number % 20)))
    return what


def cold(root: Path, folder: Path) -> dict[str, bytes]:
    """What publishing a copy of the book from nothing gives."""
    shutil.copytree(root / "content", folder / "content")
    report = publish(folder)
    assert report.wrote, report.problems
    return bytes_under(folder / "output")


_PUBLISH = """
import sys
from pathlib import Path
from bowbook.build.publish import publish
report = publish(Path(sys.argv[1]))
print(report.wrote, *sorted({name.partition(".")[0] for name in sys.modules} & set(sys.argv[2:])))
"""


def loaded_by_publishing(root: Path, libraries: Iterable[str]) -> tuple[bool, set[str]]:
    """Whether publishing in a process of its own wrote anything, and which of the libraries it loaded."""
    words = [sys.executable, "-c", _PUBLISH, str(root), *libraries]
    wrote, *loaded = subprocess.run(words, capture_output=True, text=True, check=True).stdout.split()
    return wrote == "True", set(loaded)
