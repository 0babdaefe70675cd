"""The kites as they were read and worked out at the last publish, kept in the book's `.bowbook/`.

Two files: `kites.json` says of every kite file which bytes it had, what the kite told about the others and what the
site has to know of it; `kites.bin` holds the findings, each fetched only when a page needs them. A kite counts as
known as long as its file, its photos, the settings, the stock and the program are as they were. What is read back can
only become the program's own plain records, and each piece of `kites.bin` has to match its digest.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.problems import Location
from bowbook.book.records import Book, Kite
from bowbook.build.marks import Marks, Named
from bowbook.build.plain import Packed, frozen, thawed
from bowbook.findings.known import KiteResult, SkinEstimate
from bowbook.findings.readings import Precision
from bowbook.findings.results import Findings, KiteSummary, Measured, Range, Repeated, Repeats
from bowbook.format.folder import key_of
from bowbook.format.read_book import KITES, Before
from bowbook.storage import files
from bowbook.storage.notes import UNREADABLE, read_note, write_note

FORMAT = 1
_WASTE = 4_000_000  # bytes of findings nobody asks for any more that kites.bin may hold beside those in use


class ForgottenError(Exception):
    """What was remembered of a kite is not there as it was written; everything has to be made anew."""


class _Piece(Struct, frozen=True):
    """Where one kite's findings stand in kites.bin."""

    offset: int
    length: int
    digest: str


class KnownKites:
    """What is still known of a book's kites.

    `before`: their files by name, for the reader. `alone`: each worked out by itself, by key. `marks`: by key.
    """

    def __init__(self, state: Path, version: str, sources: Mapping[str, str]) -> None:
        self.before: dict[str, Before] = {}
        self.alone: dict[str, KiteResult] = {}
        self.marks: dict[str, Marks] = {}
        self._pieces: dict[str, _Piece] = {}
        self._rows: dict[str, list[Any]] = {}
        self._changed: dict[str, KiteResult] = {}
        self._index, self._bin = state / "kites.json", state / "kites.bin"
        self._context = _context(version, sources)
        self._made_of = _made_of(sources)
        try:
            self._recall(read_note(self._index, format=FORMAT, context=self._context))
        except UNREADABLE:
            self.before, self.alone, self.marks, self._pieces, self._rows, self._changed = {}, {}, {}, {}, {}, {}

    def _recall(self, kept: Mapping[str, Any]) -> None:
        precision = Precision(*kept["precision"])
        learnt = {skin: SkinEstimate(Measured(value, u), kites) for skin, (value, u, kites) in kept["learnt"].items()}
        for file in kept["hidden"]:
            if self._made_of.get(file) == kept["hidden"][file]:
                self.before[file] = Before(True, _never)
        for file, row in kept["kites"].items():
            made_of, offset, length, digest, told_row, marks_row = row
            told, piece = _told(told_row), _Piece(offset, length, digest)
            taught = None if told.covered else learnt.get(told.skin or "")
            alone = KiteResult(told, precision, taught, partial(self._load, piece))
            if self._made_of.get(file) != made_of:
                self._changed[told.key] = alone
                continue
            self.before[file] = Before(False, alone.kite)
            self.alone[told.key] = alone
            self.marks[told.key] = _marks(marks_row)
            self._pieces[told.key] = piece
            self._rows[told.key] = row[4:]

    def of(self, book: Book) -> dict[str, KiteResult]:
        """What is known of the book's kites: of all that are as they were, and of those changed in words alone."""
        known = dict(self.alone)
        for key, was in self._changed.items():
            if key in book.kites and _wordless(book.kites[key]) == _wordless(was.load().kite):
                found = replace(was.load(), kite=book.kites[key])
                known[key] = replace(was, load=Packed(found))
        return known

    def _load(self, piece: _Piece) -> Findings:
        try:
            found = thawed(self._bytes(piece))
        except (OSError, ValueError) as error:
            raise ForgottenError from error
        if not isinstance(found, Findings):
            raise ForgottenError
        return found

    def _bytes(self, piece: _Piece) -> bytes:
        with self._bin.open("rb") as file:
            file.seek(piece.offset)
            data = file.read(piece.length)
        if _short(data) != piece.digest:
            raise ForgottenError
        return data

    def forget(self) -> None:
        """Take what is remembered away, so that nothing is known the next time."""
        self._index.unlink(missing_ok=True)

    def keep(
        self, kites: Mapping[str, KiteResult], marks: Mapping[str, Marks], unchanged: Callable[[str], bool]
    ) -> None:
        """Write down all kites of a book without problem, by key. Raises OSError.

        `unchanged` says of a kite's file whether it still holds what was taken note of before it was read.
        """
        files = {key_of(file): file for file in self._made_of}
        same = {key for key, kite in kites.items() if kite is self.alone.get(key)}
        pieces, fresh = {key: piece for key, piece in self._pieces.items() if key in same}, []
        for key, kite in kites.items():
            if key not in same and key in files and unchanged(files[key]):
                fresh.append((key, kite.load.data if isinstance(kite.load, Packed) else frozen(kite.load())))
        pieces = self._write({key: pieces[key] for key in kites if key in pieces}, fresh)
        known = [kites[key] for key in pieces]
        learnt = {kite.told.skin: kite.learnt for kite in known if kite.learnt is not None}
        hidden = [file for key, file in files.items() if key not in kites and unchanged(file)]
        write_note(
            self._index,
            format=FORMAT,
            context=self._context,
            precision=_row(known[0].precision) if known else [],
            learnt={skin: [*_row(of.per_chord_Nm), of.kites] for skin, of in learnt.items()},
            hidden={file: self._made_of[file] for file in hidden},
            kites={
                files[key]: [
                    self._made_of[files[key]],
                    piece.offset,
                    piece.length,
                    piece.digest,
                    *(self._rows[key] if key in same else (_told_row(kites[key].told), _marks_row(marks[key]))),
                ]
                for key, piece in pieces.items()
            },
        )

    def _write(self, known: Mapping[str, _Piece], fresh: Iterable[tuple[str, bytes]]) -> dict[str, _Piece]:
        """Put the fresh findings behind those that stand, or everything anew where too much is in nobody's use."""
        there = self._bin.stat().st_size if self._bin.is_file() and known else 0
        used = sum(piece.length for piece in known.values())
        if there > 2 * used + _WASTE or not known:
            fresh = [*((key, self._bytes(piece)) for key, piece in known.items()), *fresh]
            known, there = {}, 0
        pieces = dict(known)
        data = io.BytesIO()
        for key, piece in fresh:
            pieces[key] = _Piece(there + data.tell(), len(piece), _short(piece))
            data.write(piece)
        if there == 0:
            files.replace(self._bin, data.getvalue())
        elif data.tell():
            with self._bin.open("r+b") as file:
                file.seek(there)
                file.write(data.getvalue())
        return pieces


