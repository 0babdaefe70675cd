"""A book's photos as steps: each picture made once, however often and wherever a book shows it."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from bowbook.book.problems import Problem
from bowbook.book.values import Bound, Value, bind, fingerprint
from bowbook.build.cache import Cache
from bowbook.pages.outline import ReadBook
from bowbook.pages.photos import NoPhotoError, PhotoFile, PhotoSizes, sizes_of


class PhotoBytes:
    """A photo's file, known by its bytes and its kind, wherever it lies."""

    def __init__(self, photo: PhotoFile) -> None:
        self._photo = photo
        kind = Path(photo.path).suffix.lower()
        self.fingerprint = fingerprint(f"{kind} {photo.digest}".encode())

    def __call__(self) -> PhotoFile:
        return self._photo


def made_photos(
    book: ReadBook, root: Path, cache: Cache
) -> tuple[dict[str, tuple[Value[PhotoSizes], ...]], tuple[Problem, ...]]:
    """Every kite's photos by the kite's key, those made that are not kept; or what is wrong with them."""
    steps: dict[tuple[str, int], Bound[PhotoSizes]] = {}
    for key, kite in book.kites.items():
        for number, photo in enumerate(kite.outline.photos):
            name = f"{kite.outline.folder}/{photo.file}"
            steps[key, number] = bind(sizes_of, PhotoBytes(PhotoFile(str(root / name), book.contents.get(name, ""))))
    missing = {step.fingerprint: (at, step) for at, step in steps.items() if cache.known(step) is None}.values()
    problems = []
    for (at, _), wrong in zip(
        missing, cache.share([partial(_wrong, cache, step) for _, step in missing], "photos"), strict=True
    ):
        if wrong:
            file = book.kites[at[0]].outline.photos[at[1]].file
            problems.append(Problem(book.photo_place(*at), f"{file[:60]} {wrong[0]}", wrong[1]))
    photos: dict[str, tuple[Value[PhotoSizes], ...]] = {}
    if not problems:
        for (key, _), step in steps.items():
            photos[key] = (*photos.get(key, ()), cache.run(PhotoSizes, step))
    return photos, tuple(problems)


def _wrong(cache: Cache, step: Bound[PhotoSizes]) -> tuple[str, ...]:
    """Make a photo's sizes; if it is none, what is wrong and what to do."""
    try:
        cache.run(PhotoSizes, step)
    except NoPhotoError as error:
        return error.args
    return ()
