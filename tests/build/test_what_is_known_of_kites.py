"""What a publish knows of kites from the one before is used, is never believed blindly, and changes nothing."""

from __future__ import annotations

import hashlib
import json
import pickle
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace

from bowbook.book.records import Flight, Kite, Press, Wind
from bowbook.build import inputs
from bowbook.build.plain import frozen, thawed
from bowbook.build.publish import publish
from bowbook.findings.compute import compute_findings, recompute_findings
from bowbook.findings.known import KiteResult
from bowbook.format.read_book import read_book
from bowbook.pages import data_files
from bowbook.pages.parts import Parts
from helpers import bytes_under, copy_demo
from sample_book import cold, lively_book, loaded_by_publishing


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small book, published."""
    root = lively_book(tmp_path / "book")
    assert publish(root).wrote
    return root


def one_word_more(root: Path) -> None:
    """A change that reaches one kite's page."""
    with (root / "content" / "kites" / "knot.md").open("a") as file:
        file.write("\nOne word more.\n")


def heavier(root: Path) -> None:
    """A change that reaches every list."""
    file = root / "content" / "kites" / "knot.md"
    text = file.read_text()
    mass = float(text.partition("\nmass: ")[2].partition(" g")[0])
    file.write_text(text.replace(f"\nmass: {mass:g} g", f"\nmass: {mass + 0.5:g} g"))


class Trap:
    """Bytes that would run a command in whoever reads them as a program's own."""

    def __init__(self, file: Path) -> None:
        self.file = file

    def __reduce__(self) -> tuple[Callable[..., object], tuple[object, ...]]:
        return open, (str(self.file), "w")


def _trapped(state: Path) -> None:
    """Findings and parts that are traps, with every digest put right."""
    trap = pickle.dumps(Trap(state / "sprung"), protocol=5)
    (state / "kites.bin").write_bytes(trap)
    kites = json.loads((state / "kites.json").read_text())
    for row in kites["kites"].values():
        row[1:4] = [0, len(trap), hashlib.blake2b(trap, digest_size=16).hexdigest()]
    (state / "kites.json").write_text(json.dumps(kites))
    (state / "parts.bin").write_bytes(trap)
    parts = json.loads((state / "parts.json").read_text())
    parts["digest"] = hashlib.blake2b(trap, digest_size=16).hexdigest()
    parts["parts"] = {name: [0, len(trap)] for name in parts["parts"]}
    (state / "parts.json").write_text(json.dumps(parts))


