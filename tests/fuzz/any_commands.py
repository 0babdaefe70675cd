"""Commands made up: what a maker may say to those that write, sensible, at an edge, or a slip."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path

from click.testing import CliRunner
from whole_books import NAMES, WORDS, quantity

from bowbook.cli import main
from bowbook.format.read_book import read_book
from bowbook.pages.links import link_problems

_GOOD_DAYS = ("2026-05-01", "2026-06", "spring 2027", "2999-12-31")
_DAYS = (
    "2026-05-01",
    "2019",
    "spring 2019",
    "1800-01-01",
    "2999-12-31",
    "9999-12-31",
    "0001-01-01",
    "1066",
    "today",
    "",
)
_GOOD_WINDS = ("4-9 mph", "to 6 mph", "6 mph up", "Bft 3-4", "0.1-45 m/s")
_WINDS = (
    "4-9 mph",
    "0 mph",
    "to 6 mph",
    "6 mph up",
    "Bft 0",
    "Bft 3-4",
    "9-4 mph",
    "0.0001 m/s",
    "45 m/s",
    "99 m/s",
    "~",
)
_KITES = ("dunlin", "turnstone", "new", "con", "x")
_GOOD_WORDS = ("two words", "x", "Tern", "凧", "# so", "- so", "a: b", "'", '"', "yes", "12:30", "1_000", "ß")
_WORDS = (*WORDS, "\x07", "\u202e", "~", "yes", "'", '"', "# x", "a: b", "[", "{", "*", "&", "%", "---", "x" * 3000)


def words(dice: random.Random, book: Path) -> list[str]:
    """One command line."""
    kites = [file.stem for file in (book / "content" / "kites").glob("*.md")] or ["x"]
    kite = dice.choice(kites) if dice.random() < 0.95 else dice.choice(_KITES)
    kind = dice.choice(("fly", "fly", "bench", "bench", "change", "add", "strip", "undo", "redo"))
    if kind == "undo":
        return ["undo"]
    if kind == "add":
        more = {"--from": kite, "--maker": _pick(dice, _GOOD_WORDS, _WORDS), "--copies": str(dice.randint(0, 4))}
        return ["add", *_some(dice, more, 0.4), "--", _pick(dice, NAMES, _WORDS)]
    if kind == "fly":
        may = {
            "--flyer": _pick(dice, NAMES, _WORDS),
            "--wind": _pick(dice, _GOOD_WINDS, _WINDS),
            "--height": _length(dice),
            "--note": _pick(dice, _GOOD_WORDS, _WORDS),
            "--on": _pick(dice, _GOOD_DAYS, _DAYS),
            "--line": _length(dice),
            "--gusts": _pick(dice, _GOOD_WINDS, _WINDS),
            "--place": _pick(dice, _GOOD_WORDS, _WORDS),
            "--bow": dice.choice(("light", "x")),
            "--control": str(dice.randint(1, 5)),
            "--pull": str(dice.randint(0, 6)),
        }
        private = ["--private"] if dice.random() < 0.2 else []
        return ["fly", kite, "--best", _pick(dice, _GOOD_WINDS, _WINDS), *private, *_some(dice, may, 0.3)]
    if kind == "change":
        may = {
            "--skin": dice.choice(("washi-30", "washi-30", "x")),
            "--bow": f"{dice.choice(('carbon-1.5', 'carbon-1.5', 'x'))}, {_length(dice)}",
            "--span": _length(dice),
            "--stage": dice.choice(("flying", "given", "retired")),
            "--to": _pick(dice, _GOOD_WORDS, _WORDS),
            "--note": _pick(dice, _GOOD_WORDS, _WORDS),
            "--on": _pick(dice, _GOOD_DAYS, _DAYS),
        }
        return ["change", kite, *_some(dice, may, 0.4)]
    readings = {"--left": _readings(dice), "--right": _readings(dice), "--whole": _readings(dice)}
    day = {"--on": _pick(dice, _GOOD_DAYS, _DAYS)}
    if kind == "strip":
        own = {"--rod": dice.choice(("carbon-1.5", "carbon-1.5", "carbon-1.5", "x")), "--length": _length(dice)}
        strip = _pick(dice, ("first", "second"), _WORDS)
        return ["bench", "--strip", strip, *_some(dice, own, 0.9), *_some(dice, readings, 0.9), *_some(dice, day, 0.3)]
    if kind == "redo":
        return ["bench", kite, "--redo", str(dice.randint(1, 3)), *_some(dice, readings | day, 0.6)]
    if dice.random() < 0.2:
        return ["bench", kite, "--tips", "--both", _readings(dice), "--back", _length(dice), *_some(dice, day, 0.3)]
    covered = ["--covered"] if dice.random() < 0.3 else []
    return ["bench", kite, *covered, "--left", _readings(dice), *_some(dice, readings | day, 0.6)]


def _some(dice: random.Random, options: dict[str, str], share: float) -> list[str]:
    return [part for name, value in options.items() if dice.random() < share for part in (name, value)]


def _pick(dice: random.Random, good: Sequence[str], odd: Sequence[str]) -> str:
    return dice.choice(good if dice.random() < 0.85 else odd)


def _length(dice: random.Random) -> str:
    good = (f"{dice.uniform(300, 640):.4g} mm", f"{dice.uniform(12, 25):.4g} in", "24 1/2 in")
    return _pick(dice, good, (quantity(dice, "length", 1e-4, 20), "0", "-1 mm", "~", "1e9 mm", "7"))


def _readings(dice: random.Random) -> str:
    many = ", ".join(f"{dice.uniform(90, 400):.4g}" for _ in range(dice.randint(1, 4)))
    odd = (many, quantity(dice, "force", 1e-3, 1e3), "0 g", "~", "1e9 g", "nothing")
    return _pick(dice, (f"{many} g",), odd)


def hold(book: Path, dice: random.Random) -> int:
    """Give a command; whatever it says, checking passes what then stands there. The command's exit status."""
    line = words(dice, book)
    result = CliRunner().invoke(main, [line[0], "--book", str(book), *line[1:]], input="")
    assert result.exception is None or isinstance(result.exception, SystemExit), line
    assert result.exit_code in (0, 1, 2), (line, result.output)
    read = read_book(book)
    assert (*read.problems, *link_problems(read)) == (), (line, result.output)
    return result.exit_code
