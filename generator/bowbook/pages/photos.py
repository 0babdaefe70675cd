"""Photos for the site: upright, in three widths, with nothing left in them but the picture.

What a photo says about itself is not believed: it is opened by what it is, only as one of the kinds a camera or a
phone makes, and refused if it is something else, is too large to unfold, or ends early.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
import unicodedata
import warnings
from collections.abc import Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from bowbook.book.problems import Location, Problem
from bowbook.build.marks import Named
from bowbook.build.targets import Target
from bowbook.format.pictures import LARGEST_BYTES, NO_PHOTO, TOO_LARGE, formats, shape_problem
from bowbook.pages.plan import PhotoView
from bowbook.storage import files
from bowbook.storage.notes import UNREADABLE, home_of
from bowbook.storage.regular import TooLargeError, read_plain

if TYPE_CHECKING:
    from PIL import Image

WIDTHS = (480, 960, 1440)  # a phone, a phone of fine grain or a column, a wide column of fine grain
FALLBACK_WIDTH = 960
_WEBP = {"format": "WEBP", "quality": 78, "method": 2}
_JPEG = {"format": "JPEG", "quality": 80, "optimize": True}
_RECIPE = "2"  # raised when the same photo would be made otherwise


Photographed = Mapping[str, tuple[Named, ...]]
"""The photos of every kite, by the kite's key."""


class PhotoError(Exception):
    """A photo that can't be shown; carries what is wrong and where it is named."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__(*problems)
        self.problems = problems


class NoPhotoError(ValueError):
    """Why some bytes are no photo, and what to do: two sentences."""


class Shot(Struct, frozen=True):
    """One photo of a kite: where its file is, what its bytes are, and how the kite's file names it."""

    kite: str
    path: Path
    digest: str
    stem: str  # of its files' names on the site
    named: Named


class Made(Struct, frozen=True):
    """What one photo became: its upright size at its widest, and the digest of each file by the end of its name."""

    width: int
    height: int
    files: Mapping[str, str]


class Album:
    """The photos of a book and the folder what they became is kept in."""

    def __init__(self, root: Path, state: Path, sources: Mapping[str, str]) -> None:
        self._root, self._folder, self._sources = root, state / "photos", sources
        self._home = home_of(state)
        self._made: dict[str, Made] = {}

    def wanted(self, kites: Photographed) -> list[Shot]:
        """The photos that are still to be made, each picture once."""
        wanted = {shot.digest: shot for shot in self.shots(kites) if self._recall(shot.digest) is None}
        return list(wanted.values())

    def shots(self, kites: Photographed) -> Iterator[Shot]:
        """Every photo of every kite, in order."""
        for key, photos in kites.items():
            stems: set[str] = set()
            for photo in photos:
                source = f"{photo.place.file.removesuffix('.md')}/{photo.file}"
                digest = self._sources.get(source, "")
                yield Shot(key, self._root / source, digest, _stem(photo.file, stems), photo)

    def make(self, shot: Shot) -> tuple[Problem, ...]:
        """Make one photo's files and keep them; what is wrong with it, if it can't be."""
        if not shot.digest:  # it was not there yet when the book's files were looked at
            return (_changed_meanwhile(shot),)
        try:
            made, sizes = unfold(_read(shot.path), shot.path.suffix)
        except NoPhotoError as error:
            what, instead = error.args
            return (Problem(shot.named.place, f"{shot.named.file[:60]} {what}", instead),)
        folder = self._folder / shot.digest[:40]
        if folder.exists() or folder.is_symlink():
            files.remove(folder)
        folder.mkdir(parents=True)
        for end, data in sizes.items():
            files.write_new(folder / end, data)
        note = {"recipe": _RECIPE, "home": self._home, "width": made.width, "height": made.height}
        files.replace(folder / "made.json", json.dumps({**note, "files": dict(made.files)}).encode())
        return ()

    def views(self, kites: Photographed) -> dict[str, tuple[PhotoView, ...]]:
        """What pages need to know of every kite's photos, by the kite's key; all must have been made."""
        views: dict[str, list[PhotoView]] = {}
        for shot in self.shots(kites):
            views.setdefault(shot.kite, []).append(_view(shot, self._of(shot)))
        return {key: tuple(found) for key, found in views.items()}

    def jobs(self, kites: Photographed) -> list[Target]:
        """The jobs that put every photo's files on the site."""
        return [
            Target(
                "photo",
                f"kites/{shot.kite}/{shot.stem}-{end}",
                digest,
                partial(_kept, self._folder / shot.digest[:40] / end, digest),
            )
            for shot in self.shots(kites)
            for end, digest in self._of(shot).files.items()
        ]

    def _of(self, shot: Shot) -> Made:
        made = self._recall(shot.digest)
        if made is None:
            raise PhotoError(_changed_meanwhile(shot))
        return made

    def _recall(self, digest: str) -> Made | None:
        """What a photo became, if that is kept here, was made here and by the present recipe."""
        if digest not in self._made:
            try:
                note = json.loads((self._folder / digest[:40] / "made.json").read_bytes())
                if note["home"] != self._home or note["recipe"] != _RECIPE:
                    return None
                files = {str(end): str(of) for end, of in note["files"].items()}
                if not all(re.fullmatch(r"\d+\.(webp|jpg)", end) for end in files):
                    return None
                self._made[digest] = Made(int(note["width"]), int(note["height"]), files)
            except UNREADABLE:
                return None
        return self._made[digest]


