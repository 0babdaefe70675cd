"""The next bow: from a wind, or from a favourite, to the reading the scale must show and the rod to shave it from."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Flight, Kite, Wind
from bowbook.findings.bench_results import Measured
from bowbook.findings.cloth import bending_rigidity
from bowbook.findings.flexing import span_of
from bowbook.findings.flyers import Estimate, flex_for
from bowbook.findings.ledger import Ledger
from bowbook.findings.results import BookFindings, Findings, FlyerFindings, Range
from bowbook.findings.winds import CALM_m_s, at_book_height, outside_records, sail_findings
from bowbook.mechanics import elastica, sail, tension
from bowbook.mechanics.air import STANDARD_GRAVITY
from bowbook.mechanics.planning import rigidity_for_thrust
from bowbook.planner.masses import bow_mass
from bowbook.planner.next_press import PressedHow, pressed_how
from bowbook.planner.rod_choice import RodChoice, Wanted, choose_rods


class PlanError(ValueError):
    """There is too little to plan from; the message says what would help."""


class BowPlan(Struct, frozen=True):
    """What the next bow should read, and which rods can give it.

    `press_N` is the reading of either half on the scale, `band_N` the readings for the edges of the wanted wind
    (for a favourite: within the book's tolerance of its own). `heed` are sentences to read before any number,
    `assumed` sentences on what was taken for granted.
    """

    kite: Kite
    wind: Range | None
    flyer: str | None
    flex_m_s: Estimate
    skin: str | None
    skin_EI_Nm2: float
    skin_how: str | None
    total_EI_Nm2: Estimate
    bow_EI_Nm2: Estimate
    band_EI_Nm2: Range
    press_N: Estimate
    band_N: Range
    rods: tuple[RodChoice, ...]
    heed: tuple[str, ...]
    assumed: tuple[str, ...]


class PlannedKite(Struct, frozen=True):
    """The kite that is planned: length of its bow and span, m, the first moment of half its sail, m³, and air."""

    kite: Kite
    length_m: float
    span_m: float
    moment_m3: float
    mean_chord_m: float
    air_kg_m3: float

    def rigidity(self, flex_m_s: float) -> float:
        """Rigidity of bow and skin together that makes it flex in a wind, N m²."""
        thrust = tension.thrust_for_flex(flex_m_s, self.span_m, self.moment_m3, self.air_kg_m3)
        return rigidity_for_thrust(thrust, self.length_m, self.span_m)

    def flex(self, EI: float) -> float:
        """The wind in which a uniform bow with that rigidity, skin and all, flexes, m/s."""
        thrust = elastica.bend_uniform(EI, self.length_m, tension.folded_span(self.span_m)).thrust_N
        return tension.flex_wind(thrust, self.span_m, self.moment_m3, self.air_kg_m3)


class _Skin(Struct, frozen=True):
    """The planned kite's skin: its rigidity and standard uncertainty, N m², and how that is known."""

    key: str | None
    EI: float
    u: float
    how: str | None


class _Aim(Struct, frozen=True):
    """What a bow is planned for: a wind and whose, the flex wind, the rigidities that will do, N m², what to heed."""

    wind: Range | None
    flyer: str | None
    flex: Estimate
    band: Range
    heed: tuple[str, ...] = ()


def plan_for_wind(
    book: BookFindings,
    key: str,
    wind: Wind,
    rods: tuple[str, ...],
    flyer: str | None = None,
    skin: str | None = None,
    scale: float = 1.0,
) -> BowPlan:
    """The bow that makes the kite `key`, in another size if `scale` is not 1, at home in `wind`. Raises PlanError."""
    found = book.kites[key]
    frame = _frame(book, found, scale)
    assumed: list[str] = []
    wanted = _at_height(book, wind)
    who = _flyer(book, flyer, assumed)
    middle = flex_for(who, math.sqrt(wanted.low * wanted.high))
    cloth = _skin(book, found, skin, frame, assumed)
    low, high = (frame.rigidity(flex_for(who, edge).value) - cloth.EI for edge in _edges(wanted, who))
    heed = _heed(found, who, wanted, middle, scale)
    aim = _Aim(wanted, who.name if who else None, middle, Range(max(low, 0.0), max(high, 0.0)), heed)
    return _plan(book, found, frame, cloth, aim, rods, scale, assumed)


def plan_like(
    book: BookFindings, key: str, rods: tuple[str, ...], skin: str | None = None, scale: float = 1.0
) -> BowPlan:
    """The readings that repeat the favourite `key`, flexing in the same wind, from other stock. Raises PlanError."""
    found = book.kites[key]
    frame = _frame(book, found, scale)
    assumed: list[str] = []
    flex = found.wind.flex_m_s
    own = _frame(book, found, 1.0)
    if flex is None:
        thrust = found.shape.thrust_N
        if thrust is None:
            raise PlanError(
                f"{found.kite.name} cannot be repeated yet. Wanting: "
                + (found.wanting.get("wind.flex_m_s") or "readings of both halves.")
                + f" Measure it: bowbook bench {key}"
            )
        EI = thrust / elastica.bend_uniform(1.0, own.length_m, own.span_m).thrust_N
        flex = Measured(own.flex(EI))
        cloth = _Skin(found.kite.sail.skin, 0.0, 0.0, None)
        if skin is not None and skin != found.kite.sail.skin:
            raise PlanError(f"What {found.kite.name}'s own skin adds is not known, so another cannot be allowed for.")
        assumed.append("What the skin adds is not known and was left out: the same skin is taken for both.")
    else:
        cloth = _skin(book, found, skin, frame, assumed)
    reach, bow = book.book.settings.tolerance / 2, frame.rigidity(flex.value) - cloth.EI
    band = Range(bow * (1 - reach), bow * (1 + reach))
    aim = _Aim(found.wind.range, found.wind.flyer, Estimate(flex.value, flex.repeat), band)
    return _plan(book, found, frame, cloth, aim, rods, scale, assumed)


def _plan(
    book: BookFindings,
    found: Findings,
    frame: PlannedKite,
    cloth: _Skin,
    aim: _Aim,
    rods: tuple[str, ...],
    scale: float,
    assumed: list[str],
) -> BowPlan:
    """The plan: rigidities from the flex wind, these as readings, and every rod judged against them."""
    total = frame.rigidity(aim.flex.value)
    bow = total - cloth.EI
    if bow <= 0:
        raise PlanError(
            f"The skin {cloth.key} alone is stiffer than that wind asks for: no bow is soft enough under it. "
            "Choose a softer skin, a stronger wind or a larger sail."
        )
    u_total = None if aim.flex.u is None else 2 * total * aim.flex.u / aim.flex.value
    session = math.sqrt(2) * book.session.relative * bow
    u_bow = None if u_total is None else math.hypot(u_total, cloth.u, session)
    pressed = pressed_how(found.kite, frame.length_m / 2, book.hand, book.book.settings.sure, scale)
    weight = (bow_mass(book.book, frame.kite).mass_kg or 0.0) * STANDARD_GRAVITY * pressed.free_m / frame.length_m

    def reading(EI: float) -> float:
        return pressed.reading(EI, weight) if EI > 0 else 0.0

    slope = (reading(1.001 * bow) - reading(0.999 * bow)) / (0.002 * bow)
    centre = math.sqrt(aim.wind.low * aim.wind.high) if aim.wind else None
    wanted = Wanted(bow, aim.band, cloth.EI, centre, pressed, frame.length_m, frame.span_m)
    return BowPlan(
        kite=frame.kite,
        wind=aim.wind,
        flyer=aim.flyer,
        flex_m_s=aim.flex,
        skin=cloth.key,
        skin_EI_Nm2=cloth.EI,
        skin_how=cloth.how,
        total_EI_Nm2=Estimate(total, u_total),
        bow_EI_Nm2=Estimate(bow, u_bow),
        band_EI_Nm2=aim.band,
        press_N=Estimate(reading(bow), None if u_bow is None else u_bow * slope),
        band_N=Range(reading(aim.band.low), reading(aim.band.high)),
        rods=choose_rods(book, rods, wanted),
        heed=aim.heed,
        assumed=(*assumed, *_said(pressed, found.kite)),
    )


def _heed(found: Findings, who: FlyerFindings | None, wanted: Range, middle: Estimate, scale: float) -> tuple[str, ...]:
    """What to know before any number: a wind too weak to carry the kite, a flex wind outside the flyer's records."""
    said = []
    least = found.wind.least_m_s
    if least is not None and scale == 1.0 and wanted.low < least:
        part = "all of it" if wanted.high < least else "its weak end"
        said.append(
            f"This kite is too heavy for that wind, or for {part}: under its least wind it cannot carry itself."
        )
    if who is not None and outside_records(who, middle.value):
        said.append(
            f"{who.name}'s records hold no kite that flexes near this wind: the plan goes beyond what was ever flown."
        )
    return tuple(said)


def _frame(book: BookFindings, found: Findings, scale: float) -> PlannedKite:
    """The kite as planned, in its own or another size. Raises PlanError, saying what is wanting."""
    kite = found.kite
    if kite.bow.length_m is None:
        raise PlanError(f"{kite.name} has no bow length: write bow: {{length: …}} in {kite.file}.")
    if not kite.sail.outline:
        raise PlanError(f"{kite.name} has no sail outline: write sail: {{outline: …}} in {kite.file}.")
    if scale != 1.0:
        kite = _scaled(kite, scale)
    of_sail = sail_findings(kite, Ledger(kite))
    span = span_of(kite, of_sail.width_m)
    if span is None or kite.bow.length_m is None or of_sail.mean_chord_m is None:
        raise PlanError(
            f"{kite.name}'s bow is no longer than its sail is wide, so its tension cannot be known: write "
            f"bow: {{span: …}}, tip to tip, strung, in {kite.file}."
        )
    moment = tension.first_moment(*sail.chord(kite.sail.outline), span / 2)
    return PlannedKite(kite, kite.bow.length_m, span, moment, of_sail.mean_chord_m, book.air_kg_m3)


def _scaled(kite: Kite, scale: float) -> Kite:
    """The same kite in another size: sail, bow length and span in proportion; nothing of it is weighed yet."""
    outline = tuple((out * scale, down * scale) for out, down in kite.sail.outline)
    bow = kite.bow
    return replace(
        kite,
        sail=replace(kite.sail, outline=outline),
        mass_kg=None,
        bow=replace(
            bow,
            length_m=bow.length_m * scale if bow.length_m else None,
            span_m=bow.span_m * scale if bow.span_m else None,
            mass_kg=None,
            left=(),
            right=(),
        ),
    )


def _said(pressed: PressedHow, kite: Kite) -> tuple[str, ...]:
    """What was taken for granted of the press and of the bow."""
    held = {
        None: "in the fingers, as this maker's hand holds",
        "hinge": "in a hinge",
        "pinned": "freely, as on a hinge",
        "clamped": "so that it cannot turn",
    }
    words = held.get(pressed.said) if not isinstance(pressed.said, float) else f"with a factor of {pressed.said:.3g}"
    pressed_so = (
        f"The readings are for one half pressed on a scale zeroed empty, its other end held {words}; the rod's own "
        "weight on the scale is in them."
    )
    said = [
        pressed_so,
        "The new bow is taken as one section all along, as long as this kite's.",
    ]
    if kite.bow.span_m is None:
        said.append(f"The sail's width is taken as the bow's span: write the span in {kite.file} to be surer.")
    return tuple(said)


def _at_height(book: BookFindings, wind: Wind) -> Range:
    """The wanted wind at the height the book compares winds at, m/s."""
    low, high = at_book_height(wind, Flight(), book.book.settings)
    if low is None or high is None or high < CALM_m_s:
        raise PlanError("That is no wind: name the weakest and the strongest you want to fly in, such as 4-7 mph.")
    return Range(max(low, CALM_m_s), high)


def _flyer(book: BookFindings, named: str | None, assumed: list[str]) -> FlyerFindings | None:
    """Whose comfort to plan for: the one named, the book's own, else whoever has most records; None where none has."""
    if named is not None and named not in book.flyers:
        known = ", ".join(book.flyers) or "nobody yet"
        raise PlanError(f"No flight in this book is {named}'s. Flyers: {known}.")
    wanted = named or book.book.settings.flyer
    ready = {name: f for name, f in book.flyers.items() if f.ratio_low is not None}
    if wanted in ready:
        return ready[wanted]
    if named is None and ready:
        return max(ready.values(), key=lambda f: f.kites)
    whose = f"{wanted}'s records are" if wanted else "The records are"
    assumed.append(
        f"{whose} too few to know which flex wind suits which best wind (three kites with a measured stiffness and a "
        "best wind are needed): the middle of the wanted wind is taken as the flex wind itself."
    )
    return None


def _edges(wanted: Range, flyer: FlyerFindings | None) -> tuple[float, float]:
    """The winds to centre a kite on at the least and the most: the wanted edges, or all that reach a single wind."""
    if wanted.high > wanted.low or flyer is None or flyer.ratio_low is None or flyer.ratio_high is None:
        return wanted.low, wanted.high
    reach = math.sqrt(flyer.ratio_high / flyer.ratio_low)
    return wanted.low / reach, wanted.high * reach


def _skin(book: BookFindings, found: Findings, named: str | None, frame: PlannedKite, assumed: list[str]) -> _Skin:
    """The skin on the planned sail, and how it is known; nothing, and a sentence, where it is not."""
    own, chord = found.kite.sail.skin, found.sail.mean_chord_m
    if named is not None and named not in book.skins:
        raise PlanError(f"There is no skin {named} in stock. Skins: {', '.join(book.skins) or 'none'}.")
    if (named is None or named == own) and found.skin.EI_Nm2 is not None and chord:
        part = frame.mean_chord_m / chord
        EI = found.skin.EI_Nm2
        if EI.least:
            assumed.append("The skin's part is its own bending only, a floor: a covered press would show more.")
        return _Skin(own, EI.value * part, EI.doubt * part, found.skin.how)
    key = named or own
    stock = book.skins.get(key or "")
    if stock is not None:
        expected = stock.mean_per_chord_Nm
        if expected is not None:
            return _Skin(key, expected.value * frame.mean_chord_m, expected.doubt * frame.mean_chord_m, "same skin")
        floor = bending_rigidity(stock.skin)
        if floor is not None:
            assumed.append("The skin's part is its own bending only, a floor: a covered press would show more.")
            return _Skin(key, floor * frame.mean_chord_m, 0.0, "lower bound")
    assumed.append("What the skin adds is not known and was left out: press the covered bow to know it.")
    return _Skin(key, 0.0, 0.0, None)
