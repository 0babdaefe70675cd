"""Folders of files: what stands in one, whose it is, and making another like it."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import stat
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path

from msgspec import Struct, field

from bowbook.storage.regular import NotPlainError, TooLargeError, digest_of_plain, read_plain

MANIFEST = "data/files.json"
_MANIFEST_BYTES = 100_000_000
_MOST_NS = 2**63 - 1
# A file system that cannot link, or not this file, answers with one of these; then a copy is made.
_NO_LINKS = {errno.EPERM, errno.EXDEV, errno.EMLINK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EACCES}


class Held(Struct, frozen=True):
    """One file as it stood: inode, size in bytes, time of its last change in ns, SHA-256 of its bytes."""

    inode: int
    size: int
    changed_ns: int
    digest: str

    def matches(self, seen: os.stat_result) -> bool:
        """Whether a file seen now is this one, untouched."""
        return self.inode == seen.st_ino and self.size == seen.st_size and self.changed_ns == seen.st_mtime_ns


class OutputState(Struct, frozen=True):
    """What stands in a site's folder: the files bowbook wrote there, and the topmost paths of all else."""

    files: Mapping[str, Held] = field(default_factory=dict)
    foreign: tuple[str, ...] = ()


def digest_of(data: bytes) -> str:
    """SHA-256 of some bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def held(path: Path, digest: str | None = None) -> Held:
    """The file at `path` as it stands; its digest is taken where it is not given."""
    seen = os.lstat(path)
    return Held(seen.st_ino, seen.st_size, kept_ns(seen.st_mtime_ns), digest or digest_of_plain(path))


def kept_ns(time_ns: int) -> int:
    """A file's time as it can be written down: one beyond the years 1678 to 2261 is never that of the file again."""
    return min(max(time_ns, -_MOST_NS), _MOST_NS)


def manifest_text(files: Mapping[str, str]) -> bytes:
    """The list of files that goes with a site: every address and the digest of what stands there."""
    rows = json.dumps(dict(sorted(files.items())), separators=(",\n", ": "))[1:-1]
    return f'{{\n"format": 1,\n"files": {{\n{rows}\n}}\n}}\n'.encode()


def read_manifest(site: Path, is_own: Callable[[str], bool]) -> dict[str, str]:
    """Address and digest of every file a site's own list names; empty where there is none whose digest `is_own`.

    Raises OSError where there is one that the disk does not give: without it every page would pass for the maker's.
    """
    path = site / MANIFEST
    try:
        if path.parent.is_symlink() or not stat.S_ISREG(os.lstat(path).st_mode):
            return {}
        data = read_plain(path, _MANIFEST_BYTES)
        if not is_own(digest_of(data)):
            return {}
        listed = json.loads(data)
        files = listed["files"] if listed["format"] == 1 else {}
        own = {str(name): str(digest) for name, digest in files.items()}
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, NotPlainError, TooLargeError):
        return {}
    own[MANIFEST] = digest_of(data)
    return own


def parents(addresses: Iterable[str]) -> set[str]:
    """Every folder the addresses need, "" for the topmost left out."""
    found: set[str] = set()
    for folder in {address.rpartition("/")[0] for address in addresses}:
        while folder and folder not in found:
            found.add(folder)
            folder = folder.rpartition("/")[0]
    return found


def look(
    site: Path, known: Mapping[str, Held], is_own: Callable[[str], bool], shared: Collection[str] = ()
) -> OutputState:
    """What stands in `site`, told apart by what is `known` of it and, where that fails, by the site's own list.

    That list counts only if its digest `is_own`: anybody may put one there that names other files. A file counts as
    bowbook's only if its bytes are those bowbook wrote at that address. Links are never followed.
    `shared` files stand in another folder too: of these it does not matter whether they were written into meanwhile.
    """
    listed = cache(lambda: read_manifest(site, is_own))
    known_folders = parents(known)
    listed_folders = cache(lambda: parents(listed()))
    files: dict[str, Held] = {}
    foreign: list[str] = []

    def untouched(address: str, entry: os.DirEntry[str]) -> bool:
        was = known.get(address)
        if was is None:
            return False
        same = entry.inode() == was.inode if address in shared else was.matches(entry.stat(follow_symlinks=False))
        if same:
            files[address] = was
        return same

    for address, entry in _walk(site, untouched, lambda folder: folder in known_folders or folder in listed_folders()):
        seen, was = entry.stat(follow_symlinks=False), known.get(address)
        if stat.S_ISREG(seen.st_mode) and (was is not None or address in listed()):
            now = held(site / address)
            if now.digest == listed().get(address) or (was is not None and now.digest == was.digest):
                files[address] = now
            else:
                foreign.append(address)
        else:
            foreign.append(address)
    return OutputState(files, tuple(sorted(foreign)))


