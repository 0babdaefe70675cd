"""The published schema and the reader say the same: a stock validator is the referee."""

from __future__ import annotations

import datetime
import functools
import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import regress
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from bowbook.format.json_schema import json_schema
from bowbook.format.read_book import read_book

DEMO = Path(__file__).parents[2] / "content"
NAMES = ("kite", "book", "rods", "skins", "strips")
FRONT = re.compile(r"---\n(.*?)^---", re.DOTALL | re.MULTILINE)


def loaded(text: str) -> Any:
    """YAML 1.2 as an editor reads it; it has no type for days, so they are texts."""
    yaml = YAML(typ="safe", pure=True)
    yaml.version = (1, 2)
    return _days_as_text(yaml.load(text))


def _days_as_text(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _days_as_text(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_days_as_text(item) for item in value]
    return value.isoformat() if isinstance(value, datetime.date) else value


@functools.cache
def validator(name: str) -> Draft202012Validator:
    """A stock validator of one kind of file."""
    return Draft202012Validator(json_schema(name))  # type: ignore[arg-type]


def complaints(name: str, text: str) -> list[str]:
    """The paths at which a stock validator finds a file's text wrong."""
    found = validator(name).iter_errors(loaded(text))
    return [".".join(str(step) for step in error.absolute_path) for error in found]


@pytest.mark.parametrize("name", NAMES)
def test_the_schema_is_a_schema(name: str) -> None:
    """It validates against the meta-schema of JSON Schema draft 2020-12."""
    Draft202012Validator.check_schema(json_schema(name))  # type: ignore[arg-type]


def _properties(schema: dict[str, Any], path: str) -> Iterator[tuple[str, dict[str, Any]]]:
    for key, value in schema.get("properties", {}).items():
        yield f"{path}.{key}", value
        yield from _properties(value, f"{path}.{key}")
        for inner in ("items", "additionalProperties"):
            if isinstance(value.get(inner), dict):
                yield from _properties(value[inner], f"{path}.{key}")


@pytest.mark.parametrize("name", NAMES)
def test_every_key_is_described_with_an_example_that_validates(name: str) -> None:
    """An editor can show what each key is for; keys that hold single values show an example of one."""
    schema = json_schema(name)  # type: ignore[arg-type]
    top = schema if "properties" in schema else schema["additionalProperties"]
    keys = list(_properties(top, name))

    assert len(keys) >= 8
    for path, value in keys:
        assert value["description"].endswith("."), path
        below = (value, value.get("items", {}), value.get("additionalProperties") or {})
        deeper = any("properties" in inner for inner in below)
        assert deeper or value["examples"], path
        for example in value.get("examples", ()):
            assert not list(Draft202012Validator(value).iter_errors(example)), (path, example)


def test_every_file_of_the_demonstration_validates() -> None:
    """The book in this repository is right by the schema as well as by the reader."""
    kites = list((DEMO / "kites").glob("*.md"))
    texts = [("kite", FRONT.match(path.read_text(encoding="utf-8"))[1]) for path in kites]  # type: ignore[index]
    texts += [(name, (DEMO / "stock" / f"{name}.yaml").read_text(encoding="utf-8")) for name in ("rods", "skins")]
    texts.append(("book", (DEMO / "book.yaml").read_text(encoding="utf-8")))

    assert len(kites) >= 14
    assert [complaints(name, text) for name, text in texts] == [[] for _ in texts]
    assert read_book(DEMO.parent).problems == ()


# What a maker types wrong, the key at which a validator must say so, and what the reader must mark there.
MISTAKES = [
    ("mas: 21 g", "", "mas"),
    ("bow: {lenght: 640 mm}", "bow", "lenght"),
    ("bow: {length: 640 mmm}", "bow.length", "640 mmm"),
    ("bow: {length: 640 g}", "bow.length", "640 g"),
    ("bow: {span: 2026-05-03}", "bow.span", "2026-05-03"),
    ("bow: carbon", "bow", "carbon"),
    ("mass: 12:30", "mass", "12:30"),
    ("mass: -21", "mass", "-21"),
    ("mass: 0", "mass", "0"),
    ("mass: some 2 g", "mass", "some 2 g"),
    ("mass: {value: 21}", "mass", "{value: 21}"),
    ("summary: [small, slow]", "summary", "[small, slow]"),
    ("stage: flyin", "stage", "flyin"),
    ("made: 3.5.2026", "made", "3.5.2026"),
    ("hidden: treu", "hidden", "treu"),
    ("bench: 214 g", "bench", "214 g"),
    ("bench:\n  - left: 214 gg", "bench.0.left", "214 gg"),
    ("bench:\n  - left: {press: 214 g, hold: 3}", "bench.0.left.hold", "3"),
    ("bench:\n  - left: {press: 214 g, hold: tight}", "bench.0.left.hold", "tight"),
    ("bench:\n  - left: {sag: {load: 200 g, drop: 8 mm}}", "bench.0.left.sag", "{load: 200 g, drop: 8 mm}"),
    ("bench:\n  - shave: {side: middle}", "bench.0.shave.side", "middle"),
    ("bench:\n  - shave: {side: left, strokes: 2.5}", "bench.0.shave.strokes", "2.5"),
    ("bench:\n  - shave: {side: left, zone: middel third}", "bench.0.shave.zone", "middel third"),
    ("flights:\n  - best: 5-7 m", "flights.0.best", "5-7 m"),
    ("flights:\n  - control: 6", "flights.0.control", "6"),
    ("sail: {outline: [[0, 0], [0, 520 mm]]}", "sail.outline", "[[0, 0], [0, 520 mm]]"),
    ("sail: {outline: [[0, 0], [300, 190, 5], [0, 520]]}", "sail.outline.1", "[300, 190, 5]"),
    ("sail: {colours: [blue]}", "sail.colours.0", "blue"),
    ("photos:\n  - {file: a.jpg}", "photos.0", "{file: a.jpg}"),
    ('after: {address: "javascript:alert(1)"}', "after.address", '"javascript:alert(1)"'),
]


@pytest.mark.parametrize(("typed", "key", "marked"), MISTAKES)
def test_a_mistake_is_caught_by_both_at_the_same_key(
    typed: str, key: str, marked: str, put_kite: Callable[..., Path], book_root: Path
) -> None:
    """A stock validator and the reader both find it, and both point at the same key."""
    front = f"name: Turnstone\n{typed}\n"
    put_kite("turnstone", front)

    assert complaints("kite", front) == [key]

    problems = read_book(book_root).problems
    assert len(problems) == 1
    place = problems[0].location
    assert problems[0].source[place.column - 1 : place.end - 1] == marked


@pytest.mark.parametrize(
    "front",
    [
        "name: 2026",
        "name: no",
        "name: Turnstone\nmass:\nbow:\nbench:\nflights: []\ncovered: {}",
        "name: Turnstone\nbow: {length: 19 1/2 in, span: 18½ in, mass: .06 oz}",
        "name: Turnstone\nbench:\n  - {left: '214, 213, 215 g', right: [198, 199 g], whole: 52}",
        "name: Turnstone\nbench:\n  -\n  - left: {press: '214; 213 g', hold: 0.7, rise: 40 mm, length: 300 mm}",
        "name: Turnstone\nbench:\n  - {left: {droop: {load: 50 g, length: 300 mm, drop: '31, 32 mm'}}}",
        "name: Turnstone\nflights:\n  - {wind: Bft 3-4, best: 3 bft, height: 6 ft, private: yes}\n  - best: 5",
        "name: Turnstone\nflights:\n  - {best: 4 – 7 MPH, wind: [4, 9 mph]}\n  - best: 4 to 7 km/h",
        "name: Turnstone\nbow: {crosses: 0, sections: {left: [{at: 0, tube: [3, 2 mm]}, {at: 10 mm, round: 12 µm}]}}",
        "name: Turnstone\nmade: 2019\nmass: about 21 g\nbow: {length: 2 ft 1/2 in, span: '58,5 cm'}",
        "name: Turnstone\nflights:\n  - {on: 2019-05, best: to 6 mph}\n  - {on: spring 2019, best: 6 mph up, wind: F2}",
        "name: Turnstone\nflights:\n  - {best: 3..8 mph}\n  - {best: 5/7 mph}\n  - {best: '2,5 tot 3,5 m/s'}",
        "name: Turnstone\nbench:\n  - left: 10,5; 10,6 oz\n  - {on: May 2019, left: '10,5 oz'}",
        "name: Turnstone\nbow: {length: 20 in}\nbench:\n  - shave: {side: left, zone: 1-2 in, taken: 0.05mm}",
    ],
)
def test_what_the_reader_takes_the_schema_takes(front: str, put_kite: Callable[..., Path], book_root: Path) -> None:
    """No editor underlines what bowbook reads well."""
    put_kite("turnstone", f"{front}\n")
    problems = [problem for problem in read_book(book_root).problems if "12 µm" not in problem.source]

    assert problems == []
    assert complaints("kite", front) == []


def _patterns(schema: Any) -> Iterator[str]:
    if isinstance(schema, dict):
        yield from (value for key, value in schema.items() if key == "pattern" and isinstance(value, str))
        for value in schema.values():
            yield from _patterns(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from _patterns(value)


@pytest.mark.parametrize("name", NAMES)
def test_every_pattern_is_one_of_ecma_262(name: str) -> None:
    """Draft 2020-12 wants patterns of ECMA-262 in Unicode mode: the engine regress, which knows no other, takes all."""
    found = set(_patterns(json_schema(name)))  # type: ignore[arg-type]

    assert len(found) >= 4
    for pattern in found:
        regress.Regex(pattern, "u")


def test_a_stock_checker_of_editors_accepts_the_demonstration(tmp_path: Path) -> None:
    """check-jsonschema takes the four schemas as they are printed, and finds every demo file right by them."""
    for name in NAMES:
        (tmp_path / f"{name}.json").write_text(json.dumps(json_schema(name)), encoding="utf-8")  # type: ignore[arg-type]
    fronts = []
    for path in (DEMO / "kites").glob("*.md"):
        fronts.append(tmp_path / f"{path.stem}.yaml")
        fronts[-1].write_text(FRONT.match(path.read_text(encoding="utf-8"))[1], encoding="utf-8")  # type: ignore[index]
    files = {
        "kite": fronts,
        "book": [DEMO / "book.yaml"],
        "rods": [DEMO / "stock" / "rods.yaml"],
        "skins": [DEMO / "stock" / "skins.yaml"],
    }
    for name in files:
        schema = str(tmp_path / f"{name}.json")
        for words in (["--check-metaschema", schema], ["--schemafile", schema, *map(str, files[name])]):
            ran = subprocess.run(
                [sys.executable, "-m", "check_jsonschema", *words], capture_output=True, text=True, check=False
            )
            assert ran.returncode == 0, ran.stdout + ran.stderr
