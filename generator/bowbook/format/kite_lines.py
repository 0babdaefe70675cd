"""A kite file's essential keys, each quantity with its unit, short enough to print small and type back."""

from __future__ import annotations

from collections.abc import Iterable

import yaml

from bowbook.book.records import Book, Kite, Rod, Section, Skin, Station


def kite_lines(kite: Kite) -> tuple[str, ...]:
    """The lines of a kite file that builds the same kite, and of the stock it is made from."""
    lines = [f"name: {quoted(kite.name)}", *_sail(kite)]
    if kite.mass_kg is not None:
        lines.append(f"mass: {_g(kite.mass_kg)}")
    spine = _pairs(rod=_key(kite.spine.rod), length=_mm(kite.spine.length_m), mass=_g(kite.spine.mass_kg))
    lines += [f"spine: {{{spine}}}"] if spine else []
    lines += _bow(kite)
    b = kite.bridle
    bridle = _pairs(upper=_mm(b.upper_m), lower=_mm(b.lower_m), upper_at=_mm(b.upper_at_m), lower_at=_mm(b.lower_at_m))
    return tuple(lines + ([f"bridle: {{{bridle}}}"] if bridle else []))


def stock_lines(book: Book, kite: Kite) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Lines for rods.yaml and for skins.yaml: the stock that this kite is made from, as far as the book has it."""
    rods = [book.rods[k] for k in dict.fromkeys((kite.bow.rod, kite.spine.rod)) if k and k in book.rods]
    skin = book.skins.get(kite.sail.skin or "")
    return tuple(f"{_key(r.key)}: {{{_rod(r)}}}" for r in rods), (
        (f"{_key(skin.key)}: {{{_skin(skin)}}}",) if skin else ()
    )


def _sail(kite: Kite) -> list[str]:
    sail = kite.sail
    if not sail.skin and not sail.outline:
        return []
    points = [f"[{_mm(x)}, {_mm(y)}]" for x, y in sail.outline]
    inside = _pairs(skin=_key(sail.skin), outline=f"[{', '.join(points)}]" if points else None)
    return [f"sail: {{{inside}}}"]


def _bow(kite: Kite) -> list[str]:
    bow = kite.bow
    sides = _pairs(left=_stations(bow.left), right=_stations(bow.right))
    inside = _pairs(
        rod=_key(bow.rod),
        length=_mm(bow.length_m),
        span=_mm(bow.span_m),
        mass=_g(bow.mass_kg),
        crosses=_mm(bow.crosses_m),
        sections=f"{{{sides}}}" if sides else None,
    )
    return [f"bow: {{{inside}}}"] if inside else []


def _stations(stations: Iterable[Station]) -> str | None:
    words = [f"{{at: {_mm(s.at_m)}, {_section(s.section)}}}" for s in stations]
    return f"[{', '.join(words)}]" if words else None


def _section(section: Section) -> str:
    if section.kind == "round":
        return f"round: {_mm(section.thick_m)}"
    if section.kind == "tube":
        return f"tube: [{_mm(section.thick_m)}, {_mm(section.inner_m)}]"
    return f"wide: {_mm(section.wide_m)}, thick: {_mm(section.thick_m)}"


def _rod(rod: Rod) -> str:
    known = [f"material: {quoted(rod.material)}"] if rod.material else []
    known += [_section(rod.section)] if rod.section else []
    more = _pairs(
        modulus=_unit(rod.modulus_Pa, 1e9, "GPa"),
        density=_unit(rod.density_kg_m3, 1.0, "kg/m3"),
        strain_limit=_unit(rod.strain_limit, 0.01, "%"),
    )
    return ", ".join([*known, more] if more else known)


def _skin(skin: Skin) -> str:
    return _pairs(
        material=quoted(skin.material) if skin.material else None,
        areal=_unit(skin.areal_kg_m2, 1e-3, "g/m2"),
        thick=_unit(skin.thick_m, 1e-6, "um"),
        modulus=_unit(skin.modulus_Pa, 1e9, "GPa"),
        bending_length=_mm(skin.bending_length_m),
        overhang=_mm(skin.overhang_m),
    )


def _pairs(**known: str | None) -> str:
    return ", ".join(f"{key}: {value}" for key, value in known.items() if value is not None)


def _mm(value_m: float | None) -> str | None:
    return _unit(value_m, 1e-3, "mm")


def _g(value_kg: float | None) -> str | None:
    return _unit(value_kg, 1e-3, "g")


def _unit(value: float | None, size: float, unit: str) -> str | None:
    """The value to seven figures, which no tool in a kite maker's hand can tell from the whole of it."""
    return None if value is None else f"{float(f'{value / size:.7g}'):.9g} {unit}"


def _key(text: str | None) -> str | None:
    return None if text is None else quoted(text)


def quoted(text: str) -> str:
    """A word or sentence as YAML takes it inside braces: quoted where it must be."""
    line: str = yaml.safe_dump([text], allow_unicode=True, default_flow_style=True, width=10**9)
    return line.strip()[1:-1]
