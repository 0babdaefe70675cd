"""`bowbook bench`: read a bow on the scale, even it out, keep the round."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import KiteName, book_option, kite_of, open_book, write_into
from bowbook.terminal.output import say, say_json, tell

if TYPE_CHECKING:
    from bowbook.book.records import Round
    from bowbook.findings.results import Findings
    from bowbook.terminal.bench_advice import Bench
    from bowbook.terminal.unfinished_round import BenchReadings, Kind


@click.command("bench")
@click.argument("kite", type=KiteName(), metavar="[KITE]", required=False)
@click.option("--strip", help="A loose strip in place of a kite's bow; kept in content/stock/strips.yaml.")
@click.option("--rod", help="What a loose strip is made from: a rod of rods.yaml.")
@click.option("--length", help='How long a loose strip is: "640 mm".')
@click.option("--covered", is_flag=True, help="The same press with the skin on.")
@click.option("--tips", is_flag=True, help="The tips test of the finished kite: both tips pressed down together.")
@click.option("--left", help='Readings of the left half, in place of the questions: "214, 213, 215 g".')
@click.option("--right", help="Readings of the right half, likewise.")
@click.option("--whole", help="A reading of the whole bow, likewise.")
@click.option("--both", help='Readings of both tips, in place of the questions: "14, 15 g"; with --back.')
@click.option("--back", help='How far both tips were pressed from where they rested: "30 mm".')
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day of the round. Default: today.")
@click.option("--redo", type=click.IntRange(1), metavar="N", help="Open round N again: correct a reading, its day.")
@click.option("--anew", is_flag=True, help="Drop an unfinished round and begin again.")
@click.option(
    "--json", "as_data", is_flag=True, help="Print the verdict as JSON, in SI units; needs --left or --right."
)
@book_option
def command(
    kite: str | None,
    strip: str | None,
    rod: str | None,
    length: str | None,
    covered: bool,
    tips: bool,
    left: str | None,
    right: str | None,
    whole: str | None,
    both: str | None,
    back: str | None,
    on: object,
    redo: int | None,
    anew: bool,
    as_data: bool,
    book: Path,
) -> None:
    """Read KITE's bow: the whole of it and each half pressed on the scale, then the verdict and what to shave.

    It asks for the readings as they come off the scale and says after each what is known so far. Ctrl-C leaves
    at any time: nothing is lost, and the same command goes on from there. The round is written into the kite's
    file, and what you shave after it too; the file as it was is kept in .bowbook/.

    \b
    Examples:
      bowbook bench dunlin
      bowbook bench dunlin --covered
      bowbook bench dunlin --tips
      bowbook bench dunlin --redo 1
      bowbook bench --strip first
      bowbook bench dunlin --left "292, 290 g" --right "290, 291 g"
    """
    from bowbook.terminal.prompts import LeftError

    if (kite is None) == (strip is None):
        raise click.UsageError("Name a kite, such as bowbook bench dunlin, or a loose strip with --strip.")
    if strip is None and (rod or length):
        raise click.UsageError("--rod and --length are a loose strip's: a kite's bow says so in its own file.")
    tips = tips or both is not None or back is not None
    if strip is not None and (covered or tips or redo is not None):
        raise click.UsageError(
            "A loose strip has no skin and no tips, and its rounds are opened again in strips.yaml by hand."
        )
    if tips and (covered or left or right or whole):
        raise click.UsageError("--tips is a test of its own: it takes --both and --back, and no half.")
    if redo is None and (both is None) != (back is None):
        raise click.UsageError('A tips test needs both: --both "14, 15 g" --back "30 mm".')
    kind: Kind = "tips" if tips else "covered" if covered else "bare"
    bench = _bench(book, kite or "") if strip is None else _strip_bench(book, strip, rod, length)
    day = str(on)[:10] if on else None
    given = {"left": left, "right": right, "whole": whole, "tips": both}
    if redo is not None:
        _redo(bench, redo, given, back, day, tips=tips)
        return
    if any(given.values()):
        _record_given(bench, given, kind, back, day, as_data)
        return
    if as_data:
        raise click.UsageError('--json needs the readings as options: --left "214, 213 g" --right "198, 199 g"')
    try:
        _talk(bench, kind, anew, day)
    except LeftError:
        again = f"bowbook bench {_named(bench)}{'' if kind == 'bare' else f' --{kind}'}"
        tell(f"Left the bench. What was read is kept: {again} goes on from here.")
        sys.exit(1)


def _redo(
    bench: Bench, number: int, given: dict[str, str | None], back: str | None, day: str | None, *, tips: bool
) -> None:
    """A round opened again, and written as it is then."""
    from bowbook.format.edit import edit_file
    from bowbook.terminal.reopened_round import reopened

    try:
        changes = reopened(bench, number, given, back, day, tips=tips)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    if not changes:
        tell("It is as it was, so nothing is written.")
        return
    file = bench.root / bench.kite.file
    kept = write_into(lambda path: edit_file(path, changes, bench.seen, bench.units), file)
    tell(f"Round {number} is written anew in {bench.kite.file}. The file as it was: {kept}", fg="green")


def _bench(root: Path, named: str) -> Bench:
    """The kite on the bench, with the bytes of its file as they are now."""
    from bowbook.format.source_file import LARGEST_BYTES
    from bowbook.storage.regular import read_plain
    from bowbook.terminal.bench_advice import Bench

    book = open_book(root, named)
    kite = kite_of(book, named)
    return Bench(root, book, kite, read_plain(root / kite.file, LARGEST_BYTES))


def _named(bench: Bench) -> str:
    """How the command names what is on the bench."""
    return f"--strip {bench.strip}" if bench.strip else bench.kite.key


def _again(bench: Bench) -> Bench:
    """The same on the bench, with its file as it is now."""
    return _strip_bench(bench.root, bench.strip) if bench.strip else _bench(bench.root, bench.kite.key)


def _strip_bench(root: Path, name: str, rod: str | None = None, length: str | None = None) -> Bench:
    """A loose strip on the bench, as the bow of a kite that is nothing else."""
    from msgspec.structs import replace

    from bowbook.book.quantities import parse_quantity
    from bowbook.book.records import Strip
    from bowbook.findings.strips import as_a_kite
    from bowbook.format.source_file import LARGEST_BYTES
    from bowbook.format.stock_file import STRIPS
    from bowbook.storage.regular import read_plain
    from bowbook.terminal.bench_advice import Bench
    from bowbook.terminal.change_session import strip_sizes

    if not name.strip() or len(name) > 100 or not name.isprintable():
        raise click.UsageError("--strip: write a short name, such as first.")
    book, path = open_book(root), root / STRIPS
    if name in book.rods and name not in book.strips:
        raise click.UsageError(f"--strip: {name} is a rod of your stock. Give the strip a name of its own.")
    path.parent.mkdir(parents=True, exist_ok=True)
    strip = book.strips.get(name, Strip(name))
    try:
        sizes = strip_sizes(rod, length, book)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    long = parse_quantity(sizes["length"], "length", book.settings.units) if "length" in sizes else strip.length_m
    kite = as_a_kite(replace(strip, rod=sizes.get("rod", strip.rod), length_m=long))
    seen = read_plain(path, LARGEST_BYTES) if path.exists() else b""
    return Bench(root, book, kite, seen, strip=name, sizes=sizes)


def _talk(bench: Bench, kind: Kind, anew: bool, day: str | None) -> None:
    """The whole round, question by question, and its record."""
    from bowbook.terminal.bench_advice import HELP
    from bowbook.terminal.bench_session import more_wanted, read_all, say_first, the_round
    from bowbook.terminal.unfinished_round import BenchReadings, forget, take_up

    session = None if anew else take_up(bench.root, bench.kite.key, len(bench.kite.bench), kind)
    if session:
        tell(f"{bench.kite.name}: going on with the round you left.", bold=True)
    else:
        bench = _shaved_since(bench) if kind == "bare" else bench
        session = BenchReadings(bench.kite.key, len(bench.kite.bench), kind)
        tell(f"{bench.kite.name}, {_called(bench, kind)}.", bold=True)
    if bench.strip and bench.strip not in bench.book.strips and not bench.sizes:
        from bowbook.terminal.change_session import ask_strip

        sizes = ask_strip(bench.book)
        bench = _strip_bench(bench.root, bench.strip, sizes.get("rod"), sizes.get("length"))
    tell(HELP)
    say_first(bench, session)
    found = None
    while True:
        read_all(bench, session)
        if not session.anything():
            forget(bench.root, session)
            tell("Nothing was read, so nothing is written.")
            return
        say()
        if kind == "bare":
            found = _say_verdict(bench, the_round(session, day))
        if kind == "tips" or not more_wanted(bench, session):
            break
    _record(bench, session, day)
    forget(bench.root, session)
    if found is not None and found.shave.side is not None:
        _ask_and_record_shave(_again(bench), found)


def _called(bench: Bench, kind: Kind) -> str:
    """What the round is, in words."""
    from bowbook.terminal.stage import bare_rounds

    return {"covered": "skin on", "tips": "tips test"}.get(kind, f"round {bare_rounds(bench.kite) + 1}")


def _shaved_since(bench: Bench) -> Bench:
    """The bench after asking what was shaved since a round that called for it and does not say."""
    kite = bench.kite
    bare = [i for i, one in enumerate(kite.bench) if not one.skin_on and (one.left or one.right)]
    if not bare or kite.bench[bare[-1]].shaves:
        return bench
    found = bench.findings_of(kite)
    if found.shave.side is None:
        return bench
    tell(f"After round {len(bare)} of {kite.name}, the {found.shave.side} half was the stiffer one.", bold=True)
    return _ask_and_record_shave(bench, found)


def _ask_and_record_shave(bench: Bench, found: Findings) -> Bench:
    """Ask what was shaved after the last round, write it there, and give the bench as it is then."""
    from bowbook.format.edit import edit_file, value
    from bowbook.terminal.bench_session import ask_shave

    number = max(i for i, one in enumerate(bench.kite.bench) if not one.skin_on)
    where: tuple[str | int, ...] = ("bench", number, "shave")
    if bench.strip:
        where = (bench.strip, *where)
    advised = found.shave.options[0].zone if found.shave.options else "whole half"
    shave = ask_shave(bench, found.shave.side, advised)
    if shave is None:
        tell(f"When it has been shaved, measure again: bowbook bench {_named(bench)}")
        return bench
    write_into(
        lambda path: edit_file(path, [value(where, shave)], bench.seen, bench.units),
        bench.root / bench.kite.file,
    )
    tell(f"The shaving is written in {bench.kite.file}. Measure again: bowbook bench {_named(bench)}", fg="green")
    return _again(bench)


def _say_verdict(bench: Bench, one: Round) -> Findings:
    """Print the verdict on this round and what to shave; the findings behind it."""
    from bowbook.terminal.bench_session import say_options, with_round
    from bowbook.wording.balance import is_it_even
    from bowbook.wording.target import target_said

    found = bench.findings_of(with_round(bench.kite, one))
    said, next_step, _ = is_it_even(found, bench.units)
    tell(said, bold=True)
    if next_step:
        tell(next_step)
    for sentence in target_said(found.target, bench.units) if found.target else ():
        tell(sentence)
    if found.shave.options:
        say()
        say_options(found.shave.options, bench.units)
    for warning in found.warnings:
        tell(warning, "! ", fg="yellow")
    return found


def _record(bench: Bench, session: BenchReadings, day: str | None) -> None:
    """Write the round into the kite's file, each reading as it was typed; a plan becomes a kite that is being built."""
    from bowbook.format.edit import edit_file, item, value
    from bowbook.terminal.bench_session import typed_entry
    from bowbook.terminal.stage import stage_after_bench

    entry = typed_entry(session, day)
    changes = [value([bench.strip, key], text) for key, text in bench.sizes.items()] if bench.strip else []
    changes.append(item([bench.strip, "bench"] if bench.strip else "bench", entry))
    stage = stage_after_bench(bench.kite)
    if stage is not None:
        changes.append(value("stage", stage))
    path = bench.root / bench.kite.file
    kept = write_into(lambda path: edit_file(path, changes, bench.seen, bench.units), path)
    named = {"covered": "The covered readings are", "tips": "The tips test is"}
    what = named.get(session.kind, f"{_called(bench, session.kind).capitalize()} is")
    before = "" if kept.suffix == ".yaml" and ".bowbook" not in kept.parts else f" The file as it was: {kept}"
    tell(f"{what} written in {bench.kite.file}.{before}", fg="green")
    if stage is not None:
        tell(f"{bench.kite.name} is not {bench.kite.stage} any more: its stage is now {stage}.")
    if session.kind != "bare":
        _say_finished(bench, session)


