"""The bow as it stands in the kite: thrust, rise, slopes, and how near the rod is to its limit."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from bowbook.book.records import Book, Kite, Rod, Section
from bowbook.book.stock import rod_material
from bowbook.findings.bench_results import Shape
from bowbook.findings.bow import BareBow
from bowbook.findings.ledger import Ledger, wanted_sentence
from bowbook.findings.readings import LENGTH, UFloat, measured, without
from bowbook.findings.sections import own_section, section_at, stations_of
from bowbook.mechanics import elastica
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.strain import largest_strain

WARN_AT = 0.6  # of the strain limit


def strain_limit(rod: Rod | None) -> float | None:
    """The strain a rod may be bent to: as written in stock, else the low end of its material's handbook range."""
    if rod is None:
        return None
    if rod.strain_limit is not None:
        return rod.strain_limit
    material = rod_material(rod.material)
    return material.strain_default if material else None


def shape_findings(book: Book, kite: Kite, bare: BareBow, ledger: Ledger) -> Shape:
    """The strung bow solved as an elastica, or what is wanting for it."""
    limit = strain_limit(book.rods.get(kite.bow.rod or ""))
    bow = kite.bow
    wanted = []
    if bow.length_m is None:
        wanted.append("the bow's length")
    if bow.span_m is None:
        wanted.append("its span, tip to tip, strung" if wanted else "the bow's span, tip to tip, strung")
    if bare.both is None:
        wanted += [fact for fact in bare.wanting if fact not in wanted]
    if wanted:
        sentence = wanted_sentence(wanted)
        for figure in ("thrust_N", "rise_m", "tip_slope_left_rad", "tip_slope_right_rad", "deepest_offset_m", "strain"):
            ledger.want(f"shape.{figure}", sentence)
    if limit is None:
        ledger.want("shape.strain_limit", "The rod's material or its strain_limit, in stock/rods.yaml.")
    tension = _by_whole(kite, bare)
    if wanted or bow.length_m is None or bow.span_m is None or bare.both is None:
        return Shape(strain_limit=limit, tension=measured(tension))
    left, right = bare.both
    try:
        bent = elastica.bend(left.profile.reversed().joined(right.profile), bow.span_m)
    except ValueError as error:
        ledger.problem("bow.span", error, "Measure the span tip to tip, and the bow along the rod.")
        return Shape(strain_limit=limit)
    EI = without(bare.mean_EI, LENGTH)  # the thrust goes with it
    thrust = bent.thrust_N * (EI / EI.nominal_value)
    strain = _strain(book, kite, bent, bow.length_m, ledger)
    _judge(strain, limit, ledger)
    return Shape(
        thrust_N=bent.thrust_N,
        thrust_u_N=float(thrust.std_dev),
        tension=measured(thrust if tension is None else tension),
        rise_m=bent.rise_m,
        tip_slope_left_rad=bent.slope_left_rad,
        tip_slope_right_rad=bent.slope_right_rad,
        deepest_offset_m=bent.deepest_x_m - bow.span_m / 2,
        strain=strain,
        strain_limit=limit,
        curve=_curve(bent),
        even_curve=_even_curve(bow.length_m, bow.span_m),
    )


def _by_whole(kite: Kite, bare: BareBow) -> UFloat | None:
    """The strung bow's tension by its whole press, N: lengths cancel in it, and no middle was held by fingers."""
    length, span = kite.bow.length_m, kite.bow.span_m
    if bare.whole_load is None or length is None or span is None:
        return None
    try:
        ratio = elastica.bend_uniform(1.0, length, span).thrust_N * (length / math.pi) ** 2
    except ValueError:
        return None  # said where the span is
    return without(bare.whole_load * ratio, LENGTH)


def _curve(bent: elastica.BentBow) -> tuple[tuple[float, float], ...]:
    """Points of the bent bow, to a hundredth of a millimetre: enough for any drawing."""
    return tuple((round(float(x), 5), round(float(y), 5)) for x, y in zip(bent.x_m, bent.y_m, strict=True))


@lru_cache(maxsize=256)
def _even_curve(length_m: float, span_m: float) -> tuple[tuple[float, float], ...]:
    """The curve of a bow that bends alike everywhere: it depends on nothing but length and span."""
    return _curve(elastica.bend(Profile.uniform(1.0, length_m), span_m))


def _strain(book: Book, kite: Kite, bent: elastica.BentBow, length_m: float, ledger: Ledger) -> float | None:
    """Largest strain at the rod's surface, where curvature times half the thickness is greatest."""
    half = length_m / 2
    own = own_section(book, kite)
    if own is None and not (kite.bow.left and kite.bow.right):
        ledger.want("shape.strain", "The rod's section in stock/rods.yaml, for the strain at its surface.")
        return None
    thickness = [_thickness(kite, own, float(s) - half) for s in bent.s_m]
    return largest_strain(bent.s_m, bent.curvature_per_m, np.asarray(thickness))


def _thickness(kite: Kite, own: Section | None, from_centre_m: float) -> float:
    """Thickness of the bow in the plane of bending, m, at a place left (negative) or right of the centre mark."""
    stations = stations_of(kite, "left" if from_centre_m < 0 else "right")
    of = section_at(stations, abs(from_centre_m)) if stations else own
    assert of is not None  # a side without stations has the rod's own section, checked by the caller
    return of.thick_m


def _judge(strain: float | None, limit: float | None, ledger: Ledger) -> None:
    if strain is None or limit is None:
        return
    if strain >= limit:
        ledger.warn(
            f"Strung like this the rod is bent to {strain / limit:.0%} of its strain limit: this is not safe. "
            "It can shatter; unstring it with eye protection on, and use a thinner rod or a wider span."
        )
    elif strain > WARN_AT * limit:
        ledger.warn(
            f"Strung like this the rod is bent to {strain / limit:.0%} of its strain limit. "
            "Wear eye protection when stringing it; a hard landing can take it further."
        )
