"""An unfinished round at the bench, kept in .bowbook/ so that it can be left and taken up."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct, field

from bowbook.book.as_typed import Typed
from bowbook.book.unit_tables import FACTORS
from bowbook.storage.backups import write_whole
from bowbook.storage.exchange import own_file, own_folder, state_folder
from bowbook.storage.regular import read_plain

Part = Literal["left", "right", "whole", "tips"]
Kind = Literal["bare", "covered", "tips"]
_MOST_BYTES = 1_000_000
PARTS: tuple[Part, ...] = ("left", "right", "whole")  # of the bow, as a file has them
ASKED: dict[Kind, tuple[Part, ...]] = {
    "bare": ("whole", "left", "right"),
    "covered": ("left", "right"),
    "tips": ("tips",),
}


class BenchReadings(Struct):
    """What has been read so far: the readings of each part as they were typed, and the parts that are done with."""

    kite: str
    rounds: int  # the kite had when this began: a file that has moved on since makes it stale
    kind: Kind = "bare"
    redo: int | None = None  # the round of the file that is opened again
    left: list[Typed] = field(default_factory=list)
    right: list[Typed] = field(default_factory=list)
    whole: list[Typed] = field(default_factory=list)
    tips: list[Typed] = field(default_factory=list)
    back: list[Typed] = field(default_factory=list)  # how far the tips go, one length
    done: list[str] = field(default_factory=list)

    def readings(self, part: Part) -> list[Typed]:
        """The readings of one part, to be added to."""
        return {"left": self.left, "right": self.right, "whole": self.whole, "tips": self.tips}[part]

    @property
    def covered(self) -> bool:
        """Whether the skin is on."""
        return self.kind == "covered"

    def anything(self) -> bool:
        """Whether there is a reading at all."""
        return bool(self.left or self.right or self.whole or self.tips)


def session_file(root: Path, kite: str, kind: Kind) -> Path:
    """Where the unfinished round of a kite is kept."""
    return root / ".bowbook" / "bench" / f"{kite}{'' if kind == 'bare' else f'.{kind}'}.json"


def keep_session(root: Path, session: BenchReadings) -> None:
    """Keep the session as it stands: a whole file or the one before, never half of one."""
    if session.redo is not None:  # the file has it all
        return
    own_folder(state_folder(root) / "bench")
    write_whole(own_file(session_file(root, session.kite, session.kind)), msgspec.json.encode(session), 0o600)


def forget(root: Path, session: BenchReadings) -> None:
    """Drop a session that was recorded or is to begin anew."""
    own_file(session_file(root, session.kite, session.kind)).unlink(missing_ok=True)


def take_up(root: Path, kite: str, rounds: int, kind: Kind) -> BenchReadings | None:
    """The unfinished round of this kite, or None where there is none that still fits."""
    try:
        data = json.loads(read_plain(session_file(root, kite, kind), _MOST_BYTES))
        session = BenchReadings(
            kite=kite,
            rounds=int(data["rounds"]),
            kind=kind,
            left=[_typed(v) for v in data["left"]],
            right=[_typed(v) for v in data["right"]],
            whole=[_typed(v) for v in data["whole"]],
            tips=[_typed(v) for v in data.get("tips", ())],
            back=[_typed(v, "length") for v in data.get("back", ())],
            done=[str(part) for part in data["done"] if part in ASKED[kind]],
        )
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return None
    return session if session.rounds == rounds and (session.anything() or session.done) else None


def _typed(value: object, kind: str = "force") -> Typed:
    """A kept reading; ValueError for anything that is none."""
    if isinstance(value, float):  # as an older session kept it
        value = [value, f"{value / FACTORS['force']['g']:.5g}", "g"]
    if not (isinstance(value, list) and len(value) == 3):
        raise ValueError("not a reading")
    newton, figure, unit = value
    if isinstance(newton, bool) or not isinstance(newton, int | float) or not 0 < newton < 1e4:
        raise ValueError("not a reading")
    if not isinstance(figure, str) or unit not in FACTORS[kind]:
        raise ValueError("not a reading")
    return Typed(float(newton), figure, unit)
