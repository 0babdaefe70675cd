"""`bowbook fly`: write down a flight."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import KiteName, book_option, kite_of, open_book, write_flights, write_into
from bowbook.terminal.output import tell, visible

if TYPE_CHECKING:
    from bowbook.book.records import Book, Kite
    from bowbook.terminal.flight_session import FlightAnswers


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
@click.option("--pull", type=click.IntRange(1, 5), help="How hard it pulled, 1 to 5.")
@click.option("--turn", type=click.IntRange(1, 5), help="How readily it turned, 1 to 5.")
@click.option("--track", type=click.IntRange(1, 5), help="How straight it flew, 1 to 5.")
@click.option("--gusts", help='What the gusts reached: "12 mph".')
@click.option("--line", help='Length of line that was out: "25 m".')
@click.option("--place", help="Where it was; kept off the site unless book.yaml says places.")
@click.option("--bow", help="Which of its bows was in it, where it has several.")
@click.option("--on", help="Day of the flight: 2026-05-10; or spring 2019. Default: today.")
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
    pull: int | None,
    turn: int | None,
    track: int | None,
    gusts: str | None,
    line: str | None,
    place: str | None,
    bow: str | None,
    on: str | None,
    book: Path,
) -> None:
    """Write a flight of KITE into its file. Without --wind or --best it asks.

    Without KITE it asks for a day: who flew and what wind blew once, then kite after kite.

    With --from it takes home a session from the field page, all its kites at once, after showing what it will write.

    Best winds are what the book learns a flyer's comfort from: three kites with one, and it can predict.

    \b
    Examples:
      bowbook fly
      bowbook fly dunlin
      bowbook fly dunlin --flyer MK --wind "4-9 mph" --best "5-7 mph" --control 4
      bowbook fly --from session-2026-06-14-5f3c.json
    """
    from bowbook.terminal.flight_session import FlightAnswers

    if source is not None:
        if kite is not None:
            raise click.UsageError("A session names its own kites: leave KITE out with --from.")
        _take_home(source, book, on, yes)
        return
    given = FlightAnswers(
        *(on, flyer, wind, best, height, control, speed, note, private),
        bow=bow,
        line=line,
        place=place,
        gusts=gusts,
        pull=pull,
        turn=turn,
        track=track,
    )
    if kite is None:
        _write_day(book, given)
        return
    from bowbook.format.edit import edit_file, item, value
    from bowbook.terminal.flight_session import ask_flight, typed_flight, understand_flight
    from bowbook.terminal.stage import stage_after_flight

    read = open_book(book, kite)
    of = kite_of(read, kite)
    units = read.settings.units
    _need_bow(of, bow)
    try:
        if wind is None and best is None:
            tell(f"A flight of {of.name}. Enter alone leaves a thing out; Ctrl-C leaves without writing.", bold=True)
            given = ask_flight(read, given)
        flight = understand_flight(given, read)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    changes = [item("flights", typed_flight(flight, given, units))]
    stage = stage_after_flight(of)
    if stage is not None:
        changes.append(value("stage", stage))
    kept = write_into(lambda path: edit_file(path, changes, units=units), book / of.file)
    tell(f"The flight is written in {of.file}. The file as it was: {kept}", fg="green")
    if stage is not None:
        tell(f"{of.name} is not {of.stage} any more: its stage is now {stage}.")
    if flight.flyer:
        _say_comfort(book, flight.flyer)


def _take_home(source: str, root: Path, on: str | None, yes: bool) -> None:
    """Take a session home from the field, once it was shown and agreed to."""
    from bowbook.format.session_file import SessionError
    from bowbook.importing.session_changes import text_changes
    from bowbook.importing.session_home import session_changes
    from bowbook.wording import numbers

    book = open_book(root, hidden=True)
    try:
        units, changed, whole = session_changes(source, root, book, on, yes)
    except SessionError as wrong:
        tell(f"{wrong} Nothing was written.", err=True)
        sys.exit(1)
    changes = {one.kite.key: text_changes(one, units) for one in changed}
    write_flights(root, changes, book, {one.kite.key: one.seen for one in changed})
    for one in changed:
        tell(f"{one.kite.file} has {numbers.counted(one.taps, 'tap') if one.taps else 'no tap'} of it now.", fg="green")
    if not whole:
        sys.exit(1)


def _write_day(root: Path, given: FlightAnswers) -> None:
    """Ask for a day's flights and write each into its kite's file."""
    from bowbook.format.edit import TextChange, item
    from bowbook.terminal.day_session import ask_flights_of_day

    own = {"--best": given.best, "--control": given.control, "--speed": given.speed, "--note": given.note}
    if alone := [name for name, value in own.items() if value is not None]:
        raise click.UsageError(f"{alone[0]} belongs to one kite: name it, or leave {alone[0]} out and be asked.")
    read = open_book(root)
    tell("A day's flights. Enter alone leaves a thing out; Ctrl-C leaves without writing.", bold=True)
    try:
        flown = ask_flights_of_day(read, given)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    if not flown:
        tell("Nothing was flown, so nothing is written.")
        return
    changes: dict[str, list[TextChange]] = {}
    for kite, entry in flown:
        changes.setdefault(kite.key, []).append(item("flights", entry))
    write_flights(root, changes, read)
    tell(f"{len(flown)} {'flight is' if len(flown) == 1 else 'flights are'} written.", fg="green")
    for who in sorted({str(entry["flyer"]) for _, entry in flown if "flyer" in entry}):
        _say_comfort(root, who)


def _need_bow(kite: Kite, named: str | None) -> None:
    """Raises a usage error for a bow that the kite has not got."""
    if named is not None and named not in kite.bows:
        has = f"Its bows are {', '.join(kite.bows)}." if kite.bows else "It has one bow, which has no name."
        raise click.UsageError(f"--bow: {kite.name} has no bow {visible(named)}. {has}")


def _say_comfort(root: Path, flyer: str) -> None:
    """How far this flyer's records reach by now."""
    from bowbook.findings.compute import compute_findings
    from bowbook.wording.flyer import records_missing

    read: Book = open_book(root)
    found = compute_findings(read).flyers.get(flyer)
    if found is None:
        return
    missing = records_missing(found)
    tell(missing or f"{found.kites} kites tell of {flyer}'s comfort by now: bowbook choose plans with it.")
