"""What a publish leaves for the next one to know: the files it was made from, and what each file of the site shows."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.problems import Problem
from bowbook.storage.files import Held
from bowbook.storage.stamps import FileStamp


class Published(Struct, frozen=True):
    """What the last publish to one output was made from, and left there. Names are bytes: some are no text."""

    version: str = ""
    inputs: dict[bytes, FileStamp] = {}
    files: dict[str, Held] = {}
    pages: int = 0


class MadeFrom(Struct, frozen=True):
    """What one file of the last publish was made from, what of that it shows, and the steps that were asked for."""

    made_from: bytes
    shows: bytes
    steps: tuple[bytes, ...] = ()


class GroupMade(Struct, frozen=True):
    """A group of files, such as one kite's own: what it was made from, each file, the steps its planning asked for."""

    made_from: bytes
    files: dict[str, MadeFrom]
    steps: tuple[bytes, ...] = ()


class Outcome(Struct, frozen=True):
    """What came of one target: the digest of its file, whether it was made, what is to be known of it."""

    digest: str
    made: bool
    made_from: MadeFrom
    problems: tuple[Problem, ...] = ()
