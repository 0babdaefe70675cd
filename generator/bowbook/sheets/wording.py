"""The sheet in words: every figure of a kite that a friend needs to build it, section by section."""

from __future__ import annotations

from bowbook.book.records import Bridle, Kite, Rod, Section, Skin, Units
from bowbook.book.units import second, show, show_range, to_unit, unit_of
from bowbook.findings.results import BookFindings, Findings
from bowbook.planner.masses import MassPart, mass_budget
from bowbook.planner.target_reading import TargetReading, covered_target, target_half
from bowbook.sheets.bend import BEND_MM, bend_words, draw_bend
from bowbook.sheets.building_order import building_steps
from bowbook.sheets.content import SpecRow, SpecTable
from bowbook.sheets.content import SpecSection as SheetSection
from bowbook.sheets.outline import Flat
from bowbook.wording import numbers
from bowbook.wording.target import built_to, target_said

# Usual practice, deferring to local rules and to the people licensed to decide.
CAUTIONS = (
    "Rods splinter, and can shatter when bent too far: wear eye protection, and keep to the strain limit.",
    "Carbon and glass dust harm lungs and skin: sand wet, with gloves and a respirator rated for fine dust.",
    "Knives: cut on a board, away from the hand that holds.",
    "Carbon rods and wet lines conduct: never fly near overhead power lines or when thunder is about.",
    "Keep under the local height limit and away from airports, airfields and aircraft.",
    "A line under load cuts skin: wear gloves; keep bystanders, cyclists and animals clear.",
    "Coated or glass-covered lines are banned in many places: ask before you bring one.",
    "Local law, and the people licensed to decide, come before anything printed here.",
)


def sections(findings: BookFindings, key: str, flat: Flat | None) -> tuple[SheetSection, ...]:
    """Every section of a kite's sheet, in the order it is printed."""
    kite = findings.kites[key]
    units = findings.book.settings.units
    return (
        _sail(findings, kite, units),
        _bow(findings, kite, flat, units),
        _press(findings, kite, units),
        _shave(kite, units),
        _mass(findings, kite, units),
        _bridle(kite, units),
        _wind(findings, kite, units),
        *_order(kite.kite),
    )


def length(value_m: float | None, units: Units) -> str | None:
    """A length in words, or None."""
    return None if value_m is None else numbers.ruled(value_m, units)


def _sail(book: BookFindings, f: Findings, units: Units) -> SheetSection:
    unit = unit_of("length", units)
    skin = book.book.skins.get(f.kite.sail.skin or "")
    seam = book.book.settings.seam_m
    return SheetSection(
        "sail",
        "Sail",
        (
            SpecRow("Width", length(f.sail.width_m, units), unit, "tip to tip, laid flat"),
            SpecRow("Height", length(f.sail.height_m, units), unit, "nose to tail"),
            SpecRow("Area", show(f.sail.area_m2, "area", units) if f.sail.area_m2 else None, unit_of("area", units)),
            SpecRow("Skin", skin_words(skin, f.kite, units)),
            SpecRow("Skin mass", show(skin.areal_kg_m2, "areal", units), "") if skin and skin.areal_kg_m2 else
            SpecRow("Skin mass", None, unit_of("areal", units)),
            SpecRow("Seam", length(seam, units), "", "on the pattern pages"),
        ),
    )  # fmt: skip


def skin_words(skin: Skin | None, kite: Kite, units: Units) -> str | None:
    """The skin as the stock names it."""
    if skin is None:
        return kite.sail.skin
    thick = f", {show(skin.thick_m, 'thin', units)} thick" if skin.thick_m else ""
    return f"{_named(skin.key, skin.material)}{thick}"


def _named(key: str, material: str | None) -> str:
    return key if material is None or material.lower() in key.lower() else f"{key}: {material}"


