"""The worst files there are to read: each as large as a file may be, or as knotted; run in a child with limits.

Run as a program it reads them all, or only those of the kinds named on the command line, one after the other. Each
has two seconds of processor time and all have 500 MB of memory between them, program included; the system ends
whoever takes more. The name of each stands in the output before it is read.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

KINDS = ("kite", "page", "book.yaml", "stock/rods.yaml", "stock/skins.yaml")
MOST_S = 2.0
MOST_BYTES = 500_000_000
FULL = 990_000  # bytes: a little under what a file may hold
ROOM = 195_000  # bytes: a little under what its keys and values may take


def kite(front: str, story: str = "") -> bytes:
    """A kite's file with this front matter."""
    return f"---\nname: x\n{front}\n---\n{story}\n".encode("utf-8", "surrogatepass")


def filled(unit: str, room: int = ROOM) -> str:
    """As many of these as there is room for."""
    return unit * (room // len(unit.encode()))


def _numbered(line: str, most: int = 10**9) -> str:
    count = min(ROOM // (len(line) + 6), most)
    return "\n".join(line.replace("N", str(i)) for i in range(count))


def _laughs() -> str:
    levels = [f"l{i}: &l{i} [{', '.join([f'*l{i - 1}'] * 9)}]" for i in range(1, 12)]
    return "\n".join(["l0: &l0 lol", *levels])


def _merges() -> str:
    levels = [f"m{i}: &m{i} {{<<: [{', '.join([f'*m{i - 1}'] * 90)}]}}" for i in range(1, 200)]
    return "\n".join(["m0: &m0 {name: x, made: y}", *levels])


def _steps(levels: int) -> str:
    return "\n".join(" " * i + "a:" for i in range(levels))


def _list(item: str, room: int = ROOM) -> str:
    return "[" + (item + ",") * (room // (len(item.encode()) + 1)) + item + "]"


def _below(key: str, line: str, times: int = 96) -> bytes:
    """A kite with this line many times below a key."""
    return kite(f"{key}:\n" + f"- {line}\n" * times)


BLANKS = " " * 1990
READINGS = "214, " * 35 + "213 g"
# One sign alone, on every line, and opening again what it opened.
SIGNS = "[{\"'&*!|>%@`,:-?#\t~"
LINES = ("", "a:", "- a", "a", "? a", "- -", "\ta: 1", "[", "}")
OPENINGS = ("[a, ", "{a: ", "- ", "? ", "a: [", "&a ", "!!x ", "*a ")

KITES: dict[str, bytes] = {
    "aliases that multiply": kite(_laughs()),
    "aliases that merge": kite(_merges()),
    "one long list of aliases": kite(f"a: &a [{'1, ' * 500}1]\nb: " + _list("*a")),
    "one long text, many aliases": kite(f"summary: &a {'x' * 90_000}\nflights: " + _list("*a", 90_000)),
    "rounds by alias": kite(f"a: &a {{left: {'9, ' * 300}9}}\nbench: " + _list("*a", 3_000)),
    "aliases that hold themselves": kite("a: &a [*a, *a]\nbench: *a"),
    **{f"nothing but {sign!r}": kite("a: " + filled(sign)) for sign in SIGNS},
    **{f"lines of {line!r}": kite(filled(line + "\n")) for line in LINES},
    **{f"again and again {sign!r}": kite(filled(sign)) for sign in OPENINGS},
    "steps down": kite(_steps(600)),
    "a key of its own on every line": kite(_numbered("kN: 1")),
    "a key almost known on every line": kite(_numbered("brideN: 1")),
    "one key on every line": kite(filled("mass: 1\n")),
    "a key of many letters": kite("k" * ROOM + ": 1"),
    "keys of ten thousand letters": kite("\n".join(f"{i}{'nam' * 3_000}: 1" for i in range(20))),
    "a text of many letters": kite("summary: " + "x" * ROOM),
    "a figure of many figures": kite("mass: " + "9" * ROOM),
    "figures of ten thousand figures": _below("bench", f"left: {'9' * 10_000}", 19),
    "a power beyond all": kite("mass: 1e999999999 g\nbow: {length: 1e-999999999}"),
    "a list of every reading": kite("bench:\n- left: " + _list("214")),
    "a line of every reading": kite("bench:\n- left: " + filled("214, ") + "213"),
    "five hundred rounds": _below("bench", f"left: {READINGS}\n  right: {READINGS}", 500),
    "more rounds than there may be": _below("bench", "left: 1", 19_000),
    "two thousand flights": _below("flights", "{on: 2026-05-10, flyer: MK, wind: 4-9 mph, note: x}", 2_000),
    "readings of unknown units": _below("bench", "{left: 1 furlongish, right: 2 gramophones}", 500),
    "readings of blanks": _below("bench", f"left: '{BLANKS}x'"),
    "readings between blanks": _below("bench", f"left: '1{BLANKS}1/'"),
    "winds of blanks": _below("flights", f"wind: '1{BLANKS}x'"),
    "winds of signs": _below("flights", f"wind: '{'1 x ' * 490}'"),
    "winds of points": _below("flights", f"wind: '{'1.' * 990}x'"),
    "winds without end": _below("flights", f"wind: '1x{' x' * 980}'"),
    "winds to and to": _below("flights", f"wind: '{'1 to ' * 390}'"),
    "winds of figures": _below("flights", f"wind: '{'1' * 1990}x'"),
    "zones of blanks": _below("bench", f"shave: {{side: left, zone: '1{BLANKS}'}}"),
    "an outline of every point": kite("sail:\n  outline: " + _list("[1, 2]")),
    "stations without end": kite("bow:\n  sections:\n    left: " + _list("{at: 1, round: 2}")),
    "photos without end": kite("photos: " + _list("{file: x.jpg, alt: y}")),
    "hidden characters": kite("a: " + filled("\x00", FULL)),
    "hidden characters on every line": kite(filled("\x01\n", FULL)),
    "marks that combine": kite("summary: a" + filled("\u0301")),
    "a tab on every line": kite(filled("a:\n\tb: 1\n")),
    "a tab on the last lines": kite(filled("note: 1\n")[:-400] + "\na:\n" + "\tb: 1\nc:\n" * 30),
    "no colons": kite(filled("mass 1\n")),
    "more values than there may be": kite(filled("a:\n", FULL)),
    "many lines of story": kite("", filled("\n", FULL)),
    "front matter never closed": b"---\n" + filled("- ", FULL).encode(),
    "nothing but line ends": filled("\r", FULL).encode(),
    "bytes that are no letters": b"---\n" + b"\xff" * FULL,
    "half a letter at the end": b"---\n" + b"a" * FULL + b"\xe2\x82",
    "five million bytes": b"---\n" + b"[" * 5_000_000,
}
# Of each kind of knot one, for the plain run; the first six took minutes, or most of the memory, once.
SOME = (
    *("winds of blanks", "hidden characters", "hidden characters on every line", "a tab on the last lines"),
    *("more values than there may be", "a key almost known on every line", "aliases that multiply"),
    *("aliases that merge", "steps down", "figures of ten thousand figures", "five million bytes"),
)
OTHERS: dict[str, bytes] = {
    name: data.removeprefix(b"---\nname: x\n").removesuffix(b"\n---\n\n")
    for name, data in KITES.items()
    if data.startswith(b"---\nname: x\n")
} | {
    "many rods": _numbered("rN: {material: carbon, round: 1.5 mm}").encode(),
    "many keys of rods": _numbered("rN: {materiel: carbon}").encode(),
    "many comparisons": ("compare: " + _list("[a, b]", 2_500)).encode(),
    "bands": ("bands: " + _list("{name: x, wind: 4-7 mph}")).encode(),
}


def jobs(kind: str, root: Path) -> Iterator[tuple[str, Callable[[], object]]]:
    """What reads each file of a kind: as a kite (some or all), as a page, or the book at `root` with it alone."""
    import holding

    if kind in ("some", "kite", "page"):
        read = holding.reads_page if kind == "page" else holding.reads_kite
        for name in SOME if kind == "some" else KITES:
            yield name, partial(read, KITES[name])
        return
    path = root / "content" / kind
    path.parent.mkdir(parents=True, exist_ok=True)
    for name, data in OTHERS.items():
        path.write_bytes(data)
        yield name, partial(holding.reads_book, root, [f"content/{kind}"])
    path.unlink()


def main(kinds: Sequence[str]) -> None:
    """Read them all, each within its limits."""
    import resource
    import signal
    import tempfile

    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    with tempfile.TemporaryDirectory() as folder:
        for kind in kinds:
            for name, read in jobs(kind, Path(folder)):
                print(f"{kind}: {name}", flush=True)
                signal.setitimer(signal.ITIMER_PROF, MOST_S)  # its signal ends the process
                read()
                signal.setitimer(signal.ITIMER_PROF, 0)
    print("all read")


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parent))
    main(sys.argv[1:] or KINDS)
