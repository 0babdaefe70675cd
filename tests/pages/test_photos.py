"""Photos come out upright, small and bare; what is no photo is refused with a sentence.

Orientation follows EXIF 2.32 (CIPA DC-008), tag 0x0112. Sizes are compared with Pillow's own reading of them.
"""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageCms, ImageDraw, features

from bowbook.book.records import Kite, Photo
from bowbook.pages.photo_view import NamedPhoto
from bowbook.pages.photos import NoPhotoError, PhotoFile, named_photos, photo_files, sizes_of, stems, views_of
from bowbook.pages.story_html import top_photo
from bowbook.storage.files import digest_of


def scene(width: int = 1600, height: int = 1200) -> Image.Image:
    """A picture with red sky above green ground and a blue mark at the left, so that its way up can be told."""
    picture = Image.new("RGB", (width, height), (200, 40, 40))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((0, height // 2, width, height), fill=(40, 160, 60))
    draw.rectangle((0, 0, width // 8, height), fill=(40, 60, 200))
    return picture


def jpeg(picture: Image.Image, **settings: object) -> bytes:
    """The picture as a camera's JPEG."""
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=90, **settings)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    """A made file, read back."""
    return Image.open(io.BytesIO(data))


# How a picture that stands upright has to be stored for each value of the orientation tag.
STORED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


@pytest.mark.parametrize("orientation", STORED)
def test_a_photo_stands_upright_however_it_was_held(orientation: int) -> None:
    """Each of the eight orientations a camera notes comes out with the sky above and the mark at the left."""
    turn = STORED[orientation]
    picture = scene(800, 600)
    exif = Image.Exif()
    exif[0x0112] = orientation
    made, files = photo_files(jpeg(picture if turn is None else picture.transpose(turn), exif=exif), ".jpg")
    shown = opened(files["800.webp"]).convert("RGB")
    assert shown.size == (made.width, made.height) == (800, 600)
    sky, ground, mark = shown.getpixel((400, 100)), shown.getpixel((400, 500)), shown.getpixel((30, 300))
    assert [max(range(3), key=colour.__getitem__) for colour in (sky, ground, mark)] == [0, 1, 2]


def test_nothing_but_the_picture_is_left() -> None:
    """Location, camera, time, comment, XMP, colour profile and thumbnail are gone from every file."""
    exif = Image.Exif()
    exif[0x010F] = "SECRET maker"
    exif[0x9003] = "2026:05:03 SECRET"
    exif.get_ifd(0x8825)[2] = (52.0, 5.0, 30.0)
    exif.get_ifd(0x8825)[29] = "SECRET"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    data = jpeg(scene(), exif=exif, comment=b"SECRET place", icc_profile=profile)
    assert data.count(b"SECRET") >= 3
    _, files = photo_files(data, ".jpg")
    for made in files.values():
        assert b"SECRET" not in made
        assert not set(opened(made).info) & {"exif", "icc_profile", "comment", "xmp", "photoshop", "gps"}
        assert len(opened(made).getexif()) == 0
        assert all(name not in made for name in (b"Exif", b"EXIF", b"ICC", b"XMP", b"http://"))


def test_three_widths_and_one_for_old_browsers() -> None:
    """A large photo comes in three widths as WebP and in one as JPEG, all of one shape."""
    made, files = photo_files(jpeg(scene(2400, 1800)), ".jpg")
    assert sorted(files) == ["1440.webp", "480.webp", "960.jpg", "960.webp"]
    assert {end: opened(data).size for end, data in files.items()} == {
        "480.webp": (480, 360),
        "960.webp": (960, 720),
        "960.jpg": (960, 720),
        "1440.webp": (1440, 1080),
    }
    assert (made.width, made.height) == (1440, 1080)


def test_a_small_photo_is_not_blown_up() -> None:
    """A photo narrower than the narrowest width stays as wide as it is."""
    _, files = photo_files(jpeg(scene(320, 240)), ".jpg")
    assert sorted(files) == ["320.jpg", "320.webp"]


def test_colours_are_those_of_the_profile() -> None:
    """A photo in a profile of other colours looks the same in sRGB: here red and blue are exchanged by a profile.

    The profile is a matrix one (ICC.1:2010, 8.3) whose red and blue columns are sRGB's, exchanged.
    """
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    count = struct.unpack_from(">I", profile, 128)[0]
    tags = {bytes(profile[132 + 12 * n : 136 + 12 * n]): 132 + 12 * n for n in range(count)}
    red, blue = tags[b"rXYZ"], tags[b"bXYZ"]
    profile[red + 4 : red + 12], profile[blue + 4 : blue + 12] = (
        profile[blue + 4 : blue + 12],
        profile[red + 4 : red + 12],
    )
    _, files = photo_files(jpeg(scene(400, 300), icc_profile=bytes(profile)), ".jpg")
    sky = opened(files["400.webp"]).convert("RGB").getpixel((200, 50))
    assert sky[2] > 150 > sky[0]


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "L", "CMYK", "1", "I;16"])
def test_every_kind_of_pixel_can_be_shown(mode: str) -> None:
    """Grey, clear, few-coloured, print-coloured and 16-bit pictures all come out."""
    picture = scene(300, 200)
    suffix, kind = (".jpg", "JPEG") if mode == "CMYK" else (".png", "PNG")
    converted = Image.new("I;16", (300, 200), 40000) if mode == "I;16" else picture.convert(mode)
    out = io.BytesIO()
    converted.save(out, kind)
    _, files = photo_files(out.getvalue(), suffix)
    assert opened(files["300.webp"]).size == (300, 200)
    if mode == "I;16":
        assert abs(opened(files["300.webp"]).convert("L").getpixel((9, 9)) - 40000 / 257) < 3


def png_bomb(width: int, height: int) -> bytes:
    """A PNG of a few kilobytes that claims to be a great many pixels (PNG specification, 11.2.2)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(100_000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


WRONG = {
    "text": (b"this is no photo at all", ".jpg", "is no photo"),
    "empty": (b"", ".jpg", "is no photo"),
    "svg": (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", ".png", "is no photo"),
    "postscript": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", ".png", "is no photo"),
    "cut short": (jpeg(scene())[:9000], ".jpg", "is damaged or ends early"),
    "a PNG called JPEG": (png_bomb(10, 10), ".jpg", "is named .jpg but is a PNG picture"),
    "bomb": (png_bomb(20_000, 20_000), ".png", "unfolds to too many pixels"),
    "large bomb": (png_bomb(2**31 - 1, 2**31 - 1), ".png", "unfolds to too many pixels"),
    "too few pixels": (png_bomb(3000, 3000), ".png", "is damaged or ends early"),
    "strip": (jpeg(scene(4000, 100)), ".jpg", "is a strip"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_is_no_photo_is_refused(case: str) -> None:
    """Bombs, lies, texts and damaged files each get a sentence, and nothing is decoded that is too large."""
    data, suffix, sentence = WRONG[case]
    with pytest.raises(NoPhotoError) as refused:
        photo_files(data, suffix)
    assert refused.value.args[0].startswith(sentence)


def test_a_photo_that_leads_out_of_the_book_is_refused(tmp_path: Path) -> None:
    """A link in place of a photo is not followed, wherever it leads."""
    data = jpeg(scene(400, 300))
    (tmp_path / "away.jpg").write_bytes(data)
    (tmp_path / "beach.jpg").symlink_to(tmp_path / "away.jpg")
    with pytest.raises(NoPhotoError, match="is a link, not a photo"):
        sizes_of(PhotoFile(str(tmp_path / "beach.jpg"), digest_of(data)))


def test_a_photo_that_changes_while_the_book_is_read_is_refused(tmp_path: Path) -> None:
    """What was looked at is what is made; else the site would show another photo than it says."""
    (tmp_path / "beach.jpg").write_bytes(jpeg(scene(400, 300)))
    with pytest.raises(NoPhotoError, match="changed while the book was read"):
        sizes_of(PhotoFile(str(tmp_path / "beach.jpg"), digest_of(b"another")))


def test_a_story_shows_a_photo_once() -> None:
    """A photo that the file lists and the story shows is one photo; one only the story shows is told apart."""
    story = "![x](shore.jpg) and ![a kite](kite.jpg)"
    photos = named_photos(Kite("knot", "Knot", photos=(Photo("shore.jpg", "A shore"),), story=story, file="knot.md"))
    made, sizes = photo_files(jpeg(scene(800, 600)), ".jpg")
    listed, shown = views_of(photos, (made, made))
    assert listed.sources == (("image/webp", (("shore-480.webp", 480), ("shore-800.webp", 800))),)
    assert (listed.fallback, listed.width, listed.height, listed.in_story) == ("shore-800.jpg", 800, 600, False)
    assert (shown.alt, shown.in_story) == ("a kite", True)
    assert opened(sizes["480.webp"]).size == (480, 360)


@pytest.mark.parametrize(
    ("listed", "top"),
    [
        ([("a.svg", "2026-05-01"), ("b.jpg", "2026-05-02"), ("c.jpg", None)], "c.jpg"),
        ([("a.svg", "2026-05-01"), ("b.jpg", "2026-05-02")], "b.jpg"),
        ([("a.svg", None), ("b.jpg", "2026-05-02")], "a.svg"),
        ([("a.svg", "2026-05-01"), ("B.SVG", "2026-05-02")], None),
        ([], None),
    ],
)
def test_which_picture_fills_the_top_of_the_page(listed: list[tuple[str, str | None]], top: str | None) -> None:
    """The first without a day, else the first photo; drawings with days stay at them, and the kite is drawn instead."""
    assert top_photo([Photo(file, "x", on=on) for file, on in listed]) == top


def test_photos_of_like_names_stay_apart() -> None:
    """Two photos that differ only in their ending, or in case, or in what an address can't hold, get two names."""
    names = ["a b.jpg", "a?b.png", "A-B.jpg", '"><script>.jpg']
    assert stems([NamedPhoto(name, "x") for name in names]) == ["a-b", "a-b-2", "A-B-3", "script"]


def test_webp_is_there() -> None:
    """The picture library can write WebP, without which no photo is made."""
    assert features.check("webp")
