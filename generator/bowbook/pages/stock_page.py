"""What is on the shelf in the workshop: each rod and skin, what the kites say about it, and which kites used it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from bowbook.book import records
from bowbook.book.records import Rod, Section, Skin, Units
from bowbook.charts.svg import number
from bowbook.findings.results import RodFindings, SkinStock
from bowbook.findings.strips import last_halves
from bowbook.pages.chrome import Chrome, NavItem, kite_address
from bowbook.wording import numbers

WIDE = 400.0
MANY = 30
"""Kites named in a line of text; more are folded up as a list."""


class ModulusStrip(Struct, frozen=True):
    """Measured moduli over the handbook's range, on one line."""

    label: str
    range: str
    handbook: str
    marks: tuple[str, ...]


class UsedIn(Struct, frozen=True):
    """The kites that a rod or a skin is used in; `folded` where they are too many to stand in a line."""

    kites: tuple[NavItem, ...]
    folded: bool


class RodLine(Struct, frozen=True):
    """One rod as the page shows it."""

    name: str
    said: str
    found: str | None
    warning: str | None
    note: str | None
    strip: ModulusStrip | None
    used: UsedIn


class SkinLine(Struct, frozen=True):
    """One skin as the page shows it."""

    name: str
    said: str
    found: str | None
    note: str | None
    colours: tuple[str, ...]
    used: UsedIn


class LooseStrip(Struct, frozen=True):
    """A bow that belongs to no kite yet, as the page shows it."""

    name: str
    said: str
    read: str
    note: str | None


class StockPage(Struct, frozen=True):
    """What the stock page shows."""

    title: str
    description: str
    lead: str
    rods: tuple[RodLine, ...]
    sources: tuple[str, ...]  # of the handbook ranges, each material's once
    skins: tuple[SkinLine, ...]
    strips: tuple[LooseStrip, ...]


def stock_page(
    chrome: Chrome,
    names: Mapping[str, str],
    rods: Mapping[str, RodFindings],
    skins: Mapping[str, SkinStock],
    strips: tuple[records.Strip, ...] = (),
) -> StockPage:
    """The page as its template takes it; `names` are the kites' by key."""
    counts = f"{numbers.counted(len(rods), 'rod')} and {numbers.counted(len(skins), 'skin')}"
    lead = f"{numbers.capital(counts)}, and what the kites built from them say."
    return StockPage(
        title="Stock",
        description=f"{chrome.title}: rods and skins in stock, measured against the handbook.",
        lead=lead,
        rods=tuple(_rod(found, names, chrome.units) for found in rods.values()),
        sources=_sources(rods.values()),
        skins=tuple(_skin(found, names, chrome.units) for found in skins.values()),
        strips=tuple(_loose(strip, chrome.units) for strip in strips),
    )


def _sources(rods: Iterable[RodFindings]) -> tuple[str, ...]:
    """Where the ranges come from, of the materials that any bow is set against."""
    shown = {rod.rod.material: rod.handbook_source for rod in rods if rod.handbook_source and rod.moduli}
    return tuple(f"{numbers.capital(str(material))}: {source}." for material, source in shown.items())


def _loose(strip: records.Strip, units: Units) -> LooseStrip:
    """A loose strip with what its halves read last."""
    sizes = (("length_m", "length", " long"), ("mass_kg", "mass", ""))
    said = [f"cut from {strip.rod}" if strip.rod else "material not written down"]
    said += [
        numbers.plain(v, kind, units) + more for key, kind, more in sizes if (v := getattr(strip, key)) is not None
    ]
    halves = [
        f"{side} {numbers.plain(read, 'force', units)}"
        for side, read in zip(("left", "right"), last_halves(strip), strict=True)
        if read is not None
    ]
    read = f"It read {numbers.listed(halves)} last." if halves else "It has not been pressed yet."
    return LooseStrip(strip.key, numbers.capital(", ".join(said)) + ".", read, strip.note)


def _used(keys: tuple[str, ...], names: Mapping[str, str]) -> UsedIn:
    kites = tuple(NavItem(kite_address(key), names[key]) for key in keys if key in names)
    return UsedIn(kites, len(kites) > MANY)


def _rod(found: RodFindings, names: Mapping[str, str], units: Units) -> RodLine:
    return RodLine(
        name=found.rod.key,
        said=_rod_said(found.rod, units),
        found=_modulus(found, units),
        warning=found.warning,
        note=found.rod.note,
        strip=_strip(found, units),
        used=_used(found.kites, names),
    )


