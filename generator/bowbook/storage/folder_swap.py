"""The swap of a whole site: a new one is put in place at once, or the old one stays.

The new site is built aside, on the same disk. Then old and new change places in one step of the system's own, so
that whoever looks, at any moment and after any power cut, finds one whole site. What is now aside is the old site:
it is kept to build the next one on, file by file linked, so that a small change costs little.

A journal is written before the change of places and removed after the clearing up. The next to open the
output finishes what a journal says was begun.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import TracebackType

from bowbook.storage import exchange, files
from bowbook.storage.files import Held, OutputState
from bowbook.storage.lock import Lock
from bowbook.storage.noted import is_noted, note_written
from bowbook.storage.os_errors import StorageError, explained
from bowbook.storage.regular import NotPlainError, TooLargeError, read_plain

STATE = ".bowbook"
_MARK = "made-by-bowbook"
_JOURNAL_BYTES = 4096


class FolderSwap:
    """One output folder, held by a lock while its site is looked at, built and put in place."""

    def __init__(self, root: Path, output: Path, state: Path) -> None:
        self.root, self.output, self.state = root, output, state
        self.inside = output.parent == root
        self._room = state if self.inside else _room_elsewhere(output, state)
        self.aside = self._room / "aside"
        self._old = self._room / "old"
        self._journal = self._room / "journal"
        self._lock = Lock(state / "lock" if self.inside else output.parent)
        self.present = OutputState()  # what stands in the output, once it was looked at
        self.set_aside: dict[str, str] = {}
        self._shared: set[str] = set()  # files that are one in the old site and the new

    def open(self, say: exchange.Say) -> None:
        """Check that the output may be written, wait for another publish to end, finish what one left half done."""
        where = exchange.refusal(self.root, self.output)
        if where is not None:
            raise StorageError(str(self.output), *where)
        with explained(self.output):
            self.output.parent.mkdir(parents=True, exist_ok=True)
            with explained(*((self.state, exchange.NOTES) if self.inside else (self.output.parent,))):
                free = self._lock.take(lambda: say("Another publish is at work here; waiting for it to end."))
            if not free:
                raise StorageError(
                    str(self.output), "Another publish is still at work here.", "Wait for it to end, or end it."
                )
            if not self.inside:
                self._make_room()
            self._finish()

    def _make_room(self) -> None:
        """A folder to work in, among the notes or, on another disk, beside the output; never one of the user's."""
        if self.state in self._room.parents and not self._room.is_dir():
            files.remove(self._room)
        if os.path.lexists(self._room) and not self._is_ours():
            what = f"A folder of yours is in the way: {self._room} is where bowbook works."
            raise StorageError(str(self._room), what, "Move it, or publish to another folder with --to.")
        if not self._journal.exists():
            self._remove_room()
        self._room.mkdir(mode=0o700, parents=True, exist_ok=True)
        (self._room / _MARK).touch()

    def _is_ours(self) -> bool:
        """Whether the folder to work in was made here: it is marked, or as empty as one that a failing disk left."""
        if self._room.is_symlink() or not self._room.is_dir():
            return False
        return (self._room / _MARK).is_file() or not any(self._room.iterdir())

    def _remove_room(self) -> None:
        """Remove the folder to work in, its mark last, so that what a failing disk leaves of it is known again."""
        if self._room.is_dir():
            for entry in self._room.iterdir():
                if entry.name != _MARK:
                    files.remove(entry)
        files.remove(self._room)

    def close(self) -> None:
        """Let the next publish in; beside an output outside the book nothing is left."""
        try:
            with contextlib.suppress(OSError):
                if not self.inside and self._lock.held and self._is_ours() and not self._journal.exists():
                    self._remove_room()
        finally:  # Ctrl-C too may come while things are cleared away
            self._lock.give()

    def __enter__(self) -> FolderSwap:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, tb: TracebackType | None) -> None:
        self.close()

    def look(self, known: Mapping[str, Held]) -> OutputState:
        """What stands in the output now."""
        with explained(self.output):
            there = self.output.is_dir()
            self.present = files.look(self.output, known, self._is_own) if there else OutputState()
            return self.present

    def stands(self, address: str, data: bytes) -> bool:
        """Whether the present file at an address has these bytes."""
        there = self.present.files.get(address)
        return there is not None and there.digest == files.digest_of(data)

    def begin(self, keep: Mapping[str, Held], planned: Iterable[str]) -> Path:
        """The folder aside, holding the files to keep and room for the planned ones."""
        planned = list(planned)
        with explained(self.aside):
            try:
                self.aside.mkdir(exist_ok=True)
                self._shared = files.match(self.aside, self.output, keep, planned)
            except PermissionError:  # it was left so by an output that might not be written
                files.remove_shut(self.aside)
                self.aside.mkdir()
                self._shared = files.match(self.aside, self.output, keep, planned)
            return self.aside

    def put(self, address: str, data: bytes) -> str:
        """Have these bytes in the new site, in the very file that has them already if there is one: their digest."""
        if self.stands(address, data):
            self.keep(address)
        else:
            self.write(address, data)
        return files.digest_of(data)

    def keep(self, address: str) -> None:
        """Let the present file stand in the new site too."""
        with explained(self.aside / address):
            if files.link(self.output / address, self.aside / address):
                self._shared.add(address)

    def write(self, address: str, data: bytes) -> None:
        """Write one file of the new site."""
        with explained(self.aside / address):
            if address == files.MANIFEST:
                with contextlib.suppress(OSError):  # without the note the list says nothing, and nothing is lost
                    note_written(data)
            files.create(self.aside / address, data)

    def _is_own(self, digest: str) -> bool:
        """Whether a list of files of this digest was made here."""
        return is_noted("written-files", digest)

    def swap(self) -> None:
        """Put the new site in place of the old, at once, and bring along what is not bowbook's."""
        with explained(self.output):
            for address in self.present.foreign:
                self._carry(address)
            exchange.flush_all(self.aside)
            if self.output.exists():
                self.aside.chmod(self.output.stat().st_mode & 0o7777)
            self._write_journal()
            exchange.change(self.aside, self.output, self._old)
        # From here on the new site stands: what can't be cleared up now is cleared up by the next publish.
        with contextlib.suppress(OSError):
            files.flush(self.output.parent)
            files.flush(self._room)
            self._clear(self.present.files)

    def _carry(self, address: str) -> None:
        """Bring one thing that is not bowbook's into the new site, or set it aside where a page needs its place."""
        old, new = self.output / address, self.aside / address
        if old.is_dir() and not old.is_symlink() and new.is_dir():  # a folder of theirs that a page now needs as well
            for entry in list(old.iterdir()):
                self._carry(f"{address}/{entry.name}")
            return
        blocked = any((self.aside / folder).is_file() for folder in files.parents([address]))
        if new.exists() or blocked:
            if not files.same(old, new):
                self._set_aside(old, address)
            return
        new.parent.mkdir(parents=True, exist_ok=True)
        files.carry(old, new)

    def _set_aside(self, path: Path, address: str) -> None:
        """Keep a thing whose place a page needs, in a folder of its own."""
        number = 1
        while os.path.lexists(self.state / "set-aside" / str(number)):
            number += 1
        kept = self.state / "set-aside" / str(number) / address
        kept.parent.mkdir(parents=True)
        files.carry(path, kept)
        self.set_aside[address] = kept.relative_to(self.root).as_posix()

    def _write_journal(self) -> None:
        """Note which folder is about to become the site."""
        files.replace(self._journal, json.dumps({"new": os.lstat(self.aside).st_ino}).encode())

    def _finish(self) -> None:
        """Finish, or take back, what an interrupted publish had begun."""
        try:
            new = int(json.loads(read_plain(self._journal, _JOURNAL_BYTES))["new"])
        except FileNotFoundError:
            return
        except (ValueError, TypeError, KeyError, RecursionError, NotPlainError, TooLargeError):
            files.remove(self._journal)
            return
        if not os.path.lexists(self.output):  # stopped between the two steps, where one step isn't to be had
            source = self.aside if self.aside.exists() and os.lstat(self.aside).st_ino == new else self._old
            if source.exists():
                source.rename(self.output)
        if os.path.lexists(self.output) and os.lstat(self.output).st_ino == new:
            self._clear(None)
        else:
            self._journal.unlink()

    def _clear(self, known: Mapping[str, Held] | None) -> None:
        """Give back whatever else was put into the old site meanwhile, and keep the rest to build the next one on."""
        if self._old.exists():
            files.remove(self.aside)
            self._old.rename(self.aside)
        if self.aside.exists():
            for address in files.look(self.aside, known or {}, self._is_own, self._shared).foreign:
                self._give_back(address)
        self._journal.unlink(missing_ok=True)

    def _give_back(self, address: str) -> None:
        """Move one thing that is not bowbook's from the old site into the new, if it isn't there already."""
        old, new = self.aside / address, self.output / address
        if old.is_dir() and not old.is_symlink() and new.is_dir() and not new.is_symlink():
            for entry in list(old.iterdir()):
                self._give_back(f"{address}/{entry.name}")
            old.rmdir()
        elif files.same(old, new):
            files.remove(old)
        elif os.path.lexists(new):
            if address not in self.set_aside:
                self._set_aside(old, address)
            files.remove(old)
        else:
            new.parent.mkdir(parents=True, exist_ok=True)
            old.rename(new)


def _room_elsewhere(output: Path, state: Path) -> Path:
    """Where a site that goes out of the book is built: among the book's notes, where that is on the same disk.

    Beside the output it could be read by whoever reads that folder's sites.
    """
    near = next(folder for folder in output.absolute().parents if folder.exists())
    if near.stat().st_dev == state.stat().st_dev:
        return state / "elsewhere" / hashlib.sha256(os.fsencode(output.absolute())).hexdigest()[:16]
    return output.parent / f".{output.name}{STATE}"
