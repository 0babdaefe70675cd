"""The next bow: from a wind, or from a favourite, to the reading the scale must show and the rod to shave it from."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Flight, Kite, Press, Wind
from bowbook.findings.build_targets import target_half
from bowbook.findings.halves import hold_factor
from bowbook.findings.results import BookFindings, Findings, FlyerFindings, Range
from bowbook.findings.rod_choice import RodChoice, Wanted, choose_rods
from bowbook.findings.winds import CALM_m_s, at_book_height
from bowbook.mechanics import column, sail
from bowbook.mechanics.planning import press_target, rigidity_for_flex


class PlanError(ValueError):
    """There is too little to plan from; the message says what would help."""


class Estimate(Struct, frozen=True):
    """A planned figure in SI; `u` is its standard uncertainty, None where nobody can say how sure it is."""

    value: float
    u: float | None


class Plan(Struct, frozen=True):
    """What the next bow should read, and which rods can give it.

    `press_N` is the reading of either half on the scale, `band_N` the readings for the edges of the wanted wind
    (for a favourite: within the book's tolerance of its own). `assumed` are sentences on what was taken for granted.
    """

    kite: Kite
    wind: Range | None
    flyer: str | None
    flex_m_s: Estimate | None
    skin: str | None
    skin_EI_Nm2: float | None
    skin_how: str | None
    total_EI_Nm2: Estimate
    bow_EI_Nm2: Estimate
    band_EI_Nm2: Range
    press_N: Estimate
    band_N: Range
    hold: float
    rods: tuple[RodChoice, ...] = ()
    assumed: tuple[str, ...] = ()


def plan_for_wind(
    book: BookFindings,
    key: str,
    wind: Wind,
    rods: tuple[str, ...],
    flyer: str | None = None,
    skin: str | None = None,
) -> Plan:
    """The bow that makes the kite `key` at home in `wind`. Raises PlanError, saying what is wanting."""
    found = book.kites[key]
    half_m = _half(found)
    assumed: list[str] = []
    wanted = _at_height(book, wind)
    who = _flyer(book, flyer, assumed)
    middle = flex_for(who, math.sqrt(wanted.low * wanted.high))
    skin_key, skin_EI, skin_how = _skin(book, found, skin, assumed)
    per_flex = _rigidity_per_flex2(book, found, half_m)
    total = middle.value**2 * per_flex
    edges = [flex_for(who, edge).value ** 2 * per_flex - skin_EI for edge in _edges(wanted, who)]
    bow = total - skin_EI
    if bow <= 0:
        raise PlanError(
            f"The skin {skin_key} alone is stiffer than that wind asks for: no bow is soft enough under it. "
            "Choose a softer skin, a stronger wind or a larger sail."
        )
    u = None if middle.u is None else 2 * total * middle.u / middle.value
    return _with_rods(
        book,
        Plan(
            kite=found.kite,
            wind=wanted,
            flyer=who.name if who else None,
            flex_m_s=middle,
            skin=skin_key,
            skin_EI_Nm2=skin_EI,
            skin_how=skin_how,
            total_EI_Nm2=Estimate(total, u),
            bow_EI_Nm2=Estimate(bow, u),
            band_EI_Nm2=Range(max(edges[0], 0.0), max(edges[1], 0.0)),
            press_N=Estimate(0.0, 0.0),
            band_N=Range(0.0, 0.0),
            hold=_hold(found.kite),
            assumed=tuple(assumed),
        ),
        half_m,
        rods,
    )


def plan_like(book: BookFindings, key: str, rods: tuple[str, ...], skin: str | None = None) -> Plan:
    """The readings that repeat the favourite `key` from other stock. Raises PlanError."""
    found = book.kites[key]
    half_m = _half(found)
    left, right = found.bow.left.EI_Nm2, found.bow.right.EI_Nm2
    if left is None or right is None:
        raise PlanError(f"{found.kite.name} has no readings of both halves to repeat: bowbook bench {key}")
    bow, u = (left.value + right.value) / 2, math.hypot(left.u, right.u) / 2
    assumed: list[str] = []
    own = found.skin.EI_Nm2
    skin_key: str | None = found.kite.sail.skin
    skin_EI: float | None = own.value if own else None
    skin_how: str | None = found.skin.how
    total = bow + (skin_EI or 0.0)
    if skin is not None and skin != found.kite.sail.skin:
        if own is None:
            raise PlanError(f"What {found.kite.name}'s own skin adds is not known, so another cannot be allowed for.")
        skin_key, skin_EI, skin_how = _skin(book, found, skin, assumed)
        bow = total - skin_EI
        if bow <= 0:
            raise PlanError(f"The skin {skin_key} alone is stiffer than {found.kite.name} whole: choose a softer one.")
    tolerance, flex = book.book.settings.tolerance, found.wind.flex_m_s
    plan = Plan(
        kite=found.kite,
        wind=found.wind.range,
        flyer=found.wind.flyer,
        flex_m_s=Estimate(flex.value, flex.u) if flex else None,
        skin=skin_key,
        skin_EI_Nm2=skin_EI,
        skin_how=skin_how,
        total_EI_Nm2=Estimate(total, u),
        bow_EI_Nm2=Estimate(bow, u),
        band_EI_Nm2=Range(bow * (1 - tolerance / 2), bow * (1 + tolerance / 2)),
        press_N=Estimate(0.0, 0.0),
        band_N=Range(0.0, 0.0),
        hold=_hold(found.kite),
        assumed=tuple(assumed),
    )
    return _as_the_sheet_says(_with_rods(book, plan, half_m, rods), found, tolerance)


def _as_the_sheet_says(plan: Plan, found: Findings, tolerance: float) -> Plan:
    """The plan with the favourite's own target reading, where its skin stays: the one its sheet prints."""
    target = target_half(found, tolerance) if plan.skin == found.kite.sail.skin else None
    if target is None:
        return plan
    share = target.press_N / plan.press_N.value
    u = None if plan.press_N.u is None else plan.press_N.u * share
    return replace(plan, press_N=Estimate(target.press_N, u), band_N=Range(target.low_N, target.high_N))


def _with_rods(book: BookFindings, plan: Plan, half_m: float, rods: tuple[str, ...]) -> Plan:
    """The plan with its rigidities turned into readings, and every rod judged against them."""
    per_EI = press_target(1.0, half_m, plan.hold)
    band, bow = plan.band_EI_Nm2, plan.bow_EI_Nm2
    wanted = Wanted(bow.value, band, plan.skin_EI_Nm2 or 0.0, _centre(plan), per_EI)
    return replace(
        plan,
        press_N=Estimate(bow.value * per_EI, None if bow.u is None else bow.u * per_EI),
        band_N=Range(band.low * per_EI, band.high * per_EI),
        rods=choose_rods(book, plan.kite, rods, wanted),
        assumed=(*plan.assumed, *_pressed_how(plan.hold), *_no_span(plan.kite)),
    )


def _centre(plan: Plan) -> float | None:
    """The wind that the target is centred on, m/s; None where the plan has none."""
    return math.sqrt(plan.wind.low * plan.wind.high) if plan.wind else None


def _half(found: Findings) -> float:
    length = found.kite.bow.length_m
    if length is None:
        raise PlanError(f"{found.kite.name} has no bow length: write bow: {{length: …}} in {found.kite.file}.")
    return length / 2


def _hold(kite: Kite) -> float:
    """How the last press of a half was held, which is how the next will be: its effective-length factor."""
    for bench in reversed(kite.bench):
        for reading in (bench.left, bench.right):
            if isinstance(reading, Press):
                return hold_factor(reading.hold)
    return column.PINNED


def _pressed_how(hold: float) -> tuple[str, ...]:
    held = "freely, as on a hinge" if hold == column.PINNED else f"with an effective-length factor of {hold:.3g}"
    return (
        f"The readings are for one half pressed on the scale, its other end held {held}, without the rod's own weight.",
        "The new bow is taken as one section all along, as long as this kite's.",
    )


def _no_span(kite: Kite) -> tuple[str, ...]:
    if kite.bow.span_m is not None:
        return ()
    return (f"How far the rod is strained is not known: write the bow's span in {kite.file}.",)


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


def flex_for(flyer: FlyerFindings | None, wind_m_s: float) -> Estimate:
    """The flex wind of a kite whose best wind is centred on `wind_m_s`, with what the flyer's records leave open."""
    if flyer is None or flyer.ratio_low is None or flyer.ratio_high is None:
        return Estimate(wind_m_s, None)
    ratio = math.sqrt(flyer.ratio_low * flyer.ratio_high)
    spread = (flyer.spread or 0.0) * math.sqrt(1 + 1 / flyer.kites)
    return Estimate(wind_m_s / ratio, wind_m_s / ratio * spread)


def _edges(wanted: Range, flyer: FlyerFindings | None) -> tuple[float, float]:
    """The winds to centre a kite on at the least and the most: the wanted edges, or all that reach a single wind."""
    if wanted.high > wanted.low or flyer is None or flyer.ratio_low is None or flyer.ratio_high is None:
        return wanted.low, wanted.high
    reach = math.sqrt(flyer.ratio_high / flyer.ratio_low)
    return wanted.low / reach, wanted.high * reach


def _skin(
    book: BookFindings, found: Findings, named: str | None, assumed: list[str]
) -> tuple[str | None, float, str | None]:
    """The skin, its rigidity on this sail, and how that is known; 0 and a sentence where it is not."""
    own = found.kite.sail.skin
    if named is not None and named not in book.skins:
        raise PlanError(f"There is no skin {named} in stock. Skins: {', '.join(book.skins) or 'none'}.")
    if (named is None or named == own) and found.skin.EI_Nm2 is not None:
        return own, max(found.skin.EI_Nm2.value, 0.0), found.skin.how
    key = named or own
    stock, chord = book.skins.get(key or ""), found.sail.mean_chord_m
    if stock is not None and chord is not None:
        if stock.mean_per_chord_Nm is not None:
            return key, stock.mean_per_chord_Nm.value * chord, "same skin"
        if stock.bending_rigidity_Nm is not None:
            assumed.append("The skin's part is its own bending only, a floor: a covered press would show more.")
            return key, stock.bending_rigidity_Nm * chord, "bending only"
    assumed.append("What the skin adds is not known and was left out: press the covered bow to know it.")
    return key, 0.0, None


def _rigidity_per_flex2(book: BookFindings, found: Findings, half_m: float) -> float:
    """Total rigidity over the square of the flex wind for this sail with a uniform bow, N m² per (m/s)²."""
    outline = found.kite.sail.outline
    if not outline or not found.sail.width_m:
        raise PlanError(f"{found.kite.name} has no sail outline: write sail: {{outline: …}} in {found.kite.file}.")
    out, chords = sail.chord(outline)
    return rigidity_for_flex(1.0, half_m, out, chords, found.sail.width_m, book.air_kg_m3)
