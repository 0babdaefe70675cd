"""Whether a file is a photo that can be shown: by what it is, not by what it is called, and without decoding it.

It is opened only as one of the kinds a camera or a phone makes: every further decoder is one more to attack.
"""

from __future__ import annotations

import os
import struct
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from bowbook.storage.regular import opened_plain

if TYPE_CHECKING:
    from PIL import Image

LARGEST_BYTES = 60_000_000
LARGEST_PIXELS = 40_000_000  # decoded in memory a photo takes up to four bytes a pixel, and some of it twice
LARGEST_JPEG_PIXELS = 250_000_000  # a JPEG is decoded at an eighth where that is enough
LONGEST_SIDE_RATIO = 8  # longer strips are no pictures
LONGEST_NAME = 200  # bytes
FORMATS = {
    "JPEG": (".jpg", ".jpeg"),
    "MPO": (".jpg", ".jpeg"),
    "PNG": (".png",),
    "WEBP": (".webp",),
    "GIF": (".gif",),
    "TIFF": (".tif", ".tiff"),
    "AVIF": (".avif",),
}
NO_PHOTO = "is no photo, or of a kind that can't be read"
TOO_LARGE = "unfolds to too many pixels: make it smaller before it goes into the book"
# What each kind ends with; a file that was cut short has not got it.
_ENDS = {"JPEG": b"\xff\xd9", "PNG": b"IEND\xaeB`\x82", "GIF": b"\x3b"}
_TAIL = 65_536  # some cameras write more behind the picture


def picture_problem(path: Path) -> str | None:
    """What is wrong with a photo's file, as a sentence goes on after its name; None if nothing shows.

    Raises NotPlainError for what is no plain file, OSError where it cannot be read.
    """
    with opened_plain(path) as file:
        length = os.fstat(file.fileno()).st_size
        if length > LARGEST_BYTES:
            return f"is larger than {LARGEST_BYTES // 10**6} MB"
        try:
            kind, size = _begins(file)
        except (struct.error, IndexError):
            return "is damaged or ends early"
        if not kind:
            return NO_PHOTO
        file.seek(-min(_TAIL, length), os.SEEK_END)
        if _ENDS.get(kind, b"") not in file.read(_TAIL):
            return "is damaged or ends early"
        return _named_problem(kind, path.suffix) or (_size_problem(kind, *size) if size else None)


def _begins(file: BinaryIO) -> tuple[str, tuple[int, int] | None]:
    """The kind of picture that a file begins as ("" for none of ours), and its width and height where that is told.

    Places of the figures: JPEG ITU-T T.81 B.2.2; PNG (W3C) 11.2.2; GIF89a 18; WebP RFC 9649, 2.5 to 2.7.
    """
    head = file.read(32)
    if head[:3] == b"\xff\xd8\xff":
        return "JPEG", _jpeg_size(file)
    if head[:8] == b"\x89PNG\r\n\x1a\n":
        return "PNG", struct.unpack(">II", head[16:24])
    if head[:6] in (b"GIF87a", b"GIF89a"):
        return "GIF", struct.unpack("<HH", head[6:10])
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        if head[12:16] == b"VP8X":
            return "WEBP", (int.from_bytes(head[24:27], "little") + 1, int.from_bytes(head[27:30], "little") + 1)
        if head[12:16] == b"VP8L":
            bits = int.from_bytes(head[21:25], "little")
            return "WEBP", ((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1)
        width, height = struct.unpack("<HH", head[26:30])
        return "WEBP", (width & 0x3FFF, height & 0x3FFF)
    if head[:4] in (b"II*\0", b"MM\0*"):
        return "TIFF", None
    return ("AVIF", None) if head[4:12] in (b"ftypavif", b"ftypavis") else ("", None)


def _jpeg_size(file: BinaryIO) -> tuple[int, int] | None:
    """Width and height as the frame of a JPEG tells them; None where it has none among its first parts."""
    file.seek(2)
    for _ in range(500):
        mark, kind, length = struct.unpack(">BBH", file.read(4))
        if mark != 0xFF:
            return None
        if 0xC0 <= kind <= 0xCF and kind not in (0xC4, 0xC8, 0xCC):
            _, height, width = struct.unpack(">BHH", file.read(5))
            return width, height
        file.seek(length - 2, os.SEEK_CUR)
    return None


def shape_problem(photo: Image.Image, suffix: str) -> str | None:
    """What is wrong with a photo that was opened and not yet decoded."""
    kind = photo.format or ""
    return _named_problem(kind, suffix) or _size_problem(kind, *photo.size)


def _named_problem(kind: str, suffix: str) -> str | None:
    fitting = FORMATS[kind]
    return None if suffix.lower() in fitting else f"is named {suffix} but is a {kind} picture: name it {fitting[0]}"


def _size_problem(kind: str, width: int, height: int) -> str | None:
    if width * height > (LARGEST_JPEG_PIXELS if kind in ("JPEG", "MPO") else LARGEST_PIXELS):
        return TOO_LARGE
    if max(width, height) > LONGEST_SIDE_RATIO * min(width, height):
        return "is a strip, over eight times as long as wide: crop it"
    return None


@cache
def formats() -> tuple[str, ...]:
    """The kinds that may be opened, and only they."""
    from PIL import Image

    for kind in FORMATS:
        import_module(f"PIL.{'WebP' if kind == 'WEBP' else kind.capitalize()}ImagePlugin")
    return tuple(kind for kind in FORMATS if kind in Image.OPEN)
