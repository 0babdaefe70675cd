"""Kites from old notes written into the book: new files, and what is new of a kite into the file it has already."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct

from bowbook.book.records import Units
from bowbook.format.edit import TextChange, append_story, edit_file, edited, item, value
from bowbook.format.edit_positions import EditError
from bowbook.format.source_file import LARGEST_BYTES
from bowbook.importing.old_kites import OPENING, Entry, OldKite, as_in_file, entry_texts, story_line
from bowbook.storage.lock import book_lock
from bowbook.storage.regular import read_plain
from bowbook.terminal.starter import AlreadyThereError, new_kites


class Wrote(Struct, frozen=True):
    """What came of a kite: whether its file is new, how many things were added to it, and what was left out and why."""

    new: bool = False
    added: int = 0
    left: tuple[str, ...] = ()


class _Missing(Struct, frozen=True):
    """What a kite's file has not got yet."""

    facts: Mapping[str, str | list[str]]
    rounds: Sequence[Mapping[str, Any]]
    flights: Sequence[Mapping[str, Any]]
    changes: Sequence[Mapping[str, Any]]
    words: Sequence[str]
    differs: tuple[str, ...]


def write_old_kite(root: Path, kite: OldKite, units: Units) -> Wrote:
    """Write a kite's file, or what is new into the one that is there; nothing is written over or written twice."""
    path = root / "content" / "kites" / f"{kite.key}.md"
    if not path.exists():
        try:
            with book_lock(root):
                new_kites(root, {kite.key: kite.file_text()})
        except AlreadyThereError as there:
            return Wrote(left=(f"{kite.name} was left out: {there} is there already, under a name alike.",))
        return Wrote(new=True)
    try:
        return _add(path, kite, units)
    except EditError as refused:
        return Wrote(left=(f"{kite.name}: its file was left as it is: {refused}",))


def _add(path: Path, kite: OldKite, units: Units) -> Wrote:
    data = read_plain(path, LARGEST_BYTES)
    missing = _missing(kite, *_held(data.decode("utf-8", "replace")))
    wanted = [(f"{where}: {_squeezed(text)}", value(where, text)) for where, text in missing.facts.items()]
    for key, entries in (("changes", missing.changes), ("bench", missing.rounds), ("flights", missing.flights)):
        wanted += [(", ".join(f"{name} {text}" for name, text in one.items()), item(key, one)) for one in entries]
    refused = _write_all(path, wanted, data, units) if wanted else []
    left = [f"{kite.name}: {line}" for line in (*missing.differs, *refused)]
    added = len(wanted) - len(refused)
    if missing.words:
        lines = "\n".join(f"- {line}" for line in missing.words)
        told = OPENING in data.decode("utf-8", "replace")
        append_story(path, lines if told else f"{OPENING}\n\n{lines}", units=units)
        added += len(missing.words)
    return Wrote(added=added, left=tuple(left))


def _write_all(path: Path, wanted: Sequence[tuple[str, TextChange]], seen: bytes, units: Units) -> list[str]:
    """Write what is wanted at once, so that one copy has the file as it was; sentences on what the file refuses."""
    try:
        edit_file(path, [change for _, change in wanted], seen, units)
    except EditError:
        good: list[TextChange] = []
        refused = []
        for said, change in wanted:
            try:
                edited(seen, path.name, [*good, change], units)
            except EditError as why:
                refused.append(f"{said} was left out: {why.message}.")
            else:
                good.append(change)
        if good:
            edit_file(path, good, seen, units)
        return refused
    return []


def _held(text: str) -> tuple[Mapping[str, Any], str]:
    """The values of a kite's file as they were typed, and its story."""
    parts = text.replace("\r\n", "\n").split("\n---", 1)
    front, story = parts[0].removeprefix("\ufeff").removeprefix("---"), parts[1] if len(parts) > 1 else ""
    try:
        values = yaml.load(front, yaml.BaseLoader)
    except (yaml.YAMLError, RecursionError):
        raise EditError("it cannot be read", "Run bowbook check and mend it first.") from None
    return (values if isinstance(values, dict) else {}), story


def _missing(kite: OldKite, held: Mapping[str, Any], story: str) -> _Missing:
    facts, differs = {}, []
    for where, told in kite.facts.items():
        there = _at(held, where)
        if there is None:
            facts[where] = as_in_file(where, told)
        elif _squeezed(there) != _squeezed(told.text):
            differs.append(f"its file has {where}: {_squeezed(there)}, the table {told.text}; the file stands.")
    lines = {_squeezed(line.removeprefix("- ")) for line in story.splitlines()}
    words = [line for word in kite.words if (line := story_line(word)) not in lines]
    rounds, flights = _new(kite.rounds, held.get("bench")), _new(kite.flights, held.get("flights"))
    return _Missing(facts, rounds, flights, _new(kite.changes, held.get("changes")), words, tuple(differs))


def _at(held: Mapping[str, Any], where: str) -> Any:
    found: Any = held
    for step in where.split("."):
        found = found.get(step) if isinstance(found, dict) else None
    return found or None


def _new(entries: Sequence[Entry], held: Any) -> list[dict[str, Any]]:
    """The entries that a list of the file has not got: one that has all their values is the same."""
    there = [entry for entry in held if isinstance(entry, dict)] if isinstance(held, list) else []
    found = []
    for entry in map(entry_texts, entries):
        same = [one for one in there if all(_squeezed(one.get(k, "")) == _squeezed(v) for k, v in entry.items())]
        if same:
            there.remove(same[0])
        else:
            found.append(entry)
    return found


def _squeezed(text: Any) -> str:
    return " ".join((", ".join(map(str, text)) if isinstance(text, list) else str(text)).split())
