"""`bowbook fly`: write down a flight."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import KiteName, book_option, kite_of, open_book, write_into
from bowbook.terminal.output import tell

if TYPE_CHECKING:
    from bowbook.book.records import Book


@click.command("fly")
@click.argument("kite", type=KiteName(), metavar="[KITE]", required=False)
@click.option("--from", "source", metavar="FILE", help='A session from the field page; "-" reads a pasted message.')
@click.option("--yes", is_flag=True, help="Write a session without asking.")
@click.option("--flyer", help="Who flew: initials or a name.")
@click.option("--wind", help='What blew, weakest to strongest: "4-9 mph".')
@click.option("--best", help="The wind in which this flyer liked the kite best.")
@click.option("--height", help='Of the wind meter, where it is not the book\'s own: "1.5 m".')
@click.option("--control", type=click.IntRange(1, 5), help="How well it obeyed, 1 to 5.")
@click.option("--speed", type=click.IntRange(1, 5), help="How fast it flew, 1 to 5.")
@click.option("--note", help="Anything to remember.")
@click.option("--private", is_flag=True, help="Keep this flight out of the site altogether.")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day of the flight. Default: today.")
@book_option
def command(
    kite: str | None,
    source: str | None,
    yes: bool,
    flyer: str | None,
    wind: str | None,
    best: str | None,
    height: str | None,
    control: int | None,
    speed: int | None,
    note: str | None,
    private: bool,
    on: object,
    book: Path,
) -> None:
    """Write a flight of KITE into its file. Without --wind or --best it asks.

    With --from it takes home a session from the field page, all its kites at once, after showing what it will write.

    Best winds are what the book learns a flyer's comfort from: three kites with one, and it can predict.

    \b
    Examples:
      bowbook fly dunlin
      bowbook fly dunlin --flyer MK --wind "4-9 mph" --best "5-7 mph" --control 4
      bowbook fly --from session-2026-06-14-5f3c.json
    """
    if source is not None:
        if kite is not None:
            raise click.UsageError("A session names its own kites: leave KITE out with --from.")
        from bowbook.commands.fly_session import take_session

        take_session(source, book, str(on)[:10] if on else None, yes)
        return
    if kite is None:
        raise click.UsageError("Name a kite, or take a session home with --from FILE.")
    from bowbook.format.edit import append_flight
    from bowbook.format.write_kite import flight_entry
    from bowbook.terminal.flight_session import Given, ask_flight, understand_flight
    from bowbook.terminal.prompts import LeftError

    read = open_book(book)
    of = kite_of(read, kite)
    units = read.settings.units
    given = Given(str(on)[:10] if on else None, flyer, wind, best, height, control, speed, note, private)
    try:
        if wind is None and best is None:
            tell(f"A flight of {of.name}. Enter alone leaves a thing out; Ctrl-C leaves without writing.", bold=True)
            flight = ask_flight(read, given)
        else:
            flight = understand_flight(given, read)
    except LeftError:
        tell("Nothing was written.")
        sys.exit(1)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    entry = flight_entry(flight, units, private)
    kept = write_into(lambda path: append_flight(path, entry, units=units), book / of.file)
    tell(f"The flight is written in {of.file}. The file as it was: {kept}", fg="green")
    if flight.flyer:
        _say_comfort(book, flight.flyer)


def _say_comfort(root: Path, flyer: str) -> None:
    """How far this flyer's records reach by now."""
    from bowbook.findings.compute import compute_findings
    from bowbook.wording.answers import records_missing

    read: Book = open_book(root)
    found = compute_findings(read).flyers.get(flyer)
    if found is None:
        return
    missing = records_missing(found)
    tell(missing or f"{found.kites} kites tell of {flyer}'s comfort by now: bowbook choose plans with it.")
