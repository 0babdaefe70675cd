"""Values that may be right and look like a slip: what is odd, what to look at. No numerics: `check` uses it too."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from math import log, pi
from statistics import median
from typing import Literal

from msgspec import Struct

from bowbook.book.problems import Problem, location_of
from bowbook.book.records import Book, Bow, Droop, Kite, Press, Reading, Rod, Round, Sag, Section, Side, Units
from bowbook.book.stock import rod_material
from bowbook.book.unit_tables import FACTORS
from bowbook.book.units import show, unit_of
from bowbook.findings.readings import mean_N, reading_of
from bowbook.findings.sections import rod_density, second_moment, section_area
from bowbook.findings.states import SIDES, State, states_of
from bowbook.findings.strips import as_a_kite
from bowbook.format.stock_file import STRIPS
from bowbook.mechanics import sail

ASTRAY = 6.0  # times its neighbours, or a sixth of them: no hand slips so far, a decimal point does
APART = 0.4  # of their mean: two ends of one rod differ by less
SOFTENED = 0.5  # of what it read: no bow takes a set so deep
UNDER_BARE = 0.03  # of the bare reading: a covered one may scatter that far below it
HANDBOOK = 2.0  # times a handbook's range either way: no rod of that material is outside
MASS = 3.0  # times what section and length weigh
LEAST_PART, MOST_PARTS, USUAL_PARTS = 0.5, 10.0, 2.5  # times what its own sail and sticks weigh
LOADING = 8.0  # times the middle of the book's other kites
_FEWEST_OTHERS = 3
_MIXED = {"force": ("oz", "g", "kg", "lb", "N"), "mass": ("oz", "g", "kg", "lb")}  # units that makers mix up
_NEAR = 2.5  # times what is usual: so near a slip explains a value
_OF_WHOLE = (0.25, 3.5)  # of a half's reading over four: what the whole bow reads
_DEEP = 0.35  # of a droop's length: deeper, the simple beam says nothing
_BOW_OUT, _HAND = 1.034, 0.93  # as section `How sure` takes them; here a guess will do


class Odd(Struct, frozen=True):
    """A value that looks like a slip: where it stands in the kite's file, what is odd, and what to look at."""

    path: str
    what: str
    instead: str
    kind: Literal["beside", "apart", "under bare", "rod", "mass"]

    @property
    def said(self) -> str:
        """The same as a sentence that says where: "Round 2, left: 2140 g is 10 times the readings beside it. …"."""
        head, _, part = self.path.rpartition(".")
        number = head.removeprefix("bench.")
        where = f"Round {int(number) + 1}, {part}: " if number.isdigit() else ""
        what = self.what if where else self.what[:1].upper() + self.what[1:]
        return f"{where}{what}. {self.instead}"


def odd_values(kite: Kite, book: Book) -> tuple[Odd, ...]:
    """What looks like a slip in one kite, each place once: readings beside each other, beside the rod, and masses.

    Of `book` only the settings' units and the kite's own stock are looked at.
    """
    units, states = book.settings.units, states_of(kite)
    found: dict[str, Odd] = {}
    for state in _last_of_each_bow(states):
        for odd in (*_beside_each_other(state, units), *_apart(state), *_beside_the_rod(state, book.rods, units)):
            slipped = {path.rpartition(".")[0] for path, one in found.items() if one.kind == "beside"}
            if odd.kind != "apart" or odd.path.rpartition(".")[0] not in slipped:  # one slip is asked about once
                found.setdefault(odd.path, odd)
    for odd in (*(odd for state in states for odd in _under_bare(state, units)), *_masses(kite, book)):
        found.setdefault(odd.path, odd)
    return tuple(found.values())


def odd_in_book(book: Book) -> tuple[Problem, ...]:
    """Every value of a book that looks like a slip, each once, at its place in its file: of kites and loose strips."""
    masses = dict(odd_masses(book))
    found = []
    for key, kite in book.kites.items():
        odd = {one.path: one for one in (*odd_values(kite, book), *([masses[key]] if key in masses else []))}
        for one in odd.values():
            where = location_of(one.path, book.places[key], kite.file)
            found.append(Problem(where, one.what, one.instead))
    for key, strip in book.strips.items():
        for one in odd_values(as_a_kite(strip), book):
            path = f"{key}.{one.path.removeprefix('bow.')}"
            found.append(Problem(location_of(path, book.places[STRIPS], STRIPS), one.what, one.instead))
    return tuple(sorted(found, key=lambda one: one.location[:3]))


