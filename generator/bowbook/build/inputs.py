"""What a site is made from, as files: the book's own, the themes, the program; and whether any of it has changed.

A file's place, size and times tell whether it may have changed; only its bytes tell whether it has.
"""

from __future__ import annotations

import errno
import hashlib
import os
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct

import bowbook
from bowbook.storage.regular import NotPlainError, digest_of_plain

# A change within this time of being looked at could leave a file's times as they were: then its bytes are read again.
SURE_AFTER_NS = 2_000_000_000
_NOTHING_THERE = {errno.ENOENT, errno.ENOTDIR, errno.EACCES, errno.EPERM, errno.ELOOP}
_LIBRARIES = {
    "jinja2",
    "markupsafe",
    "markdown_it_py",
    "mdit_py_plugins",
    "matplotlib",
    "reportlab",
    "rl_accel",
    "python_bidi",
    "uharfbuzz",
    "contourpy",
    "kiwisolver",
    "numpy",
    "pillow",
    "pyyaml",
    "segno",
    "shapely",
    "uncertainties",
}


class FileStamp(Struct, frozen=True):
    """One file as it was looked at: inode, size, its two times in ns, when it was looked at, SHA-256 of its bytes."""

    inode: int
    size: int
    changed_ns: int
    status_ns: int
    seen_ns: int
    digest: str

    def still(self, now: os.stat_result) -> bool:
        """Whether the file is surely the one that was looked at."""
        same = (self.inode, self.size, self.changed_ns, self.status_ns) == (
            now.st_ino,
            now.st_size,
            now.st_mtime_ns,
            now.st_ctime_ns,
        )
        return same and self.status_ns < self.seen_ns - SURE_AFTER_NS


def scan(root: Path, known: Mapping[str, FileStamp]) -> dict[str, FileStamp]:
    """Every file the site is made from, by a name of its own; bytes are read only where `known` isn't sure."""
    now_ns = time.time_ns()  # for comparing with files' times only; it reaches no output
    found: dict[str, FileStamp] = {}
    for name, path in _sources(root):
        try:
            seen = os.stat(path)  # noqa: PTH116 a Path for each of thousands would cost more than the look itself
            was = known.get(name)
            if was is not None and was.still(seen):
                found[name] = was
                continue
            digest = digest_of_plain(path)
        except NotPlainError:
            digest = "not a file"
        except OSError:
            seen, digest = os.lstat(path), "not to be read"
        found[name] = FileStamp(seen.st_ino, seen.st_size, seen.st_mtime_ns, seen.st_ctime_ns, now_ns, digest)
    return found


def digests(found: Mapping[str, FileStamp], *rooms: str) -> str:
    """One digest over all files of the named rooms: "content", "themes", "program", "shipped"."""
    whole = hashlib.sha256()
    for name in sorted(found):
        if name.partition("/")[0] in rooms:
            whole.update(f"{name}\0{found[name].digest}\n".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def contents(found: Mapping[str, FileStamp]) -> dict[str, str]:
    """The digest of every file's bytes, by name; a book's own files are named as they are in the book."""
    return {name: seen.digest for name, seen in found.items() if name.startswith(("content/", "themes/"))}


def program_version(found: Mapping[str, FileStamp]) -> str:
    """One digest over the program's own files, its libraries' versions and the language it runs in."""
    own = digests(found, "program", "shipped")
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    text = "\n".join([bowbook.__version__, own, sys.version, *_libraries(), epoch])
    return hashlib.sha256(text.encode()).hexdigest()


def _sources(root: Path) -> Iterator[tuple[str, str]]:
    package = Path(bowbook.__file__).parent
    yield from _under(root / "content", "content", "")
    yield from _under(root / "themes", "themes", "")
    yield from _under(package, "program", ".py")
    for themes in (package / "themes", package.parent.parent / "themes"):
        if themes != root / "themes":
            yield from _under(themes, "shipped", "")


def _under(folder: Path, room: str, suffix: str) -> Iterator[tuple[str, str]]:
    """All files in a folder and below; a link to a file counts as one, a link to a folder is not gone into."""
    waiting = [(str(folder), room)]
    while waiting:
        here, name = waiting.pop()
        try:
            entries = list(os.scandir(here))
        except OSError as refused:
            if refused.errno not in _NOTHING_THERE:
                raise
            continue
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                waiting.append((entry.path, f"{name}/{entry.name}"))
            elif entry.name.endswith(suffix):
                yield f"{name}/{entry.name}", entry.path


def _libraries() -> list[str]:
    """Names with versions of the installed libraries a page's bytes depend on."""
    found = set()
    for folder in sys.path:
        try:
            names = [entry.name for entry in os.scandir(folder or ".")]
        except OSError:
            continue
        found |= {
            name.lower()
            for name in names
            if name.endswith(".dist-info") and name.lower().partition("-")[0] in _LIBRARIES
        }
    return sorted(found)
