"""A round opened again: its readings as they stand in the file, corrected one by one, then its day and its shave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from bowbook.book.as_typed import Typed, together, typed_quantities
from bowbook.book.days import DayError, parse_day
from bowbook.book.records import Press, Round, Tips
from bowbook.book.unit_tables import FACTORS
from bowbook.book.written_numbers import QuantityError
from bowbook.format.edit import TextChange, drop, value
from bowbook.format.typed_rounds import readings_as_written
from bowbook.terminal.bench_advice import HELP, Bench
from bowbook.terminal.bench_session import ask_shave, read_all, take_given, tips_back
from bowbook.terminal.output import tell
from bowbook.terminal.prompts import ask, one_of
from bowbook.terminal.unfinished_round import PARTS, BenchReadings, Kind
from bowbook.wording.numbers import capital

Shaved = Literal["as it is", "anew"] | dict[str, str] | None
"""A shave after a round that is opened again: as it stands, none, or as it is typed now."""


def reopened(
    bench: Bench, number: int, given: Mapping[str, str | None], back: str | None, day: str | None, *, tips: bool
) -> list[TextChange]:
    """What is to be written of round `number`, counted from 1 as the file has them, once it is corrected.

    `given` and `back`, how far the tips went, stand in place of the questions; `tips`: it is meant to be a tips test.
    Raises ValueError for what cannot be, LeftError where the maker leaves.
    """
    many = len(bench.kite.bench)
    if number > many:
        has = f"it has {many}" if many else "it has none yet"
        raise ValueError(f"{bench.kite.name} has no round {number}: {has}.")
    one = bench.kite.bench[number - 1]
    if tips and one.tips is None:
        anew = f"bowbook bench {bench.kite.key} --tips"
        raise ValueError(f"Round {number} is no tips test; that is a test of its own: {anew} begins one.")
    session = opened(bench, number - 1, readings_as_written(bench.seen, number - 1))
    if session.kind == "tips" and any(given.get(part) for part in PARTS):
        raise ValueError(f"Round {number} is a tips test: it takes --both and --back, and no half.")
    on: str | None = day or one.on
    shave: Shaved = "as it is"
    if day or back or any(given.values()):
        take_given(session, given, bench.units)
        session.back[:] = tips_back(back, bench) if back else session.back
    else:
        tell(f"{bench.kite.name}, round {number} again. Enter alone keeps what stands there.", bold=True)
        tell(HELP)
        if session.kind == "tips":
            session.back[:] = ask_back(bench, session.back)
        read_all(bench, session)
        on = ask_round_day(on)
        shave = ask_shaved(bench, one)
    return corrections(bench, session, on, shave)


def opened(bench: Bench, number: int, texts: Sequence[tuple[str, str]]) -> BenchReadings:
    """A session that holds a round's readings: as they are typed in the file where `texts` has them, part by part."""
    one = bench.kite.bench[number]
    alone = one.tips is not None and not (one.left or one.right or one.whole)
    kind: Kind = "tips" if alone else "covered" if one.skin_on else "bare"
    session = BenchReadings(bench.kite.key, len(bench.kite.bench), kind, redo=number)
    as_written = dict(texts)
    if one.tips is not None:
        session.tips.extend(_typed(one.tips.values_N, as_written.get("tips.both", ""), bench))
        session.back.extend(_typed_back(one.tips.back_m, as_written.get("tips.back", ""), bench))
    for part in PARTS:
        reading = {"left": one.left, "right": one.right, "whole": one.whole}[part]
        if isinstance(reading, Press):
            session.readings(part).extend(_typed(reading.values_N, as_written.get(part, ""), bench))
    return session


def _typed(values_N: Sequence[float], text: str, bench: Bench) -> tuple[Typed, ...]:
    typed = _understood(text, "force", bench)
    if len(typed) == len(values_N):
        return typed
    gram = FACTORS["force"]["g"]
    return tuple(Typed(newton, f"{newton / gram:.5g}", "g") for newton in values_N)


