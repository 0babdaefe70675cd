"""A new kite's record: an empty one to fill in, or one that follows another kite."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from bowbook.book.records import Book, Kite, Origin
from bowbook.format.yaml_text import quoted
from bowbook.terminal.starter import fill, template


def new_text(name: str, book: Book) -> str:
    """The file of a kite of which only the name is known, with notes on what to fill in."""
    words = {
        "name": quoted(name, flow=False),
        "skin": next(iter(book.skins), "washi-30"),
        "rod": next(iter(book.rods), "carbon-1.5"),
    }
    return fill(template("new.md"), book.settings.units, words)


def following(
    source: Kite,
    key: str,
    name: str,
    maker: str | None,
    book: Book,
    rods: Collection[str],
    skins: Collection[str],
) -> tuple[Kite, list[str]]:
    """A kite built after `source`, and sentences on what could not be taken over; `rods` and `skins` are in stock.

    The first maker stays credited: a source that itself came after another passes its own origin on.
    """
    own = source.key in book.kites
    origin = source.origin or Origin(source.name, maker or (book.settings.maker if own else None))
    if maker and source.origin is None:
        origin = replace(origin, maker=maker)
    notes = []
    skin, rod, spine_rod = source.sail.skin, source.bow.rod, source.spine.rod
    for kind, wanted, stock, file in (
        ("skin", skin, skins, "skins"),
        ("rod", rod, rods, "rods"),
        ("spine's rod", spine_rod, rods, "rods"),
    ):
        if wanted and wanted not in stock:
            notes.append(
                f"Its {kind} {wanted} is not in your content/stock/{file}.yaml and was left out of the new file."
            )
    if origin.maker is None:
        notes.append("Who made it first is not known: name the maker under after: in the new file.")
    return (
        Kite(
            key=key,
            name=name,
            stage="planned",
            sail=replace(source.sail, skin=skin if skin in skins else None, colours=()),
            spine=replace(source.spine, rod=spine_rod if spine_rod in rods else None, mass_kg=None),
            bow=replace(source.bow, rod=rod if rod in rods else None, mass_kg=None, left=(), right=()),
            bridle=source.bridle,
            origin=origin,
        ),
        notes,
    )