def _wordless(kite: Kite) -> Kite:
    """A kite as far as anything is worked out from it."""
    return replace(kite, summary=None, story="", story_line=0, photos=())


def _never() -> Kite:
    raise ForgottenError  # nobody asks for a hidden kite


def _context(version: str, sources: Mapping[str, str]) -> str:
    """What all kites rest on: the program, the settings and the stock."""
    shared = sorted(
        f"{name} {digest}"
        for name, digest in sources.items()
        if name.startswith(("content/book.yaml", "content/stock/"))
    )
    return hashlib.sha256("\n".join([version, *shared]).encode("utf-8", "surrogateescape")).hexdigest()


def _made_of(sources: Mapping[str, str]) -> dict[str, str]:
    """For each kite file, one digest of it and of whatever lies in its kite's own folder."""
    own: dict[str, list[str]] = {}
    files: dict[str, str] = {}
    for name, digest in sources.items():
        if name.startswith(f"{KITES}/"):
            first, _, rest = name[len(KITES) + 1 :].partition("/")
            if rest:
                own.setdefault(first, []).append(f"{rest} {digest}")
            elif name.endswith(".md"):
                files[name] = digest
    return {
        name: _short("\n".join([digest, *sorted(own.get(name[len(KITES) + 1 : -3], ()))]).encode("utf-8", "replace"))
        for name, digest in files.items()
    }


def _short(data: bytes) -> str:
    return hashlib.blake2b(data, digest_size=16).hexdigest()


def _row(record: Any) -> list[Any]:
    return [getattr(record, name) for name in type(record).__struct_fields__]


def _told_row(told: KiteSummary) -> list[Any]:
    """What a kite told, as JSON has it; records within become rows as well."""
    of = told.repeated
    return [
        *_row(told)[:6],
        [*of.presses, *of.drops],
        *(None if figure is None else _row(figure) for figure in (told.modulus_Pa, told.per_chord_Nm, told.flex_m_s)),
        {flyer: _row(liked) for flyer, liked in told.flown.items()},
        dict(told.flights),
    ]


def _told(row: list[Any]) -> KiteSummary:
    *plain, repeats, modulus, per_chord, flex, flown, flights = row
    key, name, bow_rod, spine_rod, skin, covered = plain
    return KiteSummary(
        key,
        name,
        bow_rod,
        spine_rod,
        skin,
        covered,
        Repeated(Repeats(*repeats[:2]), Repeats(*repeats[2:])),
        _measured(modulus),
        _measured(per_chord),
        _measured(flex),
        {flyer: Range(*liked) for flyer, liked in flown.items()},
        flights,
    )


def _measured(row: list[float] | None) -> Measured | None:
    return None if row is None else Measured(*row)


def _marks_row(marks: Marks) -> list[Any]:
    return [marks.whole, marks.untold, [_row(photo) for photo in marks.photos], marks.links]


def _marks(row: list[Any]) -> Marks:
    whole, untold, photos, links = row
    named = tuple(Named(file, alt, caption, Location(*place), told) for file, alt, caption, place, told in photos)
    return Marks(whole, untold, named, tuple(links))
