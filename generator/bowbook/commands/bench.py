"""`bowbook bench`: read a bow on the scale, even it out, keep the round."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import book_option, kite_argument, kite_of, open_book, write_into
from bowbook.terminal.output import say, say_json, tell

if TYPE_CHECKING:
    from bowbook.book.records import Round
    from bowbook.findings.results import Findings
    from bowbook.terminal.bench_session import Bench


@click.command("bench")
@kite_argument
@click.option("--covered", is_flag=True, help="The same press with the skin on.")
@click.option("--left", help='Readings of the left half, in place of the questions: "214, 213, 215 g".')
@click.option("--right", help="Readings of the right half, likewise.")
@click.option("--whole", help="A reading of the whole bow, likewise.")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day of the round. Default: today.")
@click.option("--anew", is_flag=True, help="Drop an unfinished round and begin again.")
@click.option(
    "--json", "as_data", is_flag=True, help="Print the verdict as JSON, in SI units; needs --left or --right."
)
@book_option
def command(
    kite: str,
    covered: bool,
    left: str | None,
    right: str | None,
    whole: str | None,
    on: object,
    anew: bool,
    as_data: bool,
    book: Path,
) -> None:
    """Read KITE's bow: each half pressed on the scale, a few times, then the verdict and what to shave.

    It asks for the readings as they come off the scale and says after each what is known so far. Ctrl-C leaves
    at any time: nothing is lost, and the same command goes on from there. The round is written into the kite's
    file, and what you shave after it too; the file as it was is kept in .bowbook/.

    \b
    Examples:
      bowbook bench dunlin
      bowbook bench dunlin --covered
      bowbook bench dunlin --left "292, 290 g" --right "290, 291 g"
    """
    from bowbook.terminal.prompts import LeftError

    bench = _bench(book, kite)
    day = str(on)[:10] if on else None
    given = {"left": left, "right": right, "whole": whole}
    if any(given.values()):
        _record_given(bench, given, covered, day, as_data)
        return
    if as_data:
        raise click.UsageError('--json needs the readings as options: --left "214, 213 g" --right "198, 199 g"')
    try:
        _talk(bench, covered, anew, day)
    except LeftError:
        again = f"bowbook bench {bench.kite.key}{' --covered' if covered else ''}"
        tell(f"Left the bench. What was read is kept: {again} goes on from here.")
        sys.exit(1)


def _bench(root: Path, named: str) -> Bench:
    """The kite on the bench, with the bytes of its file as they are now."""
    from bowbook.findings.compute import at_the_bench
    from bowbook.format.source_file import LARGEST_BYTES
    from bowbook.storage.regular import read_plain
    from bowbook.terminal.bench_session import Bench

    book = open_book(root)
    kite = kite_of(book, named)
    return Bench(root, book, kite, read_plain(root / kite.file, LARGEST_BYTES), at_the_bench)


def _talk(bench: Bench, covered: bool, anew: bool, day: str | None) -> None:
    """The whole round, question by question, and its record."""
    from bowbook.terminal.bench_session import HELP, more_wanted, read_all, the_round
    from bowbook.terminal.unfinished_round import Session, forget, take_up

    session = None if anew else take_up(bench.root, bench.kite.key, len(bench.kite.bench), covered)
    if session:
        tell(f"{bench.kite.name}: going on with the round you left.", bold=True)
    else:
        bench = bench if covered else _shaved_since(bench)
        session = Session(bench.kite.key, len(bench.kite.bench), covered)
        tell(f"{bench.kite.name}, {'skin on' if covered else f'round {len(bench.kite.bench) + 1}'}.", bold=True)
    tell(HELP)
    found = None
    while True:
        read_all(bench, session)
        if not session.anything():
            forget(bench.root, session)
            tell("Nothing was read, so nothing is written.")
            return
        say()
        if not covered:
            found = _say_verdict(bench, the_round(session, day))
        if not more_wanted(bench, session):
            break
    _record(bench, the_round(session, day), covered)
    forget(bench.root, session)
    if found is not None and found.shave.side is not None:
        _ask_and_record_shave(_bench(bench.root, bench.kite.key), found)


def _shaved_since(bench: Bench) -> Bench:
    """The bench after asking what was shaved since a round that called for it and does not say."""
    kite = bench.kite
    if not kite.bench or kite.bench[-1].shave is not None:
        return bench
    found = bench.compute_findings(bench.book, kite)
    if found.shave.side is None:
        return bench
    tell(f"After round {len(kite.bench)} of {kite.name}, the {found.shave.side} half was the stiffer one.", bold=True)
    return _ask_and_record_shave(bench, found)


def _ask_and_record_shave(bench: Bench, found: Findings) -> Bench:
    """Ask what was shaved after the last round, write it there, and give the bench as it is then."""
    from bowbook.format.edit import set_value
    from bowbook.format.write_kite import shave_entry
    from bowbook.terminal.bench_session import ask_shave

    shave = ask_shave(bench, found.shave.side)
    if shave is None:
        tell(f"When it has been shaved, measure again: bowbook bench {bench.kite.key}")
        return bench
    units = bench.units
    write_into(
        lambda path: set_value(path, "bench.-1.shave", shave_entry(shave, units), bench.seen, units),
        bench.root / bench.kite.file,
    )
    tell(f"The shaving is written in {bench.kite.file}. Measure again: bowbook bench {bench.kite.key}", fg="green")
    return _bench(bench.root, bench.kite.key)


def _say_verdict(bench: Bench, one: Round) -> Findings:
    """Print the verdict on this round and what to shave; the findings behind it."""
    from bowbook.terminal.bench_session import say_options, with_round
    from bowbook.wording.balance import is_it_even

    found = bench.compute_findings(bench.book, with_round(bench.kite, one))
    said, next_step, _ = is_it_even(found, bench.units)
    tell(said, bold=True)
    if next_step:
        tell(next_step)
    if found.shave.options:
        say()
        say_options(found.shave.options, bench.units)
    for warning in found.warnings:
        tell(warning, "! ", fg="yellow")
    return found


def _record(bench: Bench, one: Round, covered: bool) -> None:
    """Write the round, or the covered readings, into the kite's file."""
    from bowbook.format.edit import append_round, set_covered
    from bowbook.format.write_kite import covered_entry, round_entry
    from bowbook.terminal.bench_session import covered_of

    path, units = bench.root / bench.kite.file, bench.units
    if covered:
        entry = covered_entry(covered_of(one), units)
        kept = write_into(lambda path: set_covered(path, entry, bench.seen, units), path)
        what = "The covered readings are"
    else:
        entry = round_entry(one, units)
        kept = write_into(lambda path: append_round(path, entry, bench.seen, units), path)
        what = f"Round {len(bench.kite.bench) + 1} is"
    tell(f"{what} written in {bench.kite.file}. The file as it was: {kept}", fg="green")


