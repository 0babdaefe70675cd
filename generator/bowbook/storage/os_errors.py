"""What the system refuses, in sentences: a full disk, a folder that may not be written, a folder that is a disk."""

from __future__ import annotations

import contextlib
import errno
from collections.abc import Iterator
from pathlib import Path

from bowbook.book.problems import Location, Problem


class StorageError(Exception):
    """Why the site could not be put in place, and what to do. The old site stands as it did."""

    def __init__(self, where: str, message: str, hint: str = "") -> None:
        super().__init__(where, message, hint)
        self.where, self.message, self.hint = where, message, hint

    def as_problem(self) -> Problem:
        """The same as a problem, without a line."""
        return Problem(Location(self.where), self.message, self.hint)


_REASONS = {
    errno.ENOSPC: ("The disk is full.", "Make room and publish again."),
    errno.EDQUOT: ("Your share of the disk is used up.", "Make room and publish again."),
    errno.EROFS: ("This disk can only be read.", "Publish to another folder with --to."),
    errno.EACCES: ("You may not write here.", "Give yourself the right to write, or publish elsewhere with --to."),
    errno.EPERM: ("You may not write here.", "Give yourself the right to write, or publish elsewhere with --to."),
    errno.EBUSY: ("This folder is a disk of its own.", "Publish to a folder inside it with --to."),
}


_RIGHTS = {errno.EROFS, errno.EACCES, errno.EPERM}


@contextlib.contextmanager
def explained(where: Path, without_rights: str = "") -> Iterator[None]:
    """Turn what the system refuses into a `StorageError` that says so in words.

    `without_rights` says what to do where nothing may be written, if publishing elsewhere would not help.
    """
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        what, instead = _REASONS.get(error.errno or 0, (f"The system refused: {reason}.", "Publish again."))
        if without_rights and error.errno in _RIGHTS:
            instead = without_rights
        if error.filename and str(error.filename) != str(where):
            what += f" ({error.filename})"
        raise StorageError(str(where), what, instead) from error