def odd_masses(book: Book) -> Iterator[tuple[str, Odd]]:
    """Kites (by key) whose mass for their sail is far from that of the book's other kites."""
    loadings = {
        key: kite.mass_kg / sail.area(kite.sail.outline)
        for key, kite in book.kites.items()
        if kite.mass_kg and kite.sail.outline and not kite.example
    }
    rising = sorted(loadings.values())
    if len(rising) <= _FEWEST_OTHERS:
        return
    for key, loading in loadings.items():
        ratio = loading / _median_of_others(rising, loading)
        if not 1 / LOADING < ratio < LOADING:
            kite, units = book.kites[key], book.settings.units
            assert kite.mass_kg is not None
            mass = show(kite.mass_kg, "mass", units)
            what = f"{mass} for this sail is {_times(ratio)} what the book's other kites weigh"
            yield key, Odd("mass", what, _slip(kite.mass_kg, ratio, "mass", units), "mass")


def _median_of_others(rising: Sequence[float], value: float) -> float:
    """The median of rising values but for one of them.

    >>> _median_of_others([1.0, 2.0, 4.0, 8.0], 2.0), _median_of_others([1.0, 2.0, 4.0, 8.0, 9.0], 8.0)
    (4.0, 3.0)
    """
    left_out, others = bisect_left(rising, value), len(rising) - 1
    low, high = (rising[n + (n >= left_out)] for n in ((others - 1) // 2, others // 2))
    return (low + high) / 2


def _last_of_each_bow(states: Sequence[State]) -> tuple[State, ...]:
    """Each bow the kite ever had, with all its bare rounds."""
    return tuple({(state.bow, state.bow_number): state for state in states}.values())


def _filed(state: State, path: str) -> str:
    head, _, part = path.rpartition(".")
    return f"{state.filed.get(head, head)}.{part}"


def _parts(one: Round) -> Iterator[tuple[str, Press]]:
    for part, reading in (("left", one.left), ("right", one.right), ("whole", one.whole)):
        if isinstance(reading, Press):
            yield part, reading


def _how(reading: Press) -> tuple[object, ...]:
    """How it was pressed: only readings of one way are neighbours."""
    return reading.length_m, reading.hold


def _beside_each_other(state: State, units: Units) -> Iterator[Odd]:
    """Readings ten times, or a tenth, of the others of their kind: of both halves in every round, or of the whole."""
    readings = [(i, part, one) for i, bench in enumerate(state.kite.bench) for part, one in _parts(bench)]
    for i, part, reading in readings:
        kin = [
            value
            for n, other, one in readings
            if (n, other) != (i, part) and (part == "whole") == (other == "whole") and _how(one) == _how(reading)
            for value in one.values_N
        ]
        worst, ratio = 0.0, 1.0
        for k, value in enumerate(reading.values_N):
            others = [*reading.values_N[:k], *reading.values_N[k + 1 :]]
            beside = others if len(others) > 1 else [*others, *kin]  # its own repeats know best
            if beside and abs(log(value / median(beside))) >= max(log(ASTRAY), abs(log(ratio))):
                worst, ratio = value, value / median(beside)
        if worst:
            what = f"{show(worst, 'force', units)} is {_times(ratio)} the readings beside it"
            yield Odd(_filed(state, f"bench.{i}.{part}"), what, _slip(worst, ratio, "force", units), "beside")
    for i, bench in enumerate(state.kite.bench):
        yield from _whole_beside_halves(state, i, bench, units)


def _whole_beside_halves(state: State, i: int, bench: Round, units: Units) -> Iterator[Odd]:
    if bench.whole is None or not isinstance(bench.left, Press) or not isinstance(bench.right, Press):
        return
    if any(reading.length_m or reading.hold for reading in (bench.left, bench.right, bench.whole)):
        return
    ratio = 8 * mean_N(bench.whole) / (mean_N(bench.left) + mean_N(bench.right))
    if not _OF_WHOLE[0] < ratio < _OF_WHOLE[1]:
        what = f"the whole bow reads {show(mean_N(bench.whole), 'force', units)}: about a quarter of a half is usual"
        yield Odd(_filed(state, f"bench.{i}.whole"), what, _slip(mean_N(bench.whole), ratio, "force", units), "beside")


def _times(ratio: float) -> str:
    return f"{ratio:.0f} times" if ratio > 1 else f"1/{1 / ratio:.0f} of"


def _slip(value: float, ratio: float, kind: str, units: Units) -> str:
    """What may have been meant by a value that is `ratio` times what it should be about."""
    unit = unit_of(kind, units)
    figure = value / FACTORS[kind][unit]
    slips = [
        (f"If that is {other}", figure, other, ratio * FACTORS[kind][other] / FACTORS[kind][unit])
        for other in _MIXED[kind]
    ]
    slips += [("If the decimal point slipped", figure * by, unit, ratio * by) for by in (0.1, 10.0)]
    why, meant, in_unit, off = min(slips, key=lambda slip: abs(log(slip[3])))
    if abs(log(off)) < log(_NEAR):
        return f"{why}, write {meant:.4g} {in_unit}. If it is right, leave it."
    return f"{'Weigh' if kind == 'mass' else 'Measure'} it again, and look at its unit. If it is right, leave it."


def _apart(state: State) -> Iterator[Odd]:
    """Halves of the newest round with both that differ by more than two ends of one rod do."""
    for i in reversed(range(len(state.kite.bench))):
        left, right = state.kite.bench[i].left, state.kite.bench[i].right
        if isinstance(left, Press) and isinstance(right, Press):
            d = (mean_N(left) - mean_N(right)) / (mean_N(left) + mean_N(right)) * 2
            if abs(d) > APART and (left.length_m, left.hold, left.rise_m) == (right.length_m, right.hold, right.rise_m):
                what = f"the halves read {abs(d):.0%} apart, more than two ends of one rod do".replace("%", " %")
                side = "left" if d > 0 else "right"
                yield Odd(
                    _filed(state, f"bench.{i}.{side}"),
                    what,
                    "Look whether the centre mark is in the middle, and whether both were pressed in the same way.",
                    "apart",
                )
            return


def _under_bare(state: State, units: Units) -> Iterator[Odd]:
    """Covered readings under the bare ones of the same half in the same state."""
    covered, bench = state.kite.covered, state.kite.bench
    if covered is None or not state.told:
        return
    for side in SIDES:
        with_skin = covered.left if side == "left" else covered.right
        bare = None
        for one in reversed(bench):
            if one.shaves and one is not bench[-1]:
                break
            reading = one.left if side == "left" else one.right
            if isinstance(reading, Press):
                bare = reading
                break
        if with_skin is None or bare is None or _how(with_skin) != _how(bare):
            continue
        covered_N, bare_N = median(with_skin.values_N), median(bare.values_N)
        least = (1 - UNDER_BARE) * bare_N
        if covered_N < least and not _went_soft(state, side, covered_N, least):
            what = (
                f"the {side} half reads {show(covered_N, 'force', units)} with the skin on, "
                f"less than {show(bare_N, 'force', units)} bare"
            )
            path = state.filed.get(f"covered.{side}", f"covered.{side}")
            yield Odd(
                path, what, "A skin can only add stiffness: press the covered bow again, held alike.", "under bare"
            )


def _went_soft(state: State, side: Side, covered_N: float, least_N: float) -> bool:
    """Whether a half that was pressed with this skin on in order reads on a later day no less than a bow may soften."""
    on = state.kite.covered.on if state.kite.covered else None
    before = [one.round for one in state.covered if one.round.on != on]
    first = next((one for bench in before if isinstance(one := reading_of(bench, side), Press)), None)
    return first is not None and least_N <= median(first.values_N) <= covered_N / SOFTENED


def _beside_the_rod(state: State, rods: Mapping[str, Rod], units: Units) -> Iterator[Odd]:
    """Readings that no rod of that section and material gives."""
    bow, bench = state.kite.bow, state.kite.bench
    rod = rods.get(bow.rod or "")
    modulus = _modulus(rod)
    if rod is None or modulus is None:
        return
    shaved = False
    for i, one in enumerate(bench):
        for part, reading in (("left", one.left), ("right", one.right), ("whole", one.whole)):
            sections = _sections(bow, rod, part)
            EI = _about(reading, bow, part) if reading is not None else None
            if EI is None or not sections or ((bow.left or bow.right) and i < len(bench) - 1):
                continue
            moments = [second_moment(section) for section in sections]
            least, most = modulus[0] * min(moments), modulus[1] * max(moments)
            too = (
                "more" if most < EI else "less" if least > EI and not (shaved and not (bow.left or bow.right)) else None
            )
            if too is None:
                continue
            limit = most if too == "more" else least
            what = (
                f"this makes a stiffness of {show(EI, 'rigidity', units)}, and no rod of the section and material of "
                f"{rod.key} has {too} than {show(limit, 'rigidity', units)}"
            )
            length = f", the bow's length ({show(bow.length_m, 'length', units)})" if bow.length_m else ""
            hint = f"Look at the reading and its unit{length}, and the section in content/stock/rods.yaml."
            yield Odd(_filed(state, f"bench.{i}.{part}"), what, hint, "rod")
        shaved = shaved or bool(one.shaves)


def _modulus(rod: Rod | None) -> tuple[float, float] | None:
    """The least and the most that a rod's modulus can be, Pa."""
    if rod is None:
        return None
    if rod.modulus_Pa is not None:
        return rod.modulus_Pa / HANDBOOK, rod.modulus_Pa * HANDBOOK
    material = rod_material(rod.material)
    return (material.modulus_Pa.low / HANDBOOK, material.modulus_Pa.high * HANDBOOK) if material else None


def _sections(bow: Bow, rod: Rod, part: str) -> list[Section]:
    stations = (bow.left if part != "right" else ()) + (bow.right if part != "left" else ())
    own = [rod.section] if rod.section is not None and not (stations and part != "whole") else []
    return [*(station.section for station in stations), *own]


def _about(reading: Reading, bow: Bow, part: str) -> float | None:
    """The stiffness behind a reading, N m², by the simplest formula; None without a length, or bent too deep."""
    if isinstance(reading, Sag):
        return reading.load_N * reading.span_m**3 / (48 * sum(reading.drops_m) / len(reading.drops_m))
    if isinstance(reading, Droop):
        drop = sum(reading.drops_m) / len(reading.drops_m)
        return reading.load_N * reading.length_m**3 / (3 * drop) if drop < _DEEP * reading.length_m else None
    half = bow.length_m / 2 if bow.length_m else None
    free = reading.length_m or (bow.length_m if part == "whole" else half)
    if free is None:
        return None
    fingers = 1.0 if part == "whole" else _HAND
    factor = (
        {None: fingers, "pinned": 1.0, "hinge": 1.0, "clamped": 0.7}.get(reading.hold)
        if not isinstance(reading.hold, float)
        else reading.hold
    )
    return mean_N(reading) / _BOW_OUT * ((factor or 1.0) * free / pi) ** 2


def _masses(kite: Kite, book: Book) -> Iterator[Odd]:
    """A bow that its section and length do not weigh; a kite that its own parts do not."""
    bow, units = kite.bow, book.settings.units
    bow_kg = _of_rod(book.rods.get(bow.rod or ""), bow.length_m)
    tapers = bool(bow.left or bow.right)
    if bow.mass_kg and bow_kg and not tapers and not 1 / MASS < bow.mass_kg / bow_kg < MASS:
        what = (
            f"a bow of {show(bow.length_m or 0.0, 'length', units)} from {bow.rod} weighs about "
            f"{show(bow_kg, 'mass', units)}, not {show(bow.mass_kg, 'mass', units)}"
        )
        yield Odd("bow.mass", what, _slip(bow.mass_kg, bow.mass_kg / bow_kg, "mass", units), "mass")
        return
    skin = book.skins.get(kite.sail.skin or "")
    sail_kg = (
        skin.areal_kg_m2 * sail.area(kite.sail.outline) if skin and skin.areal_kg_m2 and kite.sail.outline else None
    )
    weighed = bow.mass_kg or (None if tapers else bow_kg)
    parts = sum(
        part or 0.0 for part in (weighed, sail_kg, _of_rod(book.rods.get(kite.spine.rod or ""), kite.spine.length_m))
    )
    if not kite.mass_kg or not parts:
        return
    ratio = kite.mass_kg / parts
    if ratio < LEAST_PART or (ratio > MOST_PARTS and weighed and sail_kg):
        what = (
            f"{show(kite.mass_kg, 'mass', units)} for the whole kite, and its sail and sticks alone weigh about "
            f"{show(parts, 'mass', units)}"
        )
        yield Odd("mass", what, _slip(kite.mass_kg, ratio / USUAL_PARTS, "mass", units), "mass")


def _of_rod(rod: Rod | None, length_m: float | None) -> float | None:
    """What a length of a rod weighs, kg."""
    density = rod_density(rod)
    if rod is None or rod.section is None or density is None or length_m is None:
        return None
    return density * section_area(rod.section) * length_m