def _changed_meanwhile(shot: Shot) -> Problem:
    return Problem(shot.named.place, f"{shot.named.file[:60]} changed while the book was read", "Publish again.")


def unfold(data: bytes, suffix: str) -> tuple[Made, dict[str, bytes]]:
    """A photo's files for the site, by the end of their names ("480.webp"). Raises NoPhotoError."""
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


def _upright(photo: Image.Image) -> Image.Image:
    """The photo at its widest on the site, upright, in sRGB, on white where it was clear, without what it said."""
    from PIL import Image

    orientation = photo.getexif().get(0x0112, 1)
    lying = orientation in (5, 6, 7, 8)
    width, height = photo.size[::-1] if lying else photo.size
    target = min(width, WIDTHS[-1])
    size = (target, max(round(height * target / width), 1))
    stored = size[::-1] if lying else size
    photo.draft("RGB", stored)  # a JPEG is unfolded at half, a quarter or an eighth where that is enough
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
    digests = {end: hashlib.sha256(data).hexdigest() for end, data in files.items()}
    return Made(widest.width, widest.height, digests), files


def _saved(photo: Image.Image, settings: Mapping[str, Any]) -> bytes:
    out = io.BytesIO()
    photo.save(out, **settings)
    return out.getvalue()


def _view(shot: Shot, made: Made) -> PhotoView:
    widths = sorted(int(end.removesuffix(".webp")) for end in made.files if end.endswith(".webp"))
    fallback = next(end for end in made.files if end.endswith(".jpg"))
    return PhotoView(
        alt=shot.named.alt,
        width=made.width,
        height=made.height,
        sources=(("image/webp", tuple((f"{shot.stem}-{width}.webp", width) for width in widths)),),
        fallback=f"{shot.stem}-{fallback}",
        caption=shot.named.caption,
        file=shot.named.file,
        in_story=shot.named.in_story,
    )


def _stem(name: str, taken: set[str]) -> str:
    """A photo's name on the site: letters of any script and digits, told apart from the kite's other photos."""
    plain = unicodedata.normalize("NFC", name.rpartition(".")[0])
    stem = first = re.sub(r"[^\w.-]+", "-", plain).strip("-.")[:80] or "photo"
    number = 1
    while stem.casefold() in taken:
        number += 1
        stem = f"{first}-{number}"
    taken.add(stem.casefold())
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


def _kept(path: Path, digest: str) -> bytes:
    """A made file's bytes, surely those that were made."""
    data = path.read_bytes()
    if files.digest_of(data) != digest:
        raise PhotoError(Problem(Location(str(path)), "This is not what was made here.", "Delete .bowbook/photos."))
    return data