def _walk(
    top: Path, settled: Callable[[str, os.DirEntry[str]], bool], enter: Callable[[str], bool]
) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Everything under `top` by its address, in no order, but for what is `settled` at once, as nearly all is.

    A folder is gone into if `enter` says so, else given.
    """
    waiting = [""]
    while waiting:
        folder = waiting.pop()
        lead = f"{folder}/" if folder else ""
        with os.scandir(
            f"{top}/{folder}"
        ) as entries:  # a path made for each of thousands would cost more than all else
            for entry in entries:
                address = lead + entry.name
                if settled(address, entry):
                    continue
                if entry.is_dir(follow_symlinks=False) and enter(address):
                    waiting.append(address)
                else:
                    yield address, entry


def match(aside: Path, site: Path, keep: Mapping[str, Held], planned: Iterable[str]) -> set[str]:
    """Make the folder `aside` hold exactly the files of `site` named in `keep`, and every folder `planned` needs.

    What `aside` already shares with `site` is left where it is; what is missing is linked, or copied where links are
    refused. No file is ever written into: a linked file has two names and one content. The files that are one in both
    are given back.
    """
    folders = parents([*keep, *planned])
    there: set[str] = set()

    def enter(folder: str) -> bool:
        if folder in folders:
            there.add(folder)
        return folder in folders

    shared: set[str] = set()

    def is_shared(address: str, entry: os.DirEntry[str]) -> bool:
        was = keep.get(address)
        if was is None or entry.inode() != was.inode:
            return False
        shared.add(address)
        return True

    for address, _ in list(_walk(aside, is_shared, enter)):
        remove(aside / address)
    for folder in sorted(folders - there):
        (aside / folder).mkdir(exist_ok=True)
    for address in keep:
        if address not in shared and link(site / address, aside / address):
            shared.add(address)
    return shared


def link(old: Path, new: Path) -> bool:
    """Give the file, link or special file at `old` a second name, or copy it where that is refused: whether it has."""
    try:
        os.link(old, new, follow_symlinks=False)
        return True
    except OSError as refusal:
        if refusal.errno not in _NO_LINKS:
            raise
        if old.is_symlink():
            new.symlink_to(old.readlink())
        else:
            import shutil  # only here: it brings three archive formats that nobody asks for

            shutil.copy2(old, new, follow_symlinks=False)
        return False


def carry(old: Path, new: Path) -> None:
    """Bring a file, a link or a whole folder of them along to a new place, leaving the old one as it is."""
    if old.is_symlink() or not old.is_dir():
        link(old, new)
        return
    import shutil

    new.mkdir()
    with os.scandir(old) as entries:
        for entry in entries:
            carry(old / entry.name, new / entry.name)
    shutil.copystat(old, new)


def same(one: Path, other: Path) -> bool:
    """Whether two paths hold the same thing: one file under two names, or equal in kind and bytes."""
    try:
        a, b = os.lstat(one), os.lstat(other)
    except FileNotFoundError:
        return False
    if (a.st_dev, a.st_ino) == (b.st_dev, b.st_ino):
        return True
    if stat.S_IFMT(a.st_mode) != stat.S_IFMT(b.st_mode):
        return False
    if stat.S_ISLNK(a.st_mode):
        return one.readlink() == other.readlink()
    return stat.S_ISREG(a.st_mode) and a.st_size == b.st_size and digest_of_plain(one) == digest_of_plain(other)


def remove(path: Path) -> None:
    """Take away a file, a link or a whole folder; a link's target is not touched."""
    if path.is_symlink() or not path.is_dir():
        path.unlink(missing_ok=True)
    else:
        import shutil

        shutil.rmtree(path)


def remove_shut(folder: Path) -> None:
    """Take away a whole folder of ours of which parts may not be written."""
    shut = [folder]
    while shut:
        here = shut.pop()
        here.chmod(0o700)
        shut += (Path(entry) for entry in os.scandir(here) if entry.is_dir(follow_symlinks=False))
    remove(folder)


def create(path: Path, data: bytes | Iterable[bytes]) -> None:
    """Write a file that must not be there yet, so that nothing linked elsewhere can be written into."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o644)
    try:
        for piece in (data,) if isinstance(data, bytes) else data:
            view = memoryview(piece)
            while view:
                view = view[os.write(handle, view) :]
    finally:
        os.close(handle)


def replace(path: Path, data: bytes | Iterable[bytes]) -> None:
    """Put a small file of our own in place of the old one at once, power cut included."""
    aside = path.with_name(f"{path.name}.new")
    remove(aside)
    create(aside, data)
    flush(aside)
    aside.replace(path)
    flush(path.parent)


def flush(path: Path) -> None:
    """Have a file's bytes, or a folder's list of names, reach the disk."""
    if os.name == "nt" and path.is_dir():
        return  # Windows can't open a folder, and orders its own changes of names
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