def section_words(section: Section, units: Units) -> str:
    """A cross-section in words: "round, 1.5 mm"."""
    thick = show(section.thick_m, "thin", units)
    if section.kind == "round":
        return f"round, {thick}"
    if section.kind == "tube":
        return f"tube, {thick} outside, {show(section.inner_m or 0.0, 'thin', units)} inside"
    return f"flat, {show(section.wide_m or section.thick_m, 'thin', units)} wide, {thick} thick"


def _bow(book: BookFindings, f: Findings, flat: Flat | None, units: Units) -> SheetSection:
    unit = unit_of("length", units)
    bow = f.kite.bow
    rod = book.book.rods.get(bow.rod or "")
    half = f"{length(bow.length_m / 2, units)} each side of the centre mark" if bow.length_m else ""
    crosses = f"{length(bow.crosses_m, units)} below the nose" if bow.crosses_m is not None else None
    rise = f.shape.rise_m
    return SheetSection(
        "bow",
        "Bow and spine",
        (
            SpecRow("Bow", _rod_words(rod, bow.rod)),
            SpecRow("Section", _bow_section(rod, f.kite, units), unit_of("thin", units)),
            SpecRow("Length", length(bow.length_m, units), unit, half),
            SpecRow("Tip to tip, strung", length(bow.span_m, units), unit),
            SpecRow("Rise, strung", length(rise, units), unit, "from the line between its tips" if rise else ""),
            SpecRow("Crosses the spine", crosses, f"{unit} below the nose"),
            *_strain(f, units),
            SpecRow("Spine", _spine_words(book, f, units), unit),
        ),
        (bend_words(f, flat, units),),
        drawing=draw_bend(flat),
        drawing_mm=BEND_MM[1],
    )


def _rod_words(rod: Rod | None, key: str | None) -> str | None:
    return key if rod is None else _named(rod.key, rod.material)


def _bow_section(rod: Rod | None, kite: Kite, units: Units) -> str | None:
    if kite.bow.left or kite.bow.right:
        return "shaved to the stations on the bow strip page"
    return section_words(rod.section, units) if rod and rod.section else None


def _strain(f: Findings, units: Units) -> tuple[SpecRow, ...]:
    if f.shape.strain is None:
        return ()
    limit = f"of at most {show(f.shape.strain_limit, 'strain', units)}" if f.shape.strain_limit else ""
    return (SpecRow("Strain, strung", show(f.shape.strain, "strain", units), "", limit),)


def _spine_words(book: BookFindings, f: Findings, units: Units) -> str | None:
    spine = f.kite.spine
    rod = book.book.rods.get(spine.rod or "")
    section = section_words(rod.section, units) if rod and rod.section else None
    known = [w for w in (_rod_words(rod, spine.rod), section, length(spine.length_m, units)) if w]
    return ", ".join(known) or None


def _press(book: BookFindings, f: Findings, units: Units) -> SheetSection:
    tolerance = book.book.settings.tolerance
    target = target_half(f, tolerance)
    unit = unit_of("force", units)
    title = "What the scale must say"
    if target is None:
        wanted = _built_to(f, units) or [SpecRow("Each half", None, unit), SpecRow("Between", None, unit)]
        return SheetSection("press", title, tuple(wanted), (_press_how(f, units),))
    span = show_range(target.low_N, target.high_N, "force", units)
    rows = [
        SpecRow("Each half", show(target.press_N, "force", units), "", second(target.press_N, "force", units)),
        SpecRow("Between", span, "", f"then the halves are within {show(tolerance, 'ratio', units)}"),
    ]
    left, right = f.bow.left.press_N, f.bow.right.press_N
    if target.from_press and left and right:
        own = f"left {numbers.measured(left, 'force', units)}, right {numbers.measured(right, 'force', units)}"
        rows.append(SpecRow("This kite's own", own))
    skinned = covered_target(f, tolerance)
    if skinned is not None:
        between = show_range(skinned.low_N, skinned.high_N, "force", units)
        rows.append(SpecRow("With the skin on", show(skinned.press_N, "force", units), "", f"between {between}"))
    rows += _built_to(f, units)
    notes = [how_to_press(target, units)]
    notes += target_said(f.target, units) if f.target else ()
    if skinned is not None:
        notes.append(_how_to_press_covered(target, skinned, units))
    if f.balance.verdict in ("left stiffer", "right stiffer"):
        notes.append(f"This kite's own halves were not even when last read ({f.balance.verdict}): aim for their mean.")
    if not target.from_press:
        notes.append("This kite was measured another way; the reading is worked out from its stiffness.")
    return SheetSection("press", title, tuple(rows), tuple(notes))