def _typed_back(back_m: float, text: str, bench: Bench) -> tuple[Typed, ...]:
    """How far the tips went, as typed: one length, or one for each tip."""
    return _understood(text, "length", bench) or (Typed(back_m, f"{back_m * 1000:.5g}", "mm"),)


def _understood(text: str, kind: str, bench: Bench) -> tuple[Typed, ...]:
    try:
        return typed_quantities(text, kind, bench.units) if text else ()
    except QuantityError:
        return ()


def ask_back(bench: Bench, back: Sequence[Typed]) -> tuple[Typed, ...]:
    """How far the tips were pressed back, asked with what stands there."""
    return ask(
        f"  How far were the tips pressed back? [{together(back)}]",
        lambda answer: tips_back(answer, bench) if answer else tuple(back),
    )


def ask_round_day(on: str | None) -> str | None:
    """The round's day, asked with the one it has."""

    def understand(answer: str) -> str | None:
        if not answer:
            return on
        try:
            return parse_day(answer)
        except DayError as wrong:
            raise ValueError(f"{capital(wrong.message)}. {wrong.hint}") from None

    return ask(f"  Its day? [{on or 'not written'}]", understand)


def ask_shaved(bench: Bench, one: Round) -> Shaved:
    """What becomes of the shave written after a round: it stays, it goes, or it is said anew."""
    if not one.shaves:
        return "as it is"
    said = ", ".join(
        " ".join(w for w in (s.side, s.zone.label if s.zone else "", f"{s.strokes} strokes" if s.strokes else "") if w)
        for s in one.shaves
    )
    words = "yes, no (nothing was shaved), or anew"
    keep: dict[str, Literal["as it is", "anew"] | None] = {
        "": "as it is",
        "yes": "as it is",
        "no": None,
        "anew": "anew",
    }
    answer = ask(f"  After it was shaved: {said}. Does that stay? {words} [yes]", one_of(keep, words))
    return ask_shave(bench, one.shaves[0].side) or "as it is" if answer == "anew" else answer


def corrections(bench: Bench, session: BenchReadings, on: str | None, shave: Shaved) -> list[TextChange]:
    """What must be written so that the file has the round as the session has it."""
    number = session.redo if session.redo is not None else -1
    one = bench.kite.bench[number]
    where = f"bench.{number}"
    found: list[TextChange] = []
    if on is not None and on != one.on:
        found.append(value(f"{where}.on", on))
    for part in PARTS:
        old = {"left": one.left, "right": one.right, "whole": one.whole}[part]
        values = tuple(typed.si for typed in session.readings(part))
        if old is not None and not isinstance(old, Press):
            continue
        if not values and old is not None:
            found.append(drop(f"{where}.{part}"))
        elif values and (old is None or values != old.values_N):
            plain = old is None or (old.length_m is None and old.rise_m is None and old.hold == Press(()).hold)
            place = f"{where}.{part}" if plain else f"{where}.{part}.press"
            found.append(value(place, together(session.readings(part))))
    if one.tips is not None:
        found += _of_tips(one.tips, session, f"{where}.tips")
    if shave != "as it is" and one.shaves:
        found.append(drop(f"{where}.shave"))
    if isinstance(shave, dict):
        found.append(value(f"{where}.shave", shave))
    return found


def _of_tips(test: Tips, session: BenchReadings, where: str) -> list[TextChange]:
    """What must be written of a tips test."""
    if not session.tips:
        return [drop(where)]
    found = []
    if tuple(typed.si for typed in session.tips) != test.values_N:
        found.append(value(f"{where}.both", together(session.tips)))
    if abs(sum(typed.si for typed in session.back) / len(session.back) / test.back_m - 1) > 1e-9:
        found.append(value(f"{where}.back", together(session.back)))
    return found
