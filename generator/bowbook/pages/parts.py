"""What lists and data say of one kite, made once for as long as the kite and all it rests on stay as they are.

A list of a thousand kites is a thousand parts. When one kite changes, one part is made and the others are taken from
the last publish, without any of their findings being looked at. What is taken in can only be text or plain records.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from itertools import accumulate, pairwise
from pathlib import Path
from typing import TypeVar, cast

from bowbook.build.plain import frozen, thawed
from bowbook.storage import files
from bowbook.storage.notes import UNREADABLE, read_note, write_note

FORMAT = 1

T = TypeVar("T")


class Parts:
    """The parts at hand. `rests_on` is, by key, a digest of everything a part of that kite is made from."""

    def __init__(self, kept_by: Callable[[], dict[str, bytes]] = dict) -> None:
        """`kept_by` gives the parts of the last publish, when one is first asked for: many publishes need none."""
        self.rests_on: Mapping[str, str] = {}
        self.fresh: dict[str, bytes] = {}  # made since they were last handed over
        self._recall = kept_by
        self._open: dict[str, object] = {}

    @cached_property
    def _kept(self) -> dict[str, bytes]:
        return self._recall()

    def of(self, kind: str, key: str, make: Callable[[], T], often: bool = False) -> T:
        """The part of this kind of the kite with this key, made now if it is not there.

        A part that is asked for `often`, by one page after another, stays as it is besides; others are packed away.
        """
        if key not in self.rests_on:
            return make()
        name = f"{kind} {self.rests_on[key]}"
        part = self._open[name] if name in self._open else self._unpacked(name, make)
        if often:
            self._open[name] = part
        return cast("T", part)

    def _unpacked(self, name: str, make: Callable[[], object]) -> object:
        if name in self._kept:
            with contextlib.suppress(ValueError):
                return thawed(self._kept[name])
        made = make()
        self._kept[name] = self.fresh[name] = frozen(made)
        return made

    def hand_over(self) -> dict[str, bytes]:
        """The parts made since this was last asked: what a process has to tell the one that started it."""
        fresh, self.fresh = self.fresh, {}
        return fresh

    def take_in(self, made: Mapping[str, bytes]) -> None:
        """Take parts that another process made."""
        self._kept.update(made)

    def keep(self, state: Path, version: str) -> None:
        """Write down the parts of every kite as it is now, for the next publish. Raises OSError."""
        now = set(self.rests_on.values())
        parts = {name: part for name, part in sorted(self._kept.items()) if name.rpartition(" ")[2] in now}
        ends = list(accumulate(map(len, parts.values()), initial=0))
        files.replace(state / "parts.bin", _in_blocks(parts.values()))
        write_note(
            state / "parts.json",
            format=FORMAT,
            version=version,
            digest=_digest(*parts.values()),
            parts=dict(zip(parts, pairwise(ends), strict=True)),
        )


def recalled(state: Path, version: str) -> dict[str, bytes]:
    """The parts of the last publish; none of them where they are not surely those that were written."""
    try:
        data = (state / "parts.bin").read_bytes()
        note = read_note(state / "parts.json", format=FORMAT, version=version, digest=_digest(data))
        return {name: data[start:end] for name, (start, end) in note["parts"].items()}
    except UNREADABLE:
        return {}


def _in_blocks(parts: Iterable[bytes]) -> Iterator[bytes]:
    """Many small parts as few large ones: each costs a call of the system, all at once would need room for all."""
    block = bytearray()
    for part in parts:
        block += part
        if len(block) > 1_000_000:
            yield bytes(block)
            block.clear()
    yield bytes(block)


def _digest(*data: bytes) -> str:
    digest = hashlib.blake2b(digest_size=16)
    for part in data:
        digest.update(part)
    return digest.hexdigest()
