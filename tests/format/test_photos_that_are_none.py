"""What is no photo is found by checking, at the line that names it: what checking passes can be published."""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from bowbook.build.publish import publish
from bowbook.format.pictures import picture_problem
from bowbook.format.read_book import read_book
from bowbook.pages.links import link_problems
from helpers import small_book


def picture(kind: str = "JPEG", size: tuple[int, int] = (60, 40)) -> bytes:
    """A picture of noise, as its kind is written by a library of its own."""
    out = io.BytesIO()
    Image.frombytes("RGB", size, os.urandom(3 * size[0] * size[1])).save(out, kind)
    return out.getvalue()


WRONG: dict[str, Callable[[Path], object]] = {
    "missing": lambda _: None,
    "folder": lambda path: path.mkdir(),
    "pipe": lambda path: os.mkfifo(path),
    "device": lambda path: path.symlink_to("/dev/zero"),
    "ring": lambda path: path.symlink_to(path.name),
    "empty": lambda path: path.write_bytes(b""),
    "text": lambda path: path.write_bytes(b"no picture"),
    "web page": lambda path: path.write_bytes(b"<!doctype html><img>"),
    "drawing": lambda path: path.write_bytes(b"<svg xmlns='http://www.w3.org/2000/svg'/>"),
    "another kind": lambda path: path.write_bytes(picture("PNG")),
    "cut in half": lambda path: path.write_bytes(picture()[:900]),
    "cut at the end": lambda path: path.write_bytes(picture()[:-2]),
    "zeroed": lambda path: path.write_bytes(bytes(5000)),
    "zeroed behind its head": lambda path: path.write_bytes(picture()[:200] + bytes(5000)),
    "head alone": lambda path: path.write_bytes(b"\xff\xd8\xff"),
    "strip": lambda path: path.write_bytes(picture(size=(900, 10))),
    "link out": lambda path: path.symlink_to("/etc/hostname"),
    "too many bytes": lambda path: path.open("wb").truncate(61_000_000),
}


@pytest.mark.parametrize("named", ["photos: [{file: beach.jpg, alt: x}]", "story"])
@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.filterwarnings("ignore::ResourceWarning")
def test_checking_finds_it(wrong: str, named: str, tmp_path: Path) -> None:
    """In the list of photos and in the story alike, at its own line; nothing is waited for."""
    front, story = ("", "Two lines.\n\n![x](beach.jpg)") if named == "story" else (named, "")
    root = small_book(tmp_path / "book", {"knot": f"---\nname: Knot\n{front}\n---\n{story}\n"})
    folder = root / "content" / "kites" / "knot"
    folder.mkdir()
    WRONG[wrong](folder / "beach.jpg")
    book = read_book(root)
    (problem,) = (*book.problems, *link_problems(book))
    assert problem.location.file == "content/kites/knot.md"
    assert problem.location.line == (7 if story else 3)


@pytest.mark.parametrize(
    ("kind", "name"),
    [("JPEG", "a.jpg"), ("PNG", "a.png"), ("GIF", "a.gif"), ("WEBP", "a.webp"), ("TIFF", "a.tif"), ("JPEG", "A.JPEG")],
)
def test_every_kind_that_passes_is_published(kind: str, name: str, tmp_path: Path) -> None:
    """A sound picture of each kind is no problem, and stands on the site."""
    root = small_book(tmp_path / "book", {"knot": f"---\nname: Knot\nphotos: [{{file: {name}, alt: x}}]\n---\n"})
    (root / "content" / "kites" / "knot").mkdir()
    (root / "content" / "kites" / "knot" / name).write_bytes(picture(kind))
    assert publish(root).wrote


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "GIF", "WEBP"])
def test_sizes_are_read_as_a_library_reads_them(kind: str, tmp_path: Path) -> None:
    """Nine thousand pixels a side are too many for what is unfolded whole; a JPEG is reduced while it is read."""
    path = tmp_path / f"a.{'jpg' if kind == 'JPEG' else kind.lower()}"
    Image.new("L", (9000, 9000)).save(path, kind, method=0)  # of WebP: the quickest
    assert (picture_problem(path) is None) == (kind == "JPEG")
    Image.new("L", (1441, 961)).save(path, kind)
    assert picture_problem(path) is None
    Image.new("L", (1441, 101)).save(path, kind)
    assert "strip" in str(picture_problem(path))