def _in(name: str, harm: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    return lambda state: (state / name).write_bytes(harm((state / name).read_bytes())) and None


HARMS: dict[str, Callable[[Path], None]] = {
    "traps everywhere": _trapped,
    "findings cut short": _in("kites.bin", lambda data: data[: len(data) // 2]),
    "findings emptied": _in("kites.bin", lambda _: b""),
    "findings with one bit turned": _in("kites.bin", lambda data: bytes([data[0] ^ 1]) + data[1:]),
    "findings gone": lambda state: (state / "kites.bin").unlink(),
    "the list of kites no list": _in("kites.json", lambda _: b"[" * 100_000),
    "the list of kites with rows cut": _in("kites.json", lambda data: data.replace(b'"whole"', b"")[:-9] + b"}"),
    "a kite's row too short": lambda state: _shortened(state),
    "parts cut short": _in("parts.bin", lambda data: data[:-1]),
    "the list of parts of another kind": _in("parts.json", lambda _: b"null"),
}


def _shortened(state: Path) -> None:
    kites = json.loads((state / "kites.json").read_text())
    next(iter(kites["kites"].values())).pop()
    (state / "kites.json").write_text(json.dumps(kites))


def test_whatever_harms_the_memory_the_site_is_the_same(book: Path, tmp_path: Path) -> None:
    """Damaged or hostile, what is remembered costs time at most: the site is a cold publish's, and nothing ran."""
    for change in (heavier, one_word_more):
        for harm in HARMS.values():
            harm(book / ".bowbook")
            change(book)
            report = publish(book)
            assert report.wrote, report.problems
            assert not (book / ".bowbook" / "sprung").exists()
        assert bytes_under(book / "output") == cold(book, tmp_path / change.__name__)


def test_what_one_matplotlib_drew_is_not_taken_for_another_s(monkeypatch: pytest.MonkeyPatch) -> None:
    """Frames, like all that is remembered, count only beside the libraries they were made with."""
    libraries = inputs._libraries()
    assert any(name.startswith("matplotlib-") for name in libraries)
    before = inputs.program_version({})
    monkeypatch.setattr(inputs, "_libraries", lambda: [*libraries, "matplotlib-99.dist-info"])
    assert inputs.program_version({}) != before


def test_only_records_come_back() -> None:
    """A record and a text come back equal; what would call anything else is refused."""
    kite = Kite("knot", "Knot", flights=(Flight("2026-05-01", "Ansa", Wind(1.0, 2.0)),))
    assert thawed(frozen((kite, "text", 1.5, None))) == (kite, "text", 1.5, None)
    for harm in (pickle.dumps(print), pickle.dumps(Path("x")), b"", b"\x80\x05", frozen(kite)[:-3]):
        with pytest.raises(ValueError, match="no plain records"):
            thawed(harm)


def test_a_story_changed_draws_nothing_anew(book: Path) -> None:
    """For one more word in a story no drawing library is loaded: the page's charts are those drawn before."""
    one_word_more(book)
    heavy = ("scipy", "matplotlib", "PIL", "reportlab", "shapely", "segno")
    assert loaded_by_publishing(book, heavy) == (True, set())


def _unasked(kite: KiteResult) -> KiteResult:
    """The same kite, whose findings nobody may ask for."""

    def load() -> None:
        raise AssertionError("nobody needs the findings of this kite")

    return replace(kite, load=load)


def _more_flights(kite: Kite) -> Kite:
    return replace(kite, flights=(*kite.flights, Flight("2026-06-01", "Ansa", Wind(2.0, 5.0), Wind(2.5, 4.0))))


def _another_reading(kite: Kite) -> Kite:
    first = kite.bench[0]
    assert isinstance(first.left, Press)
    left = replace(first.left, values_N=(*first.left.values_N, 1.02 * first.left.values_N[0]))
    return replace(kite, bench=(replace(first, left=left), *kite.bench[1:]))


CHANGES: dict[str, Callable[[Kite], Kite]] = {
    "nothing": lambda kite: kite,
    "another mass": lambda kite: replace(kite, mass_kg=0.0123),
    "one flight more": _more_flights,
    "another reading": _another_reading,
    "never covered": lambda kite: replace(kite, covered=None),
}


@pytest.mark.parametrize("what", CHANGES)
def test_known_kites_change_no_figure(tmp_path: Path, what: str) -> None:
    """A book worked out with all but one of its kites known gives every figure it gives when nothing is known."""
    before = read_book(copy_demo(tmp_path / "demo"))
    _, known = recompute_findings(before, {})
    key = next(key for key, kite in before.kites.items() if kite.covered and kite.bench and kite.bench[0].left)
    book = replace(before, kites={**before.kites, key: CHANGES[what](before.kites[key])})
    again, _ = recompute_findings(book, {k: kite for k, kite in known.items() if k != key})
    anew = compute_findings(book)
    assert dict(again.kites) == dict(anew.kites)
    assert (again.flyers, again.rods, again.skins, again.told) == (anew.flyers, anew.rods, anew.skins, anew.told)


def test_a_known_kite_is_not_looked_at(tmp_path: Path) -> None:
    """What flyers and stock say is worked out without the findings of any kite that stays as it was."""
    book = read_book(copy_demo(tmp_path / "demo"))
    anew, known = recompute_findings(book, {})
    again, _ = recompute_findings(book, {key: _unasked(kite) for key, kite in known.items()})
    assert (again.flyers, again.rods, again.skins) == (anew.flyers, anew.rods, anew.skins)


def test_data_from_parts_is_the_data(tmp_path: Path) -> None:
    """Put together kite by kite, from parts made now or before, the data files are as if written in one go."""
    findings = compute_findings(read_book(copy_demo(tmp_path / "demo")))
    whole = data_files.json_text(data_files.as_json(findings))
    parts = Parts()
    parts.rests_on = {key: f"digest-{key}" for key in findings.kites}
    assert data_files.book_as_json(findings) == whole
    assert data_files.book_as_json(findings, parts) == whole
    table = data_files.as_csv(findings, parts)
    assert data_files.as_csv(findings) == table
    unseen = replace(findings, kites=dict.fromkeys(findings.kites))  # type: ignore[arg-type]
    assert data_files.book_as_json(unseen, parts) == whole
    assert data_files.as_csv(unseen, parts) == table
    empty = replace(findings, kites={})
    assert data_files.book_as_json(empty) == data_files.json_text(data_files.as_json(empty))
