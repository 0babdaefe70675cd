"""Checks that need more than one file: stock that is there, photos that exist, kites to compare."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping
from pathlib import Path

from bowbook.book.faults import Fault, Place
from bowbook.book.nearest import nearest
from bowbook.book.records import Kite, Settings

PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".avif", ".gif", ".tif", ".tiff", ".heic")


def check_stock(kite: Kite, rods: Collection[str], skins: Collection[str]) -> list[Fault]:
    """A fault for each rod and skin of a kite that is not in stock."""
    named = (
        ("bow.rod", kite.bow.rod, "rod", rods),
        ("spine.rod", kite.spine.rod, "rod", rods),
        ("sail.skin", kite.sail.skin, "skin", skins),
    )
    return [
        Fault(
            kite.place(path),
            f"the {what} {key[:60]} is not in stock",
            _nearest(key, stock, f"content/stock/{what}s.yaml"),
        )
        for path, key, what, stock in named
        if key is not None and key not in stock
    ]


def _nearest(key: str, stock: Collection[str], file: str) -> str:
    near = nearest(key, stock)
    if near:
        return f"Did you mean {near[0]}? Else add {key[:60]} to {file}."
    if not stock:
        return f"Add it to {file}, which has none yet."
    listed = ", ".join(sorted(stock)[:12]) + (" …" if len(stock) > 12 else "")
    return f"Add it to {file}, or take one of these: {listed}."


def check_photos(kite: Kite, base: Path) -> list[Fault]:
    """A fault for each photo that is not a plain picture file in the kite's own folder."""
    folder = kite.file.removesuffix(".md")
    return [fault for i, photo in enumerate(kite.photos) if (fault := _photo(kite, i, photo.file, base, folder))]


def _photo(kite: Kite, number: int, name: str, base: Path, folder: str) -> Fault | None:
    place = kite.place(f"photos.{number}.file")
    if "/" in name or "\\" in name or name.startswith(".") or "\0" in name or ":" in name:
        return Fault(
            place,
            f"`{name[:60]}` is a path, not a file name",
            f"Put the photo into {folder}/ and write its name alone.",
        )
    if not name.lower().endswith(PICTURES):
        return Fault(place, f"`{name[:60]}` does not look like a photo", "Use a .jpg, .png or .webp file.")
    path = base / folder / name
    try:
        found = path.is_file()
    except (OSError, ValueError):
        found = False
    if not found:
        there = sorted(path.name for path in (base / folder).iterdir()) if (base / folder).is_dir() else []
        near = nearest(name, there)
        hint = f"Did you mean {near[0]}?" if near else f"Put the photo into {folder}/."
        return Fault(place, f"there is no photo {name[:60]} in {folder}/", hint)
    if not os.path.realpath(path).startswith(os.path.realpath(base / "content") + os.sep):
        return Fault(place, f"`{name[:60]}` is a link that leads out of the book", "Copy the photo itself here.")
    return None


def check_compare(settings: Settings, kites: Mapping[str, bool]) -> list[Fault]:
    """A fault for each kite to compare that is not in the book, or hidden (the mapping's value)."""
    faults = []
    for i, row in enumerate(settings.compare):
        for j, key in enumerate(row):
            place = _place(settings, f"compare.{i}.{j}")
            if not isinstance(key, str) or kites.get(key) is False:
                continue
            if key in kites:
                faults.append(Fault(place, f"the kite {key[:60]} is hidden", "Take it out of compare, or show it."))
            else:
                faults.append(Fault(place, f"there is no kite {key[:60]}", _nearest(key, kites, "content/kites/")))
            continue
        if len(set(row)) < len(row):
            faults.append(
                Fault(_place(settings, f"compare.{i}"), "a kite is compared with itself", "Name each kite once.")
            )
    return faults


def _place(settings: Settings, path: str) -> Place:
    while path and path not in settings.places:
        path = path.rpartition(".")[0]
    return settings.places.get(path, Place(settings.file, 1))