def _record_given(bench: Bench, given: dict[str, str | None], covered: bool, day: str | None, as_data: bool) -> None:
    """A round given as options: checked, judged, written and said without a question."""
    from bowbook.book.quantities import QuantityError
    from bowbook.book.units import parse_quantities
    from bowbook.terminal.bench_session import MOST_N, the_round
    from bowbook.terminal.unfinished_round import Session

    session = Session(bench.kite.key, len(bench.kite.bench), covered)
    for part, text in given.items():
        if text is None:
            continue
        try:
            values = parse_quantities(text, "force", bench.units)
        except QuantityError as wrong:
            raise click.UsageError(f"--{part}: {wrong.message}. {wrong.hint}") from None
        if not values or not all(0 < value <= MOST_N for value in values):
            raise click.UsageError(f"--{part}: a reading is more than nothing, and less than a scale can bear.")
        getattr(session, part).extend(values)
    one = the_round(session, day)
    if as_data:
        say_json(_judged(bench, one, covered))
    elif not covered:
        _say_verdict(bench, one)
    _record(bench, one, covered)


def _judged(bench: Bench, one: Round, covered: bool) -> dict[str, object]:
    """The kite's balance with this round, as plain data."""
    from msgspec import to_builtins

    from bowbook.terminal.bench_session import with_round

    found: Findings = bench.compute_findings(bench.book, with_round(bench.kite, one, covered))
    return {name: to_builtins(getattr(found, name), enc_hook=float) for name in ("balance", "shave", "wanting")}
