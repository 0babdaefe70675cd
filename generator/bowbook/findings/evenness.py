"""Which half is stiffer, how sure that is, what would settle it, and how it went round by round."""

from __future__ import annotations

from bowbook.book.records import Book, Kite, Press, Round, Side
from bowbook.findings.bench_results import Balance, Measured, RoundBalance
from bowbook.findings.bow import SIDES, BareBow
from bowbook.findings.halves import Half, half_from
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import DROP, PRESS, STEP, Measuring, UFloat, measured, parts, reading_of
from bowbook.mechanics import balance
from bowbook.mechanics.balance import DifferenceSureness


def balance_findings(book: Book, kite: Kite, bare: BareBow, m: Measuring, ledger: Ledger) -> Balance:
    """The verdict of the newest readings, and what every round said."""
    tolerance = book.settings.tolerance
    rounds = tuple(round_balance(book, kite, n, bench, m) for n, bench in enumerate(kite.bench))
    d = apart(kite, bare.left, bare.right)
    if d is None or bare.left is None or bare.right is None:
        sentence = _wanting(kite, bare)
        ledger.want("balance.difference", sentence)
        ledger.want("balance.verdict", sentence)
        return Balance(tolerance=tolerance, rounds=rounds)
    sure = sureness(d, kite, bare.left, bare.right, m)
    value = float(d.nominal_value)
    verdict = balance.verdict(value, sure, tolerance)
    more, settles = None, None
    if verdict == "too close to call":
        counts = _count(bare.left), _count(bare.right)
        more, by_twelve = balance.promise(value, sure, counts, tolerance)
        settles = round(by_twelve, 1)
    found = Measured(value, sure.u)
    return Balance(found, sure.expanded, tolerance, verdict, more, rounds, balance.bound(value, sure), settles)


def apart(kite: Kite, left: Half | None, right: Half | None) -> UFloat | None:
    """(left − right) / mean: of the rigidities, else of the loads where both halves were pressed alike."""
    if left is None or right is None:
        return None
    if left.EI is not None and right.EI is not None:
        return balance.difference(left.EI, right.EI)
    a, b = left.reading, right.reading
    if left.pressed is None or right.pressed is None or kite.bow.left or kite.bow.right:
        return None
    assert isinstance(a, Press)
    assert isinstance(b, Press)
    if (a.length_m, a.hold, a.rise_m) != (b.length_m, b.hold, b.rise_m):
        return None
    return balance.difference(left.pressed.load, right.pressed.load)


def sureness(d: UFloat, kite: Kite, left: Half, right: Half, m: Measuring) -> DifferenceSureness:
    """How sure a difference is: the scatter of its readings, the scale's step, and the centre mark for presses."""
    p, length = m.precision, kite.bow.length_m
    both_pressed = left.pressed is not None and right.pressed is not None
    mark = 0.0
    from_both_ends = p.marked_from_both_ends if kite.bow.mark is None else kite.bow.mark == "both ends"
    if both_pressed and length is not None and not from_both_ends:
        mark = balance.mark_uncertainty(p.ruler_m, length / 2)
    scatter = ((parts(d, PRESS), float(p.presses.degrees)), (parts(d, DROP), float(p.drops.degrees)))
    step = parts(d, STEP)
    return DifferenceSureness(
        tuple(part for part in scatter if part[0]),
        (step**2 + mark**2) ** 0.5,
        min(_count(left), _count(right)),
    )


def _count(half: Half) -> int:
    reading = half.reading
    return len(reading.values_N if isinstance(reading, Press) else reading.drops_m)


def _wanting(kite: Kite, bare: BareBow) -> str:
    missing = [side for side in SIDES if bare.half(side) is None]
    if len(missing) == 2:
        return "A reading of both halves."
    if missing:
        return f"A reading of the {missing[0]} half."
    if kite.bow.length_m is None:
        return "The bow's length: the two halves were not measured in one and the same way."
    return "Readings of both halves that a rod can give."


def round_balance(book: Book, kite: Kite, n: int, bench: Round, m: Measuring) -> RoundBalance:
    """What one bare round of a kite's bow showed; `n` is its number."""
    aside = Ledger(kite)  # what is wanting here is said by the last round

    def half(side: Side) -> Half | None:
        reading = reading_of(bench, side)
        return half_from(reading, kite, side, m, aside, f"bench.{n}.{side}") if reading else None

    left, right = half("left"), half("right")
    d = apart(kite, left, right)
    difference, verdict = None, None
    if d is not None and left and right:
        sure = sureness(d, kite, left, right, m)
        difference = Measured(float(d.nominal_value), sure.u)
        verdict = balance.verdict(difference.value, sure, book.settings.tolerance)
    return RoundBalance(
        bench.on,
        difference,
        verdict,
        _read(left),
        _read(right),
        measured(m.press(bench.whole)) if bench.whole else None,
    )


def _read(half: Half | None) -> Measured | None:
    return measured(half.pressed.read) if half and half.pressed else None
