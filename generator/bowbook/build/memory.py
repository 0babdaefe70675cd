"""What was made from what, kept in the book's `.bowbook/` between publishes; safe to delete at any time.

It is never trusted further than it proves itself: it counts only in the very folder it was written in (a copied or
unpacked one starts anew), every file it speaks of is compared with the disk, and the records it keeps are read back
by a reader that can make nothing but a book's own plain records.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct, field

from bowbook.build.inputs import FileStamp
from bowbook.storage.files import Held
from bowbook.storage.notes import UNREADABLE, read_note, write_note

FORMAT = 1


class Memory(Struct, frozen=True):
    """What the last publish to one output left behind.

    `inputs`: every file it was made from. `version`: of the program. `files`: what it wrote, by address.
    `made_of`: for each address, the digest of everything it was made from. `pages`: how many pages it has.
    """

    version: str = ""
    inputs: Mapping[str, FileStamp] = field(default_factory=dict)
    files: Mapping[str, Held] = field(default_factory=dict)
    made_of: Mapping[str, str] = field(default_factory=dict)
    pages: int = 0


def file_for(state: Path, root: Path, output: Path) -> Path:
    """Where the memory of one output is kept."""
    if output == root / "output":
        return state / "memory.json"
    return state / f"memory-{hashlib.sha256(os.fsencode(output)).hexdigest()[:16]}.json"


def recall(path: Path) -> Memory:
    """The memory kept at `path`; an empty one if there is none, it is of another folder, or it can't be read."""
    try:
        kept = read_note(path, format=FORMAT)
        return Memory(
            version=str(kept["version"]),
            inputs={str(name): _seen(row) for name, row in kept["inputs"].items()},
            files={str(name): Held(int(a), int(b), int(c), str(d)) for name, (a, b, c, d, _) in kept["files"].items()},
            made_of={str(name): str(row[4]) for name, row in kept["files"].items()},
            pages=int(kept["pages"]),
        )
    except UNREADABLE:
        return Memory()


def keep(path: Path, memory: Memory) -> None:
    """Write a memory down, at once."""
    write_note(
        path,
        format=FORMAT,
        version=memory.version,
        pages=memory.pages,
        inputs={
            name: [s.inode, s.size, s.changed_ns, s.status_ns, s.seen_ns, s.digest]
            for name, s in sorted(memory.inputs.items())
        },
        files={
            name: [h.inode, h.size, h.changed_ns, h.digest, memory.made_of.get(name, "")]
            for name, h in sorted(memory.files.items())
        },
    )


def _seen(row: list[Any]) -> FileStamp:
    inode, size, changed, status, seen, digest = row
    return FileStamp(int(inode), int(size), int(changed), int(status), int(seen), str(digest))