def _say_finished(bench: Bench, session: BenchReadings) -> None:
    """What the skin adds by the covered readings just written, and whether the bow is even under it; or the tips."""
    from bowbook.findings.compute import at_the_bench, compute_findings
    from bowbook.terminal.bench_session import covered_alone
    from bowbook.wording.answers import skin_adds, tips_said
    from bowbook.wording.balance import is_it_even

    book = open_book(bench.root)
    found = compute_findings(book).kites.get(bench.kite.key)
    if session.kind == "tips":
        for sentence in tips_said(found, bench.units) if found is not None else ():
            tell(sentence, bold=True)
        return
    if found is not None:
        tell(skin_adds(found, bench.units), bold=True)
    if session.left and session.right:
        said, _, _ = is_it_even(at_the_bench(book, covered_alone(bench.kite, session)), bench.units)
        tell(f"With the skin on: {said}")


def _record_given(
    bench: Bench, given: dict[str, str | None], kind: Kind, back: str | None, day: str | None, as_data: bool
) -> None:
    """A round given as options: checked, judged, written and said without a question."""
    from bowbook.terminal.bench_session import odd_in, take_given, the_round, tips_back
    from bowbook.terminal.unfinished_round import BenchReadings
    from bowbook.wording.numbers import capital

    session = BenchReadings(bench.kite.key, len(bench.kite.bench), kind)
    try:
        take_given(session, given, bench.units)
        if back is not None:
            session.back[:] = tips_back(back, bench)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    one = the_round(session, day)
    if as_data:
        say_json(_judged(bench, one))
    elif kind == "bare":
        _say_verdict(bench, one)
    for odd in odd_in(bench, session):
        tell(f"{capital(odd.what)}. {odd.instead}", "! ", fg="yellow", err=True)
    _record(bench, session, day)


def _judged(bench: Bench, one: Round) -> dict[str, object]:
    """The kite's balance with this round, as plain data."""
    from msgspec import to_builtins

    from bowbook.terminal.bench_session import with_round

    found = bench.findings_of(with_round(bench.kite, one))
    return {name: to_builtins(getattr(found, name), enc_hook=float) for name in ("balance", "shave", "wanting")}
