"""Photos for the site: upright, in three widths, with nothing left in them but the picture.

What a photo says about itself is not relied on: it is opened by what it is, only as one of the kinds a camera or a
phone makes, and refused if it is something else, is too large to decode, or ends early. A drawing (SVG) stays one:
its shapes and paints are written anew, and nothing else of its file.
"""

from __future__ import annotations

import io
import re
import unicodedata
import warnings
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from bowbook.book.file_names import folded
from bowbook.book.records import Kite
from bowbook.format.pictures import LARGEST_BYTES, NO_PHOTO, TOO_LARGE, formats, shape_problem
from bowbook.pages.links import pictures
from bowbook.pages.photo_view import NamedPhoto, PhotoView
from bowbook.storage.files import digest_of
from bowbook.storage.regular import TooLargeError, read_plain

if TYPE_CHECKING:
    from PIL import Image

WIDTHS = (480, 960, 1440)  # a phone, a phone of fine grain or a column, a wide column of fine grain
FALLBACK_WIDTH = 960
DRAWN = "drawn.svg"  # the end of a drawing's name on the site
_WEBP = {"format": "WEBP", "quality": 78, "method": 2}
_JPEG = {"format": "JPEG", "quality": 80, "optimize": True}


class NoPhotoError(ValueError):
    """Why some bytes are no photo, and what to do: two sentences."""


class PhotoFile(Struct, frozen=True):
    """A photo's file, as it was when the book's files were looked at: the digest of its bytes, "" where it was not."""

    path: str
    digest: str


class Made(Struct, frozen=True):
    """What one photo became: its upright size at its widest, and the digest of each file by the end of its name."""

    width: int
    height: int
    files: Mapping[str, str]


class PhotoSizes(Struct, frozen=True):
    """One photo as the site has it: what it became, and its files' bytes by the end of their names."""

    made: Made
    files: Mapping[str, bytes]


def sizes_of(photo: PhotoFile) -> PhotoSizes:
    """A photo's files for the site. Raises NoPhotoError."""
    path = Path(photo.path)
    data = _read(path)
    if digest_of(data) != photo.digest:
        raise NoPhotoError("changed while the book was read", "Publish again.")
    return PhotoSizes(*photo_files(data, path.suffix))


def made_of(sizes: PhotoSizes) -> Made:
    """What a photo became, without its bytes."""
    return sizes.made


def views_of(photos: Sequence[NamedPhoto], made: Sequence[Made]) -> tuple[PhotoView, ...]:
    """A kite's photos as its pages show them."""
    return tuple(_view(photo, stem, one) for photo, stem, one in zip(photos, stems(photos), made, strict=True))


def stems(photos: Sequence[NamedPhoto]) -> list[str]:
    """What the files of each of a kite's photos are called on the site, before their sizes."""
    taken: set[str] = set()
    return [_stem(photo.file, taken) for photo in photos]


def named_photos(kite: Kite) -> tuple[NamedPhoto, ...]:
    """Every photo of a kite: those its file lists, then those only its story shows."""
    listed = [NamedPhoto(photo.file, photo.alt, photo.caption) for photo in kite.photos]
    names = {photo.file for photo in listed}
    shown = (NamedPhoto(name, alt, in_story=True) for name, alt in pictures(kite.story, kite.file) if name not in names)
    return (*listed, *shown)


def photo_files(data: bytes, suffix: str) -> tuple[Made, dict[str, bytes]]:
    """A photo's files for the site, by the end of their names ("480.webp"). Raises NoPhotoError."""
    if suffix.lower() == ".svg":
        return _redrawn(data)
    from PIL import Image, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=formats()) as photo:
                if wrong := shape_problem(photo, suffix):
                    raise NoPhotoError(wrong, "Save it anew as .jpg, .png or .webp.")
                widest = _upright(photo)
            return _sizes(widest)
    except NoPhotoError:
        raise
    except UnidentifiedImageError as error:
        raise NoPhotoError(NO_PHOTO, "Save it as .jpg, .png or .webp.") from error
    except (Image.DecompressionBombError, MemoryError) as error:
        raise NoPhotoError(TOO_LARGE, "Make it smaller before it goes into the book.") from error
    except Exception as error:  # decoders raise all kinds of errors at a file that lies about itself
        raise NoPhotoError("is damaged or ends early", "Copy it from the camera again.") from error


def _redrawn(data: bytes) -> tuple[Made, dict[str, bytes]]:
    """A drawing's one file, as wide or as high as the widest photo."""
    from bowbook.format.drawing import DrawingError, read_picture, standalone

    try:
        drawing = read_picture(data)
    except DrawingError as error:
        raise NoPhotoError(f"cannot be shown: {error.message}", error.hint) from error
    scale = WIDTHS[-1] / max(drawing.view[2:])
    width, height = (max(round(side * scale), 1) for side in drawing.view[2:])
    file = standalone(drawing, width, height)
    return Made(width, height, {DRAWN: digest_of(file)}), {DRAWN: file}


