"""Checks that need more than one file: stock that is there, photos that exist, kites to compare."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Literal

from msgspec.structs import replace

from bowbook.book.problems import Location, Places, Problem, location_of
from bowbook.book.records import Kite, Settings
from bowbook.book.sail import Sail, SailDrawing
from bowbook.book.suggest import nearest
from bowbook.format.pictures import LONGEST_NAME, picture_problem
from bowbook.storage.regular import NotPlainError

PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".avif", ".gif", ".tif", ".tiff", ".heic", ".svg")
_KINDS = {"photo": (PICTURES, "Use a .jpg, .png, .webp or .svg file."), "drawing": ((".svg",), "Use an .svg file.")}


def check_stock(kite: Kite, places: Places, rods: Collection[str], skins: Collection[str]) -> list[Problem]:
    """A problem for each rod and skin of a kite that is not in stock."""
    named = [
        ("bow.rod", kite.bow.rod, "rod", rods),
        ("spine.rod", kite.spine.rod, "rod", rods),
        ("sail.skin", kite.sail.skin, "skin", skins),
        *((f"bows.{name}.rod", bow.rod, "rod", rods) for name, bow in kite.bows.items()),
    ]
    for i, change in enumerate(kite.changes):
        named.append((f"changes.{i}.skin", change.skin, "skin", skins))
        if change.bow is not None:
            named.append((f"changes.{i}.bow.rod", change.bow.rod, "rod", rods))
    return [
        Problem(
            location_of(path, places, kite.file),
            f"the {what} {key[:60]} is not in stock",
            nearest_stock(key, stock, f"content/stock/{what}s.yaml"),
        )
        for path, key, what, stock in named
        if key is not None and key not in stock
    ]


def nearest_stock(key: str, stock: Collection[str], file: str) -> str:
    """What to write in place of a key that is not in stock."""
    near = nearest(key, stock)
    if near:
        return f"Did you mean {near[0]}? Else add {key[:60]} to {file}."
    if not stock:
        return f"Add it to {file}, which has none yet."
    listed = ", ".join(sorted(stock)[:12]) + (" …" if len(stock) > 12 else "")
    return f"Add it to {file}, or take one of these: {listed}."


def check_photos(kite: Kite, places: Places, base: Path) -> list[Problem]:
    """A problem for each photo that is not a plain picture file in the kite's own folder."""
    folder = kite.file.removesuffix(".md")
    return [
        problem
        for i, photo in enumerate(kite.photos)
        for problem in check_photo(location_of(f"photos.{i}.file", places, kite.file), photo.file, base, folder)
    ]


def check_photo(place: Location, name: str, base: Path, folder: str) -> list[Problem]:
    """The problem of a photo named at a place, if it has any."""
    wrong = _name_problem(name, folder, "photo") or _not_there(name, base, folder, "photo")
    if wrong is None and name.lower().endswith(".svg"):
        from bowbook.format.drawing import read_picture

        drawing = _drawn(place, name, base, folder, read_picture)
        return [drawing] if isinstance(drawing, Problem) else []
    wrong = wrong or _not_shown(base / folder / name)
    return [Problem(place, *wrong)] if wrong else []


def _name_problem(name: str, folder: str, kind: Literal["photo", "drawing"]) -> tuple[str, str] | None:
    if any(sign in name for sign in "/\\:\0") or name.startswith("."):
        return f"`{name[:60]}` is a path, not a file name", f"Put the {kind} into {folder}/ and write its name alone."
    endings, use = _KINDS[kind]
    if not name.lower().endswith(endings):
        return f"`{name[:60]}` does not look like a {kind}", use
    if len(name.encode("utf-8", "surrogatepass")) > LONGEST_NAME:
        return f"the name {name[:60]}… is too long", f"Give the {kind} a shorter name."
    return None