def _built_to(f: Findings, units: Units) -> list[SpecRow]:
    """What this kite itself is being built to, where it has a target."""
    return [SpecRow("Built to", built_to(f.target, units))] if f.target else []


def how_to_press(target: TargetReading, units: Units) -> str:
    """How to take the reading, with the same hold and length that the target assumes."""
    rise = f" by {numbers.ruled(target.rise_m, units)}" if target.rise_m else " clearly"
    return (
        f"Zero the scale empty. Stand one tip on it, {_hold_words(target.hold)} "
        f"{length(target.length_m, units)} above the scale, press straight down until the half bows "
        f"out{rise}, read. Three times; then turn the bow over and press the other half. "
        "Bare bow, before the skin goes on."
    )


def _how_to_press_covered(bare: TargetReading, covered: TargetReading, units: Units) -> str:
    alike = (bare.length_m, bare.hold, bare.rise_m) == (covered.length_m, covered.hold, covered.rise_m)
    held = f"{_hold_words(covered.hold)} {length(covered.length_m, units)} above the scale"
    return f"Once the skin is on, press both halves again, {'the same way' if alike else held}."


def _hold_words(hold: str | float | None) -> str:
    if hold == "hinge":
        return "hold the centre mark in a hinge, so that it turns freely,"
    if hold is None or hold == "pinned":
        return "hold the centre mark loosely between two fingertips, so that it can turn,"
    if hold == "clamped":
        return "grip the centre mark firmly, so that it cannot turn,"
    return f"hold the centre mark as this maker does (effective-length factor {hold})"


def _press_how(f: Findings, units: Units) -> str:
    half = numbers.ruled(f.kite.bow.length_m / 2, units) if f.kite.bow.length_m else "half the bow"
    return (
        f"Stand one tip on the scale, hold the centre mark ({half}) loosely between two fingertips, press until the "
        "half bows out, read. Three times; then the other half."
    )


def _shave(f: Findings, units: Units) -> SheetSection:
    what = "thickness" if f.shave.dimension == "thickness" else "diameter"
    if not f.shave.card:
        note = "Needs the bow's section. Until then: a little off the stiffer half, and measure again."
        return SheetSection("shave", "Shaving card", (), (note,))
    target = target_half(f, 0.0)
    rows = tuple(
        (
            show(row.difference, "ratio", units) if target is None else
            f"{show(row.difference, 'ratio', units)}, {_two_figures(row.difference * target.press_N, units)}",
            _off(row.whole_half_m, units),
            _off(row.middle_third_m, units),
        )
        for row in f.shave.card
    )  # fmt: skip
    head = ("the scale differs by", "off the whole half", "or off its middle third")
    note = f"Off the {what} of the stiffer half: six tenths of it first, then measure again. What is off stays off."
    return SheetSection("shave", "Shaving card", (), (note,), SpecTable(head, rows))


def _two_figures(force_N: float, units: Units) -> str:
    """A force in two figures: a difference that a kitchen scale can show is no surer than that."""
    size = to_unit(1.0, unit_of("force", units), "force")
    return show(float(f"{force_N * size:.2g}") / size, "force", units)


def _off(value_m: float | None, units: Units) -> str:
    """A thickness to take off, to the micrometre or the tenth of a thou: finer than any caliper at a bench."""
    if value_m is None:
        return "too much"
    return numbers.shaved(value_m, units)


_PARTS = {"skin": "Skin", "bow": "Bow", "spine": "Spine", "rest": "Bridle and rest", "whole": "Whole kite"}