def _upright(photo: Image.Image) -> Image.Image:
    """The photo at its widest on the site, upright, in sRGB, on white where it was clear, without what it said."""
    from PIL import Image

    orientation = photo.getexif().get(0x0112, 1)
    lying = orientation in (5, 6, 7, 8)
    width, height = photo.size[::-1] if lying else photo.size
    target = min(width, WIDTHS[-1])
    size = (target, max(round(height * target / width), 1))
    stored = size[::-1] if lying else size
    photo.draft("RGB", stored)  # a JPEG is decoded at half, a quarter or an eighth where that is enough
    small = _flat(photo)
    if small.size != stored:
        small = small.resize(stored, Image.Resampling.LANCZOS, reducing_gap=3.0)
    small = _in_srgb(small, photo.info.get("icc_profile"))
    turn = _TURNS.get(orientation)
    if turn is not None:
        small = small.transpose(Image.Transpose[turn])
    small.info = {}
    return small


# EXIF 2.32, tag 0x0112: how the stored picture has to be turned to stand upright.
_TURNS = {
    2: "FLIP_LEFT_RIGHT",
    3: "ROTATE_180",
    4: "FLIP_TOP_BOTTOM",
    5: "TRANSPOSE",
    6: "ROTATE_270",
    7: "TRANSVERSE",
    8: "ROTATE_90",
}


def _flat(photo: Image.Image) -> Image.Image:
    """The picture in three colours; what is clear in it becomes white."""
    from PIL import Image

    if photo.mode in ("RGBA", "LA", "PA") or "transparency" in photo.info:
        clear = photo.convert("RGBA")
        white = Image.new("RGBA", clear.size, "white")
        white.alpha_composite(clear)
        return white.convert("RGB")
    if photo.mode.startswith("I"):  # 16 bits a pixel: the upper eight are what a screen shows
        return photo.point(lambda value: value / 256).convert("L").convert("RGB")
    return photo if photo.mode == "CMYK" else photo.convert("RGB")


def _in_srgb(photo: Image.Image, profile: bytes | None) -> Image.Image:
    """The picture's colours as a browser shows them without a profile."""
    from PIL import ImageCms

    if profile:
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            changed = ImageCms.profileToProfile(photo, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
            if changed is not None:
                return changed
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass  # a profile that can't be read or is for other colours says nothing
    return photo.convert("RGB")


def _sizes(widest: Image.Image) -> tuple[Made, dict[str, bytes]]:
    """The files for the site, wide to narrow, each made from the one before."""
    from PIL import Image

    files: dict[str, bytes] = {}
    photo = widest
    widths = [width for width in WIDTHS if width < widest.width] + [widest.width]
    for width in reversed(widths):
        if width < photo.width:
            height = max(round(widest.height * width / widest.width), 1)
            photo = photo.resize((width, height), Image.Resampling.LANCZOS, reducing_gap=3.0)
        files[f"{width}.webp"] = _saved(photo, _WEBP)
        if width == min(FALLBACK_WIDTH, widest.width):
            files[f"{width}.jpg"] = _saved(photo, _JPEG)
    digests = {end: digest_of(data) for end, data in files.items()}
    return Made(widest.width, widest.height, digests), files


def _saved(photo: Image.Image, settings: Mapping[str, Any]) -> bytes:
    out = io.BytesIO()
    photo.save(out, **settings)
    return out.getvalue()


def _view(photo: NamedPhoto, stem: str, made: Made) -> PhotoView:
    widths = sorted(int(end.removesuffix(".webp")) for end in made.files if end.endswith(".webp"))
    fallback = next(end for end in made.files if not end.endswith(".webp"))
    return PhotoView(
        alt=photo.alt,
        width=made.width,
        height=made.height,
        sources=(("image/webp", tuple((f"{stem}-{width}.webp", width) for width in widths)),) if widths else (),
        fallback=f"{stem}-{fallback}",
        caption=photo.caption,
        file=photo.file,
        in_story=photo.in_story,
    )


def _stem(name: str, taken: set[str]) -> str:
    """A photo's name on the site: letters of any script and digits, told apart from the kite's other photos."""
    plain = unicodedata.normalize("NFC", name.rpartition(".")[0])
    stem = first = re.sub(r"[^\w.-]+", "-", plain).strip("-.")[:80] or "photo"
    number = 1
    while folded(stem) in taken:
        number += 1
        stem = f"{first}-{number}"
    taken.add(folded(stem))
    return stem


def _read(path: Path) -> bytes:
    """A photo's bytes. Raises NoPhotoError: links are not followed, and there is a limit."""
    try:
        if path.is_symlink() or path.parent.is_symlink():
            raise NoPhotoError("is a link, not a photo", "Copy the photo itself here.")
        return read_plain(path, LARGEST_BYTES)
    except TooLargeError as error:
        raise NoPhotoError("is larger than 60 MB", "Make it smaller before it goes into the book.") from error
    except OSError as error:
        raise NoPhotoError("is not there or can't be read", "Put it into the kite's folder.") from error