def _not_there(name: str, base: Path, folder: str, kind: str) -> tuple[str, str] | None:
    path = base / folder / name
    if not os.path.lexists(path):
        there = sorted(path.name for path in (base / folder).iterdir()) if (base / folder).is_dir() else []
        near = nearest(name, there)
        hint = f"Did you mean {near[0]}?" if near else f"Put the {kind} into {folder}/."
        return f"there is no {kind} {name[:60]} in {folder}/", hint
    if not os.path.realpath(path).startswith(os.path.realpath(base / "content") + os.sep):
        return f"`{name[:60]}` is a link that leads out of the book", f"Copy the {kind} itself here."
    if (base / folder).is_symlink():  # what lies behind it is not looked through
        return f"{folder} is a link to a folder", "Put the folder itself there."
    return None


def _not_shown(path: Path) -> tuple[str, str] | None:
    try:
        wrong = picture_problem(path)
    except OSError as error:
        return _unreadable(path.name, error)
    return (f"`{path.name[:60]}` {wrong}", "Save it anew as .jpg, .png or .webp.") if wrong else None


def _drawn(
    place: Location, name: str, base: Path, folder: str, read: Callable[[bytes], SailDrawing]
) -> SailDrawing | Problem:
    """What `read` makes of a drawing's file, or its problem, at its own line where it has one."""
    from bowbook.format.drawing import DrawingError, drawing_in

    try:
        return read(drawing_in(base / folder / name))
    except DrawingError as error:
        where = Location(f"{folder}/{name}", error.line) if error.line else place
        return Problem(where, error.message, error.hint)
    except OSError as error:
        return Problem(place, *_unreadable(name, error))


def _unreadable(name: str, error: OSError) -> tuple[str, str]:
    """Why a picture's file was not read, and what to do."""
    if isinstance(error, NotPlainError):
        return f"`{name[:60]}`: this is {error.strerror}", "Put a picture in its place."
    return f"`{name[:60]}` cannot be read: {error.strerror}", "Look at who may read it, and whether it is there."


def with_decoration(kite: Kite, places: Places, base: Path) -> tuple[Kite, list[Problem]]:
    """The kite with its sail's drawing read from its folder, and what is wrong with that drawing."""
    problems: list[Problem] = []

    def drawn(sail: Sail | None, path: str, prefix: str) -> Sail | None:
        if sail is None or sail.decoration is None:
            return sail
        found = decoration(sail.decoration, location_of(path, places, kite.file), kite, base, prefix)
        if isinstance(found, Problem):
            problems.append(found)
            return sail
        return replace(sail, drawing=found)

    prefix = re.sub(r"[^\w-]", "_", kite.key) + "-"
    changes = tuple(
        replace(change, sail=drawn(change.sail, f"changes.{i}.decoration", f"{prefix}{i + 1}-"))
        if change.sail is not None
        else change
        for i, change in enumerate(kite.changes)
    )
    return replace(kite, sail=drawn(kite.sail, "sail.decoration", prefix) or kite.sail, changes=changes), problems


def decoration(name: str, place: Location, kite: Kite, base: Path, prefix: str) -> SailDrawing | Problem:
    """A drawing from the kite's folder, or what is wrong with it."""
    folder = kite.file.removesuffix(".md")
    if wrong := _name_problem(name, folder, "drawing") or _not_there(name, base, folder, "drawing"):
        return Problem(place, *wrong)
    from bowbook.format.drawing import read_drawing

    return _drawn(place, name, base, folder, lambda data: read_drawing(data, prefix))


def check_compare(settings: Settings, places: Places, kites: Mapping[str, bool]) -> list[Problem]:
    """A problem for each kite to compare that is not in the book, or hidden (the mapping's value)."""
    problems = []
    for i, row in enumerate(settings.compare):
        for j, key in enumerate(row):
            place = location_of(f"compare.{i}.{j}", places, settings.file)
            if not isinstance(key, str) or kites.get(key) is False:
                continue
            if key in kites:
                problems.append(Problem(place, f"the kite {key[:60]} is hidden", "Take it out of compare, or show it."))
            else:
                problems.append(
                    Problem(place, f"there is no kite {key[:60]}", nearest_stock(key, kites, "content/kites/"))
                )
            continue
        if len(set(row)) < len(row):
            place = location_of(f"compare.{i}", places, settings.file)
            problems.append(Problem(place, "a kite is compared with itself", "Name each kite once."))
    return problems
