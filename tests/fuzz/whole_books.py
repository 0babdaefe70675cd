"""Whole books made up from the schema: a plausible one, then any of its values at an edge of what may stand there."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from drawn_photo import draw_photo

from bowbook.book.unit_tables import FACTORS
from bowbook.build.publish import publish
from bowbook.findings.compute import compute_findings
from bowbook.format import book_schema, common_fields, fields, schema
from bowbook.format.read_book import read_book
from bowbook.format.share import kite_to_share
from bowbook.format.yaml_text import laid_out
from bowbook.pages import data_files
from bowbook.pages.atom import as_atom, entries_of
from bowbook.pages.links import link_problems
from bowbook.pages.theme import Theme
from helpers import small_book
from planned import planned

NAMES = (
    "Knot",
    "Kite Ω",
    "凧",
    "עפיפון",
    "Å & <b>",
    "Con",
    "a-and-b",
    "b-and-a",
    "x" * 90,
    "é" * 95,
    "ß",
    "'",
    '"',
    "1",
)
KEYS = ("knot", "tern", "a", "b", "a-and-b", "b-and-a", "凧", "é" * 90, "x" * 100, "z" * 99)
WORDS = (
    *("![It hangs](p.jpg)", "", "x", "two words", "- no", "#no", "[a](b.md)", "![a](b.jpg)", "&#0;", "1" * 300, "a\nb"),
    *("ﷺ" * 60, "🪁"),
)
UNITS: Mapping[str, tuple[str, ...]] = {kind: tuple(factors) for kind, factors in FACTORS.items()}


def number(dice: random.Random, low: float, high: float) -> float:
    """A number between two edges: at one of them, a hair within, or anywhere by its size."""
    at = dice.random()
    if at < 0.15:
        return low
    if at < 0.3:
        return high
    if at < 0.4:
        return low * (1 + 1e-12) if low > 0 else high * 1e-12
    least = low if low > 0 else high * 1e-9
    return float(least * (high / least) ** dice.random())


def quantity(dice: random.Random, kind: str, low: float, high: float) -> str:
    """A quantity within its limits, with its unit."""
    unit = dice.choice(UNITS[kind])
    return f"{number(dice, low, high) / FACTORS[kind][unit]:.12g} {unit}"


def value(dice: random.Random, shape: fields.Shape) -> Any:
    """Something that may stand where a shape is wanted; now and then something that may not."""
    if dice.random() < 0.01:
        return dice.choice((*WORDS, "0", "-1", "1e9", "~"))
    return _VALUES.get(type(shape), lambda dice, _: dice.choice(WORDS))(dice, shape)


def _record(dice: random.Random, shape: fields.Record) -> Any:
    if shape.short is not None and dice.random() < 0.4:
        return value(dice, shape.short)
    return {
        name: value(dice, key.shape) for name, key in shape.keys.items() if key.needed or dice.random() < 0.4
    } or dict.fromkeys(())


def _list(dice: random.Random, shape: fields.ListOf) -> list[Any]:
    return [value(dice, shape.item) for _ in range(dice.randint(shape.least, min(shape.most, shape.least + 3)))]


def _text(dice: random.Random, shape: fields.Text) -> str:
    if not shape.pattern:
        return dice.choice(WORDS)
    return "https://example.org/k/" if "http" in shape.pattern else dice.choice(("#2a4b8d", "en", "5f3c09a17be2d486"))


_DAYS = ("2026-05-01", "2019", "1800-01-01", "2999-12-31", "spring 2019", "winter 2999", "1800", "2024-02")
_WINDS = (
    *("0 mph", "0-3 mph", "4-9 mph", "Bft 0", "Bft 0-11", "to 6 mph", "6 mph up", "0-45 m/s", "0.001 m/s"),
    *("7.001-7.002 kn", "to 0 mph", "45 m/s up", "0 mph up"),
)
_VALUES: dict[type, Callable[[random.Random, Any], Any]] = {
    fields.Record: _record,
    fields.ListOf: _list,
    fields.Table: lambda dice, s: {
        name: value(dice, s.item) for name in dice.sample(("light", "strong"), dice.randint(1, 2))
    },
    fields.Text: _text,
    fields.Quantity: lambda dice, s: quantity(dice, s.kind, s.low, s.high),
    fields.Quantities: lambda dice, s: [
        quantity(dice, s.kind, s.low, s.high) for _ in range(s.exactly or dice.randint(1, 4))
    ],
    fields.Choice: lambda dice, s: dice.choice(s.words),
    fields.Flag: lambda dice, _: dice.choice(("true", "false")),
    fields.Whole: lambda dice, s: str(dice.choice((s.low, s.high, dice.randint(s.low, min(s.high, s.low + 50))))),
    fields.Date: lambda dice, _: dice.choice(_DAYS),
    fields.WindSpan: lambda dice, _: dice.choice(_WINDS),
    fields.Taps: lambda dice, _: dice.choice(("6 mph liked", "0 mph little", "5 mph little, 6 mph liked, 40 m/s much")),
    fields.Share: lambda dice, s: quantity(dice, "ratio", s.low, s.high),
    fields.HeldEnd: lambda dice, s: dice.choice(("pinned", "clamped", f"{s.low:g}", f"{s.high:g}", "0.699")),
    fields.Stretch: lambda dice, _: dice.choice((*common_fields.ZONES, "0-1 mm", "100-200 mm", "0-320 mm")),
    fields.Name: lambda dice, s: dice.choice(
        {"rod": ("r",), "skin": ("s",), "bow": ("light", "strong")}.get(s.of, KEYS)
    ),
}


def kite(dice: random.Random, others: Sequence[str] = ()) -> str:
    """A kite that could be built, with a few of its values at random; its story may speak of others."""
    length = dice.uniform(200, 1500)
    read = dice.uniform(20, 800)
    front: dict[str, Any] = {
        "name": dice.choice(NAMES),
        "sail": {"skin": "s", "outline": [[0, 0], [length * 0.45, length * 0.3], [0, length * 0.8]]},
        "mass": f"{dice.uniform(2, 90):.3g} g",
        "spine": {"rod": "r", "length": f"{length:.1f} mm"},
        "bow": {"rod": "r", "length": f"{length:.6g} mm", "span": f"{length * dice.uniform(0.7, 0.99):.6g} mm"},
        "bench": [{"left": f"{read:.1f}, {read * 1.02:.1f} g", "right": f"{read * dice.uniform(0.8, 1.2):.1f} g"}],
        "covered": {"left": f"{read * 1.1:.1f} g", "right": f"{read * 1.08:.1f} g"},
        "flights": [{"on": "2026-05-10", "flyer": dice.choice("AB"), "wind": "3-9 mph", "best": "4-7 mph"}],
    }
    if dice.random() < 0.3:
        front["bow"]["span"] = f"{length * (1 - 10.0 ** -dice.randint(2, 15)):.17g} mm"
    for key in dice.sample(sorted(schema.KITE.keys), dice.choice((0, 1, 1, 2, 3, 6))):
        if dice.random() < 0.3:
            front.pop(key, None) if key != "name" else None
            continue
        found = value(dice, schema.KITE.keys[key].shape)
        old = front.get(key)
        if isinstance(found, dict) and isinstance(old, dict) and dice.random() < 0.7:
            found = old | dict(dice.sample(sorted(found.items(), key=str), min(len(found), 2)))
        front[key] = found
    front = {key: value for key, value in front.items() if value not in ({}, [], "")}
    words = (*WORDS, "*2024-05-10* Again.", *(f"After [{key}]({key}.md), *too*" for key in others))
    story = "\n\n".join(dice.choice(words) for _ in range(dice.randint(0, 3)))
    return "\n".join(["---", *laid_out(front), "---", story, ""])


def settings(dice: random.Random) -> str:
    """What a book's settings may say."""
    keys = dice.sample(sorted(book_schema.BOOK.keys), dice.choice((0, 0, 0, 1, 2)))
    found = {key: value(dice, book_schema.BOOK.keys[key].shape) for key in keys if key not in ("theme", "units")}
    return "\n".join(laid_out({key: value for key, value in found.items() if value not in ({}, [], "")})) + "\n"


