"""A new kite's record: an empty one to fill in, or one that follows another kite."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from bowbook.book.records import Book, BowTarget, Kite, Origin, Press
from bowbook.findings.states import newest, states_of
from bowbook.format.yaml_text import quoted
from bowbook.terminal.starter import fill, template

MOST_COPIES = 100


def names_of(name: str, copies: int | None) -> list[str]:
    """The names of the kites to add. Raises ValueError for a number of copies that cannot be meant."""
    if copies is None:
        return [name]
    if copies < 2:
        raise ValueError(f"--copies: {copies} is no batch. Leave it out for one kite, or write how many, such as 5.")
    if copies > MOST_COPIES:
        raise ValueError(f"--copies: {copies} kites at once are more than {MOST_COPIES}. Add them in several batches.")
    return [f"{name} {number}" for number in range(1, copies + 1)]


def new_text(name: str, book: Book, batch: str | None = None) -> str:
    """The file of a kite of which only the name is known, with notes on what to fill in."""
    words = {
        "name": quoted(name, flow=False) + (f"\nbatch: {quoted(batch, flow=False)}" if batch else ""),
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

    The kite it came from is credited, and what that one came from after it. What the source's bow read last is what
    the new one's is built to.
    """
    own = source.key in book.kites
    if source.origin and not own and source.origin.kite == source.name:  # a shared file credits its own kite so
        origin, ancestors = source.origin, source.ancestors
        origin = replace(origin, maker=maker) if maker else origin
    else:
        origin = Origin(source.name, maker or (book.settings.maker if own else None))
        ancestors = (*((source.origin,) if source.origin else ()), *source.ancestors)
    now = newest(states_of(source)).kite
    notes = []
    skin, rod, spine_rod = now.sail.skin, now.bow.rod, source.spine.rod
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
        notes.append("Who made it is not known: name the maker under after: in the new file.")
    return (
        Kite(
            key=key,
            name=name,
            stage="planned",
            sail=replace(now.sail, skin=skin if skin in skins else None, colours=()),
            spine=replace(source.spine, rod=spine_rod if spine_rod in rods else None, mass_kg=None),
            bow=replace(now.bow, rod=rod if rod in rods else None, mass_kg=None, left=(), right=()),
            bridle=source.bridle,
            origin=origin,
            ancestors=ancestors,
            target=_target(now),
        ),
        notes,
    )


def _target(source: Kite) -> BowTarget | None:
    """What the source's bow read in its last round, as the readings to build to; None where it was never pressed."""
    for one in reversed(source.bench):
        left, right, whole = (_one_reading(part) for part in (one.left, one.right, one.whole))
        if left and right and (source.bow.length_m or (left.length_m and right.length_m)):
            return BowTarget(left, right, whole, source.name)
    return None


def _one_reading(reading: object) -> Press | None:
    if not isinstance(reading, Press):
        return None
    return replace(reading, values_N=(sum(reading.values_N) / len(reading.values_N),), rise_m=None)
