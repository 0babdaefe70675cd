"""What is private or hidden, and what a photo tells about its maker, is nowhere in the site, in no form."""

from __future__ import annotations

import io
import re
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from bowbook.build.publish import publish
from helpers import bytes_under, small_book
from sample_book import lively_book

WORDS = (b"PRIVATE", b"HIDDEN", b"SECRETCAM", b"SECRETPLACE", b"SECRETCOMMENT", b"2026:05:03", b"2026-05-11")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A published book with a private flight, a hidden kite and a photo that tells where it was taken."""
    root = lively_book(tmp_path_factory.mktemp("private") / "book")
    assert publish(root).wrote
    return root


def readings(data: bytes) -> Iterator[bytes]:
    """A file's bytes, and what is packed in them: the streams of a PDF, text in two bytes a letter."""
    yield data
    yield data.replace(b"\0", b"")
    for stream in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", data, re.S):
        try:
            yield zlib.decompress(stream[1])
        except zlib.error:
            continue


def test_no_word_of_it_is_in_any_file(book: Path) -> None:
    """Page, data, feed, sheet, picture, shared file: none holds a private note, a hidden name or a photo's secrets."""
    assert all(word in (book / "content/kites/knot/beach.jpg").read_bytes() for word in WORDS[2:5])
    for address, data in bytes_under(book / "output").items():
        for reading in readings(data):
            assert [word for word in WORDS if word in reading] == [], address


def test_nor_in_the_text_of_a_sheet(book: Path) -> None:
    """The words of a PDF, read as a reader shows them, and what it says about itself, hold none of it."""
    from pypdf import PdfReader

    for path in (book / "output").rglob("*.pdf"):
        reader = PdfReader(path)
        text = " ".join(page.extract_text() for page in reader.pages) + str(reader.metadata)
        assert not re.search("PRIVATE|HIDDEN|SECRET", text)


def test_a_hidden_kite_is_not_even_counted(book: Path) -> None:
    """Three kites are shown: nothing tells that there is a fourth."""
    site = bytes_under(book / "output")
    assert not [address for address in site if "shy" in address]
    assert b"shy" not in site["data/kites.json"]


def test_the_mark_of_a_phone_is_nowhere(tmp_path: Path) -> None:
    """What tells a session that is read twice is of use at home only: page, data and shared file leave it out."""
    flight = "{on: 2024-05-01, flyer: A, best: 5-7 mph, session: 5e5510a15e5510a1/3}"
    root = small_book(tmp_path, {"knot": f"---\nname: Knot\nflights: [{flight}]\n---\n"})
    assert publish(root).wrote
    site = bytes_under(root / "output")
    assert b"2024-05-01" in site["data/kites.json"]
    assert [address for address, data in site.items() if b"5e5510a1" in data] == []


def test_pictures_hold_nothing_but_the_picture(book: Path) -> None:
    """No file made from a photo, and no drawn one, carries EXIF, place, comment, or colour profile."""
    seen = 0
    for path in (book / "output").rglob("*"):
        if path.suffix in (".webp", ".jpg", ".png"):
            picture = Image.open(io.BytesIO(path.read_bytes()))
            picture.load()
            assert len(picture.getexif()) == 0
            assert not set(picture.info) & {"exif", "comment", "icc_profile", "xmp", "Author", "Software", "Comment"}
            seen += 1
    assert seen >= 6
