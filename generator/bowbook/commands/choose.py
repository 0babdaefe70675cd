"""`bowbook choose`: the rod and the readings for a wanted wind, or to repeat a favourite."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import KiteName, book_option, kite_of, open_book, write_into
from bowbook.terminal.output import say_json, tell

if TYPE_CHECKING:
    from bowbook.book.records import Book, Units, Wind
    from bowbook.planner.next_bow import BowPlan

_MOST_M_S = 45.0  # beyond it nobody stands, let alone flies


@click.command("choose")
@click.argument("kite", type=KiteName(), metavar="[KITE]", required=False)
@click.option("--wind", help='The wind to fly it in: "4-7 mph", "11-18 km/h", "Bft 3".')
@click.option("--flyer", help="Whose comfort to plan for. Default: the book's flyer, else whoever has most records.")
@click.option("--skin", help="A skin from stock, where it is to be another than the kite's own.")
@click.option("--like", type=KiteName(), help="A favourite to repeat, in place of a wind.")
@click.option("--scale", type=click.FloatRange(0.2, 5.0), help="Another size: 0.8 makes every length eight tenths.")
@click.option("--width", help='Another size by the width of its sail: "48 cm".')
@click.option("--rod", help="Only this rod from stock.")
@click.option("--save", type=KiteName(), metavar="KITE", help="Write the readings into this kite as its target.")
@click.option("--json", "as_data", is_flag=True, help="Print the plan as JSON, in SI units.")
@book_option
def command(
    kite: str | None,
    wind: str | None,
    flyer: str | None,
    skin: str | None,
    like: str | None,
    scale: float | None,
    width: str | None,
    rod: str | None,
    save: str | None,
    as_data: bool,
    book: Path,
) -> None:
    """Plan the next bow for KITE's sail: what each half must read, and which rod can give it.

    The kite may be only planned: its sail's outline and its bow's length are enough.

    \b
    Examples:
      bowbook choose dunlin --wind "4-7 mph"
      bowbook choose dunlin --wind "4-7 mph" --flyer MK --skin tissue-18
      bowbook choose --like dunlin --rod bamboo-4x2
      bowbook choose --like dunlin --scale 0.8
    """
    _refuse_contradictions(kite, wind, flyer, like, scale, width)
    read = open_book(book, kite or like or "")
    key = kite_of(read, kite or like or "").key
    if rod is not None and rod not in read.rods:
        raise click.UsageError(f"There is no rod {rod} in stock. Rods: {', '.join(read.rods) or 'none'}.")

    from bowbook.findings.compute import compute_findings
    from bowbook.planner.next_bow import PlanError, plan_for_wind, plan_like
    from bowbook.terminal.plan_report import plan_as_json, say_bow_plan, say_strips

    blows = _wind(wind, read.settings.units) if wind is not None else None
    rods = (rod,) if rod else tuple(read.rods)
    findings = compute_findings(read)
    size = _scale(findings.kites[key].sail.width_m, scale, width, read.settings.units)
    try:
        if blows is None:
            plan = plan_like(findings, key, rods, skin, size)
        else:
            plan = plan_for_wind(findings, key, blows, rods, flyer, skin, size)
    except PlanError as wanting:
        tell(str(wanting), err=True)
        sys.exit(1)
    except ArithmeticError:
        tell("The figures of this kite lead beyond what can be computed: look at its sizes.", err=True)
        sys.exit(1)
    if as_data:
        say_json(plan_as_json(plan))
    else:
        say_strips(plan, read)
        say_bow_plan(plan, read.settings.units, like is not None)
    if save is not None:
        _save(read, book, save, plan)


def _refuse_contradictions(
    kite: str | None, wind: str | None, flyer: str | None, like: str | None, scale: float | None, width: str | None
) -> None:
    """Raises a usage error for options of which one leaves no room for another, or too few to plan from."""
    if like is not None and wind is not None:
        raise click.UsageError(
            f"--like repeats {like} in the wind it likes, --wind plans for another: give one of them. "
            f'Its sail in another wind: bowbook choose {like} --wind "{wind}"'
        )
    if scale is not None and width is not None:
        raise click.UsageError("--scale and --width both say the size: give one of them.")
    if kite is not None and like is not None:
        raise click.UsageError(
            f"--like {like} repeats that kite on its own sail, so {kite} has no part in it. "
            f"Leave one out: choose --like {like}, or choose {kite} with --wind."
        )
    if (kite is None) == (like is None):
        raise click.UsageError(
            'Name a kite and a wind (choose dunlin --wind "4-7 mph"), or a favourite (--like dunlin).'
        )
    if kite is not None and wind is None:
        raise click.UsageError(f'Which wind? bowbook choose {kite} --wind "4-7 mph"')
    if like is not None and flyer is not None:
        raise click.UsageError("--like repeats the favourite as it is: it takes no --flyer.")


def _wind(text: str, units: Units) -> Wind:
    """The wind to plan for, both its edges known."""
    from bowbook.book.written_numbers import QuantityError
    from bowbook.book.written_winds import parse_wind

    try:
        wind = parse_wind(text, units)
    except QuantityError as wrong:
        raise click.UsageError(f"--wind: {wrong}") from None
    if not all(edge is not None and 0 < edge <= _MOST_M_S for edge in (wind.low_m_s, wind.high_m_s)):
        raise click.UsageError('--wind: write the weakest and the strongest wind it should like, such as "4-7 mph".')
    return wind


def _scale(own_m: float | None, scale: float | None, width: str | None, units: Units) -> float:
    """How large the planned kite is against its pattern, from either option."""
    from bowbook.book.quantities import parse_quantity
    from bowbook.book.written_numbers import QuantityError

    if width is None:
        return scale or 1.0
    try:
        wanted = parse_quantity(width, "length", units)
    except QuantityError as wrong:
        raise click.UsageError(f"--width: {wrong}") from None
    if own_m is None:
        raise click.UsageError("--width needs the sail's outline, to know how wide it is now.")
    if not 0.2 <= wanted / own_m <= 5:
        raise click.UsageError(f"--width: {width} is too far from this kite's own size: a fifth to five times it.")
    return wanted / own_m


def _save(read: Book, root: Path, named: str, plan: BowPlan) -> None:
    """Write what each half is to read into a kite's file, and how long the bow is where that is not known there."""
    from bowbook.book.units import parts
    from bowbook.format.edit import edit_file, value
    from bowbook.format.write_kite import in_all_figures

    of = kite_of(read, named)
    reading = parts(plan.press_N.value, "force", read.settings.units)
    said = f"{reading.value} {reading.unit}"
    entry = {"left": said, "right": said} | ({"like": plan.kite.name} if plan.kite.key != of.key else {})
    changes = [value("target", entry)]
    if of.bow.length_m is None and not of.bows and plan.kite.bow.length_m is not None:
        changes.insert(
            0, value("bow.length", in_all_figures(round(plan.kite.bow.length_m, 4), "length", read.settings.units))
        )
    kept = write_into(lambda path: edit_file(path, changes, units=read.settings.units), root / of.file)
    tell(f"The target is written in {of.file}. The file as it was: {kept}", fg="green")