def book(dice: random.Random, root: Path) -> Path:
    """A made-up book in a folder."""
    rods = {
        "r": value(dice, book_schema.RODS.item) if dice.random() < 0.1 else {"material": "carbon", "round": "1.5 mm"}
    }
    skins = {
        "s": value(dice, book_schema.SKINS.item) if dice.random() < 0.1 else {"material": "washi", "areal": "30 g/m2"}
    }
    keys = dice.sample(KEYS, dice.choice((0, 1, 1, 2, 4)))
    if keys and dice.random() < 0.2:
        (root / "content" / "pages").mkdir(parents=True)
        text = f"# {dice.choice(NAMES)}\n\n{dice.choice(WORDS)}\n\n[It](../kites/{dice.choice(keys)}.md)\n"
        (root / "content" / "pages" / f"{dice.choice(keys)}.md").write_text(text, encoding="utf-8")
    if keys and dice.random() < 0.1:
        draw_photo(root / "content" / "kites" / keys[0] / "p.jpg")
    return small_book(
        root,
        {key: kite(dice, keys) for key in keys},
        book=settings(dice),
        rods="\n".join(laid_out(rods)) + "\n",
        skins="\n".join(laid_out(skins)) + "\n",
    )


def hold(root: Path, theme: Theme, dice: random.Random) -> bool:
    """Whether checking passes the book; if so everything of its site is made, and may be put where it belongs.

    Of pages a few are filled in; sheets and cards, which take longest, are made for one kite now and then, and so is
    the whole site. Of a book that checking does not pass the sound kites are computed, as commands do.
    """
    read = read_book(root)
    findings = compute_findings(read)
    passes = not (read.problems or link_problems(read))
    if dice.random() < 0.05:
        assert publish(root).wrote == passes
    if not passes:
        return False
    specs = planned(root)
    addresses = [spec.address for spec in specs]
    assert len({address.casefold() for address in addresses}) == len(addresses)
    assert all(len(part.encode()) <= 255 for address in addresses for part in address.split("/"))
    for spec in (*specs[:1], *dice.sample(specs, min(3, len(specs)))):
        theme.render(spec, spec.model())
    data_files.json_text(data_files.as_json(findings))
    data_files.as_csv(data_files.kite_as_csv(found) for found in findings.kites.values())
    units = read.settings.units
    as_atom(read.settings, [entries_of(found.kite, units) for found in findings.kites.values()])
    for key in read.kites:
        kite_to_share(read, key)
    if read.kites and dice.random() < 0.1:
        from bowbook.charts.card import card_png
        from bowbook.sheets.sheet import sheet_pdf

        key = dice.choice(list(read.kites))
        sheet_pdf(findings, key)
        card_png(findings.kites[key], findings, theme.style)
    return True