def _rod_said(rod: Rod, units: Units) -> str:
    said = [rod.material or "material not written down"]
    if rod.section:
        said.append(section_label(rod.section, units))
    if rod.modulus_Pa is not None:
        said.append(f"modulus given as {numbers.plain(rod.modulus_Pa, 'stress', units)}")
    if rod.density_kg_m3 is not None:
        said.append(numbers.plain(rod.density_kg_m3, "density", units))
    if rod.strain_limit is not None:
        said.append(f"not to be bent beyond {numbers.plain(rod.strain_limit, 'strain', units)} at its surface")
    return numbers.capital(", ".join(said)) + "."


def section_label(section: Section, units: Units) -> str:
    """A section as people call it: "1.5 mm round", "4 × 2 mm flat"."""
    thick = numbers.plain(section.thick_m, "thin", units)
    if section.kind == "tube" and section.inner_m is not None:
        return f"tube, {thick} outside, {numbers.plain(section.inner_m, 'thin', units)} inside"
    if section.kind == "flat" and section.wide_m is not None:
        return f"flat, {numbers.plain(section.wide_m, 'thin', units)} wide, {thick} thick"
    return f"{thick} round"


def _modulus(found: RodFindings, units: Units) -> str | None:
    """What the bows built from it gave."""
    if found.mean_Pa is None:
        return None
    mean = numbers.plain(found.mean_Pa, "stress", units)
    bows = numbers.counted(len(found.moduli), "bow")
    if found.spread_Pa is None:
        return f"{numbers.capital(bows)} gave {mean}."
    spread = numbers.plain(numbers.rough(found.spread_Pa), "stress", units)
    return f"{numbers.capital(bows)} gave {mean} on average, {spread} apart (one standard deviation)."


def _strip(found: RodFindings, units: Units) -> ModulusStrip | None:
    if found.handbook_Pa is None or not found.moduli:
        return None
    low, high = found.handbook_Pa
    values = [m.value for _, m in found.moduli]
    left, right = min(low, *values), max(high, *values)
    room = (right - left or right) * 0.08

    def x(modulus: float) -> str:
        return number(WIDE * (modulus - left + room) / (right - left + 2 * room))

    said = f"{numbers.plain(low, 'stress', units)} to {numbers.plain(high, 'stress', units)}"
    gave = numbers.listed([numbers.plain(v, "stress", units) for v in values])
    return ModulusStrip(
        f"Handbook range {said}; bows gave {gave}", said, f"M{x(low)} 20H{x(high)}", tuple(x(v) for v in values)
    )


def _skin(found: SkinStock, names: Mapping[str, str], units: Units) -> SkinLine:
    return SkinLine(
        name=found.skin.key,
        said=_skin_said(found.skin, units),
        found=_adds(found, units),
        note=found.skin.note,
        colours=found.skin.colours,
        used=_used(found.kites, names),
    )


def _skin_said(skin: Skin, units: Units) -> str:
    said = [skin.material or "material not written down"]
    for value, kind, words in (
        (skin.areal_kg_m2, "areal", "{}"),
        (skin.thick_m, "thin", "{} thick"),
        (skin.bending_length_m, "length", "bending length {}"),
        (skin.overhang_m, "length", "hangs over an edge by {} at 41.5°"),
    ):
        if value is not None:
            said.append(words.format(numbers.plain(value, kind, units)))
    return numbers.capital(", ".join(said)) + "."


def _adds(found: SkinStock, units: Units) -> str | None:
    """What it adds to a bow, by the covered kites; a floor from the cloth alone where there are none."""
    if found.mean_per_chord_Nm is not None:
        each = found.mean_per_chord_Nm
        covered = numbers.counted(len(found.per_chord), "covered kite")
        # Per metre of mean chord the unit is N·m²/m; a tenth of a metre is what a small sail has.
        tenth = numbers.measured(type(each)(each.value / 10, u=each.doubt / 10), "rigidity", units)
        return f"By {covered} it adds {tenth} for every 10 cm of mean chord."
    if found.bending_rigidity_Nm is not None:
        tenth = numbers.plain(found.bending_rigidity_Nm / 10, "rigidity", units)
        floor = f"From the cloth alone it adds at least {tenth} for every 10 cm of mean chord"
        return f"{floor}; press a covered kite to know."
    return None
