"""A photo as it stands on a page."""

from __future__ import annotations

from msgspec import Struct


class NamedPhoto(Struct, frozen=True):
    """One photo of a kite as its file names it: listed there, or shown by its story alone."""

    file: str
    alt: str
    caption: str | None = None
    in_story: bool = False


class PhotoView(Struct, frozen=True):
    """One photo as it will stand on its page. File names are relative to the kite's folder, `kites/KEY/`.

    `sources`: for each format, best first, its media type and its (file name, width in px), narrow to wide.
    `width`, `height`: of the widest, upright, so that the page keeps its place while loading.
    """

    alt: str
    width: int
    height: int
    sources: tuple[tuple[str, tuple[tuple[str, int], ...]], ...]
    fallback: str
    caption: str | None = None
    file: str = ""  # as the maker names it: how a story shows it
    in_story: bool = False  # shown by the story alone, not listed among the kite's photos