def _mass(book: BookFindings, f: Findings, units: Units) -> SheetSection:
    rows = tuple(_mass_row(book, f, part, units) for part in mass_budget(book.book, f))
    negative = any(p.name == "rest" and p.mass_kg is not None and p.mass_kg < 0 for p in mass_budget(book.book, f))
    notes = ("The parts come to more than the whole kite: weigh bow and spine.",) if negative else ()
    return SheetSection("mass", "Mass", rows, notes)


def _mass_row(book: BookFindings, f: Findings, part: MassPart, units: Units) -> SpecRow:
    if part.mass_kg is None:
        return SpecRow(_PARTS[part.name], None, unit_of("mass", units))
    note: str = part.how or ""
    skin = book.book.skins.get(f.kite.sail.skin or "")
    if part.name == "skin" and f.sail.area_m2 and skin and skin.areal_kg_m2:
        note = f"{show(f.sail.area_m2, 'area', units)} × {show(skin.areal_kg_m2, 'areal', units)}"
    elif part.name in ("bow", "spine") and part.how == "worked out":
        note = "from section and density"
    elif part.name == "rest":
        note = "what is left"
    return SpecRow(_PARTS[part.name], show(part.mass_kg, "mass", units), "", note)


def _bridle(f: Findings, units: Units) -> SheetSection:
    b, unit = f.kite.bridle, unit_of("length", units)
    tow = f"{length(f.tow.out_m, units)} out" if f.tow else None
    below = f"{length(f.tow.down_m, units)} below the nose" if f.tow else ""
    rows = (
        SpecRow("Upper leg", length(b.upper_m, units), unit, _tied(b.upper_at_m, units)),
        SpecRow("Lower leg", length(b.lower_m, units), unit, _tied(b.lower_at_m, units)),
        SpecRow("Tow point", tow, f"{unit} out", below),
    )
    whole = None not in (b.upper_m, b.lower_m, b.upper_at_m, b.lower_at_m)
    notes = ("These legs cannot meet in front of the sail: check their lengths.",) if whole and f.tow is None else ()
    if b == Bridle():
        notes = ("The bridle of this kite is not written down. Ask its maker, or tie your own and note it here.",)
    return SheetSection("bridle", "Bridle", rows, notes)


def _order(kite: Kite) -> tuple[SheetSection, ...]:
    order = building_steps(kite.story, kite.made)
    return (SheetSection("order", "In the order of the maker's story", (), order),) if order else ()


def _tied(at_m: float | None, units: Units) -> str:
    return "" if at_m is None else f"tied {length(at_m, units)} below the nose"


def _wind(book: BookFindings, f: Findings, units: Units) -> SheetSection:
    settings = book.book.settings
    rows = [
        SpecRow(f"{name}, flown", show_range(r.low, r.high, "wind", units), "", "liked best")
        for name, r in f.wind.flown.items()
    ]
    rows += [
        SpecRow(f"{name}, predicted", show_range(p.low, p.high, "wind", units), "", f"from {p.kites} kites")
        for name, p in f.wind.predicted.items()
        if name not in f.wind.flown
    ]
    if not rows:
        rows.append(SpecRow("Best wind", None, unit_of("wind", units)))
    if f.wind.flex_m_s:
        flex = numbers.measured(f.wind.flex_m_s, "wind", units)
        how = ", by the tips test" if f.wind.flex_how == "tips" else ""
        rows.append(SpecRow("Flexes at", flex, "", f"tips back by a tenth of the half{how}"))
    if f.wind.least_m_s is not None:
        rows.append(SpecRow("Cannot fly under", show(f.wind.least_m_s, "wind", units)))
    if f.wind.bands:
        rows.append(SpecRow("Bands", ", ".join(f.wind.bands)))
    note = (
        f"Winds {show(settings.height_m, 'length', 'm')} above the ground. A range is one flyer's comfort, not a limit."
    )
    return SheetSection("wind", "Wind", tuple(rows), (note,))
