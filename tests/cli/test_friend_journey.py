"""From one maker's published pages to a friend's bench: the printed target, the offered files, the same winds."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

from bowbook.format.share import stock_to_add
from helpers import small_book
from sheets.paper import read_back

Run = Callable[..., Result]


def figures(run: Run, folder: Path) -> dict[str, Any]:
    """What `bowbook check --json` says of a book."""
    found: dict[str, Any] = json.loads(run(folder, "check", "--json").stdout)
    return found


def test_the_target_printed_on_the_sheet_makes_an_even_bow(tmp_path: Path, published_demo: Path, run: Run) -> None:
    """Read "Each half" and "Between" off the paper, shave to anywhere in between: even, and as stiff."""
    page = read_back((published_demo / "output/kites/vellum/sheet.pdf").read_bytes(), 1)[0]
    target = float(re.search(r"Each half\s+(\d+) g", page.text)[1])  # type: ignore[index]
    low, high = (float(n) for n in re.search(r"Between\s+(\d+)–(\d+) g", page.text).groups())  # type: ignore[union-attr]
    assert low < target < high
    assert run(tmp_path, "begin", "friend", "--maker", "Kim", "--length", "in").exit_code == 0
    friend = tmp_path / "friend"
    offered = published_demo / "output/kites/vellum/kite.md"
    assert run(friend, "add", "Vellum again", "--from", str(offered)).exit_code == 0
    left, right = target + (high - target) / 2, target - (target - low) / 2
    repeats = [f"{value:.1f}, {value:.1f}, {value + 0.1:.1f}, {value:.1f} g" for value in (left, right)]
    read = run(friend, "bench", "vellum-again", "--left", repeats[0], "--right", repeats[1])
    assert read.exit_code == 0, read.output
    theirs = figures(run, friend)["kites"]["vellum-again"]
    mine = figures(run, published_demo)["kites"]["vellum"]
    assert abs(theirs["balance"]["difference"]["value"]) <= 0.03  # Kim's book is too young to call it even
    held = figures(run, published_demo)["hold"]["factor"]  # of a hand that Kim's book knows nothing of
    both = [[kite["bow"][side]["EI_Nm2"]["value"] for side in ("left", "right")] for kite in (theirs, mine)]
    assert sum(both[0]) * (held / 0.93) ** 2 == pytest.approx(
        sum(both[1]), rel=0.02
    )  # a reading printed to the gram, of 137 g


def test_files_passed_on_give_a_friend_the_same_winds(tmp_path: Path, published_demo: Path, run: Run) -> None:
    """All offered files dropped into a book in inches, ounces and knots: stiffness, flown and predicted winds agree."""
    offered = sorted((published_demo / "output/kites").glob("*/kite.md"))
    kites = {path.parent.name: path.read_text(encoding="utf-8") for path in offered}
    rods: dict[str, str] = {}
    skins: dict[str, str] = {}
    for text in kites.values():
        more_rods, more_skins = stock_to_add(text)
        rods |= more_rods
        skins |= more_skins
    theirs = small_book(
        tmp_path / "theirs",
        kites,
        book="units: {length: in, force: oz, mass: oz, wind: kn}\naltitude: 140 m\nscale: 1 g\n",
        rods="\n".join(rods.values()) + "\n",
        skins="\n".join(skins.values()) + "\n",
    )
    mine, friends = figures(run, published_demo), figures(run, theirs)
    assert friends["faults"] == []
    assert friends["kites"].keys() == mine["kites"].keys()
    predicted = 0
    for key, kite in mine["kites"].items():
        other = friends["kites"][key]
        assert close(other["wind"]["predicted"], kite["wind"]["predicted"]), key
        assert close(other["wind"]["flown"], kite["wind"]["flown"]), key
        assert close(other["total"], kite["total"]), key
        assert close(other["balance"]["difference"], kite["balance"]["difference"]), key
        predicted += len(kite["wind"]["predicted"])
    assert predicted > 20


def close(a: Any, b: Any) -> bool:
    """Whether two pieces of the figures say the same, numbers to a millionth."""
    if isinstance(a, dict) and isinstance(b, dict):
        return a.keys() == b.keys() and all(close(a[key], b[key]) for key in a)
    if isinstance(a, float | int) and isinstance(b, float | int):
        return a == pytest.approx(b, rel=1e-6)
    return bool(a == b)
