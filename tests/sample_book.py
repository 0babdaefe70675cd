"""A small book with something of everything, and ways to change it: for tests of publishing."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from bowbook.build.publish import publish
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
    photo(root / "content" / "kites" / "knot" / "beach.jpg")
    (root / "content" / "pages").mkdir()
    (root / "content" / "pages" / "words.md").write_text("# Words\n\nOf [Knot](../kites/knot.md).\n")
    return root


def photo(path: Path, shade: int = 90) -> None:
    """A photo with a place and a camera noted in it."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (700, 500), (shade, 140, 200))
    ImageDraw.Draw(picture).polygon([(350, 80), (500, 250), (350, 430), (200, 250)], fill=(190, 60, 40))
    exif = Image.Exif()
    exif[0x010F] = "SECRETCAM"
    exif[0x0132] = "2026:05:03 12:00:00"
    exif.get_ifd(0x8825)[2] = (52.0, 5.0, 30.0)
    exif.get_ifd(0x8825)[29] = "SECRETPLACE"
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path, "JPEG", exif=exif, comment=b"SECRETCOMMENT")


def change(root: Path, dice: random.Random) -> str:
    """Change something about the book, and say what."""
    kites = root / "content" / "kites"
    there = sorted(path.stem for path in kites.glob("*.md") if path.stem not in ("shy", "knot", "turnstone"))
    number = dice.randrange(1000)
    what = dice.choice(["story", "reading", "new", "remove", "rename", "page", "photo", "settings", "hide", "stock"])
    if what == "story":
        with (kites / "knot.md").open("a") as file:
            file.write(f"\nMore, {number}.\n")
    elif what == "reading":
        (kites / "turnstone.md").write_text(kite("Turnstone", left=205 + number % 20))
    elif what == "new":
        (kites / f"new-{number}.md").write_text(kite(f"New {number}"))
    elif what == "remove" and there:
        (kites / f"{there[0]}.md").unlink()
    elif what == "rename" and there:
        (kites / f"{there[-1]}.md").rename(kites / f"renamed-{number}.md")
    elif what == "page":
        (root / "content" / "pages" / "words.md").write_text(f"# Words {number}\n\nOf [Knot](../kites/knot.md).\n")
    elif what == "photo":
        photo(kites / "knot" / "beach.jpg", number % 250)
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
