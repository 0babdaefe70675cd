"""Files of a book changed as a slip, a stranger or an attacker would: mostly whole, wrong somewhere."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

from bowbook.book.unit_tables import FACTORS
from bowbook.format import book_schema, fields, schema

_LINE = re.compile(r"(\s*(?:- )*)([\w.<-]+)(\s*:\s*)(.*)", re.DOTALL)
_FIGURES = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_WORD = re.compile(r"[A-Za-z²³°%/·]+")

NUMBERS = (
    *("0", "-0", "-5", "1e400", "-1e400", "1e-400", "1e308", ".nan", ".inf", "-.inf", "NaN", "0x1F", "0o17", "1_000"),
    *("12:30", "1/0", "1/2", "19 1/2", "19½", "½", "5-7", "7-5", "5–7", "Bft 3", "Bft 0-11", "Bft 99", "12 bft", "."),
    *("1e", "1e999999999", "0" * 40, "9" * 25, "9" * 4400, "214,5", "1,234,567", "٣", "²", "１２", "+3", "1.2.3"),
)
WORDS = (
    *("yes", "no", "~", "null", "true", "off", "2026-05-03", "2026-02-30", "0000-00-00", "9999-12-31", "left"),
    *(
        "pinned",
        "right",
        "clamped",
        "0.699",
        "middle third",
        "outer third",
        "100-200 mm",
        "0-0",
        "300 - 100 mm",
        "#2a4b8d",
    ),
    *("https://example.org/", "javascript:x", "http://[", "../x.jpg", "a/b.png", "x.jpg", "CON", "washi-30", "\\"),
)
STRANGE = (
    *("\u202e", "\u200b", "\ufeff", "\x00", "\x1b[2J", "\x85", "\u2028", "\ufffe", "\U000e0041", "\U0001f9ff"),
    *("é", "e\u0301", "ß", "İ", "ﬁ", "Ω", "К", "−", "’", "″", "\xa0", "\u3000", "\t", "\r", "\r\n", "\x0c", "\x7f"),
)
SHAPES = (
    *("[]", "{}", "[[]]", "{a: {}}", "[1, [2, 3]]", "[~, ~]", "|", ">-", "|\n    x\n", "'", '"', "&a", "*a", "&a *a"),
    *("!!str x", "!!python/object:os.system x", "!x y", "<<: *a", "{<<: *a}", "? a\n: b", "- - - 1", "---"),
    *('"\\u0000"', '"\\ud800"', '"\\x1b"', "@x", "`x", "%x", "# c", "...", "? [a]"),
    *("{", "}", "[", "]", ",", ": ", "- ", "&a [*a]", "<<"),
)


def _keys(shape: object, seen: set[int]) -> Iterator[tuple[str, object]]:
    """Every key below a shape, with the example that goes with it."""
    if id(shape) in seen:
        return
    seen.add(id(shape))
    if isinstance(shape, fields.Record):
        for name, key in shape.keys.items():
            yield name, key.example
            yield from _keys(key.shape, seen)
    elif isinstance(shape, fields.ListOf | fields.Table):
        yield from _keys(shape.item, seen)


_FOUND = [
    pair
    for tree in (schema.KITE, book_schema.BOOK, book_schema.RODS, book_schema.SKINS, book_schema.STRIPS)
    for pair in _keys(tree, set())
]
KEYS = sorted({name for name, _ in _FOUND} | {"<<", "zzz"})
EXAMPLES = sorted({str(example) for _, example in _FOUND if example})
UNITS = sorted({unit for factors in FACTORS.values() for unit in factors} | {"'", '"', "furlong", "G", "MM", "m2"})


def dictionary() -> str:
    """Keys, units and oddities as a dictionary for libFuzzer: one quoted word a line."""
    words = [*KEYS, *EXAMPLES, *UNITS, *NUMBERS, *WORDS, *STRANGE, *SHAPES]
    escaped = ("".join(f"\\x{byte:02x}" for byte in word.encode()) for word in words if len(word) < 60)
    return "".join(f'"{word}"\n' for word in escaped if word)


def value(dice: random.Random) -> str:
    """Something to stand where a value belongs."""
    pile = dice.choice((NUMBERS, WORDS, SHAPES, EXAMPLES, EXAMPLES, STRANGE))
    found = dice.choice(pile)
    if dice.random() < 0.4:
        found += " " + dice.choice(UNITS)
    if dice.random() < 0.1:
        found = f"[{found}, {dice.choice(NUMBERS)}]"
    return found


def quantity(text: str, dice: random.Random) -> str:
    """A quantity, changed in one place."""
    done = dice.randrange(6)
    if done == 0:
        return _instead(_FIGURES, text, dice.choice(NUMBERS), dice)
    if done == 1:
        return _instead(_WORD, text, dice.choice(UNITS), dice)
    at = dice.randrange(len(text) + 1)
    if done == 2:
        return text[:at] + dice.choice(STRANGE) + text[at:]
    if done == 3:
        return text[:at] + dice.choice((",", ", ", ";", "-", "–", " to ", " ", "/", ".", ":", "½", "^")) + text[at:]
    if done == 4:
        return text[:at] + text[dice.randrange(len(text) + 1) :]
    return dice.choice((value(dice), f"{text}, {value(dice)}", f"{text} {value(dice)}", (text + ", ") * 40))


def _instead(what: re.Pattern[str], text: str, new: str, dice: random.Random) -> str:
    """The text with one of the places that look like `what` put otherwise."""
    found = list(what.finditer(text))
    if not found:
        return text + new
    spot = dice.choice(found)
    return text[: spot.start()] + new + text[spot.end() :]


def file(text: str, other: str, dice: random.Random) -> str:
    """A file of a book, changed in one to four places, some of them out of another file."""
    lines = text.split("\n")
    for _ in range(dice.choice((1, 1, 1, 2, 2, 3, 4))):
        at = dice.randrange(len(lines))
        _CHANGES[dice.randrange(len(_CHANGES))](lines, at, other, dice)
        if not lines:
            lines = [""]
    return "\n".join(lines)


def _value(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    found = _LINE.fullmatch(lines[at])
    if found:
        lines[at] = found[1] + found[2] + found[3] + value(dice)
    else:
        lines[at] = _instead(_FIGURES, lines[at], dice.choice(NUMBERS), dice)


def _within(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    lines[at] = quantity(lines[at], dice)


def _key(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    found = _LINE.fullmatch(lines[at])
    if found:
        lines[at] = found[1] + dice.choice(KEYS) + found[3] + found[4]
    else:
        lines[at] = _instead(_WORD, lines[at], dice.choice(KEYS), dice)


def _more(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    indent = lines[at][: len(lines[at]) - len(lines[at].lstrip())]
    lines.insert(at, f"{indent}{dice.choice(('', '', '- ', '  '))}{dice.choice(KEYS)}: {value(dice)}")


def _twice(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    lines[at:at] = [lines[at]] * dice.choice((1, 1, 2, 60))


def _less(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    del lines[at : at + dice.choice((1, 1, 2, 5))]


def _moved(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    lines.insert(dice.randrange(len(lines)), lines.pop(at))


def _indented(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    lines[at] = dice.choice(("  ", " ", "\t", "- ", "    ")) + lines[at] if dice.random() < 0.6 else lines[at].lstrip()


def _named(lines: list[str], at: int, _other: str, dice: random.Random) -> None:
    found = _LINE.fullmatch(lines[at])
    if found:
        sign = dice.choice(("&a ", "*a", "&a [*a]", "!!x ", "|", "[", "{", "- "))
        lines[at] = f"{found[1]}{found[2]}: {sign}{found[4]}"


def _borrowed(lines: list[str], at: int, other: str, dice: random.Random) -> None:
    theirs = other.split("\n")
    start = dice.randrange(len(theirs))
    lines[at:at] = theirs[start : start + dice.choice((1, 1, 3, 10))]


_CHANGES = (_value, _value, _value, _within, _within, _key, _more, _twice, _less, _moved, _indented, _named, _borrowed)
