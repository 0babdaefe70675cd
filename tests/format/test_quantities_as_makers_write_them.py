"""Quantities as makers write them: every form reads, and every trap gets a sentence."""

from __future__ import annotations

import pytest

from bowbook.book.quantities import parse_quantities, parse_quantity
from bowbook.book.records import Units
from bowbook.book.written_numbers import QuantityError
from bowbook.book.written_winds import parse_wind

IN = 0.0254
GF = 0.00980665


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("24 in", "length", 24 * IN),
        ("24in", "length", 24 * IN),
        ('24"', "length", 24 * IN),
        ("24 inches", "length", 24 * IN),
        ("19 1/2 in", "length", 19.5 * IN),
        ("19-1/2 in", "length", 19.5 * IN),
        ("19½ in", "length", 19.5 * IN),
        ("½ in", "length", 0.5 * IN),
        ("3/8 in", "length", 0.375 * IN),
        (".06 in", "thin", 0.06 * IN),
        ("61 cm", "length", 0.61),
        ("61 CM", "length", 0.61),
        ("640", "length", 0.640),
        ("+640. mm", "length", 0.640),
        ("6.4e2 mm", "length", 0.640),
        ("12 um", "thin", 12e-6),
        ("12 µm", "thin", 12e-6),
        ("12 μm", "thin", 12e-6),
        ("12 microns", "thin", 12e-6),
        ("212 g", "force", 212 * GF),
        ("212 gf", "force", 212 * GF),
        ("7.5 oz", "force", 7.5 * 0.27801385095378125),
        ("2.1 N", "force", 2.1),
        ("21 g", "mass", 0.021),
        ("140 GPa", "stress", 140e9),
        ("140 gpa", "stress", 140e9),
        ("20 Msi", "stress", 20e6 * 6894.757293168361),
        ("17 g/m2", "areal", 0.017),
        ("17 g/m²", "areal", 0.017),
        ("17 g/m^2", "areal", 0.017),
        ("17 gsm", "areal", 0.017),
        ("0.5 oz/yd2", "areal", 0.5 * 0.0339057475),
        ("1550 kg/m3", "density", 1550.0),
        ("1.55 g/cm³", "density", 1550.0),
        ("1.2 %", "strain", 0.012),
        ("0.012", "strain", 0.012),
        ("3 percent", "ratio", 0.03),
        ("41.5 deg", "angle", 0.7243116395776468),
        ("41.5°", "angle", 0.7243116395776468),
        ("0.02 N m2", "rigidity", 0.02),
        ("0.02 N·m²", "rigidity", 0.02),
        ("1200 ft", "altitude", 365.76),
        ("-5 m", "altitude", -5.0),
        ("2 ft 3 in", "length", 27 * IN),
        ("2 ft 1/2 in", "length", 24.5 * IN),
        ("2' 3 1/2\"", "length", 27.5 * IN),
        ("1 m 20 cm", "length", 1.2),
        ("1 lb 2 oz", "mass", 18 * 0.028349523125),
        ("1,5 mm", "length", 0.0015),
        ("10,5 oz", "force", 10.5 * 0.27801385095378125),
        ("0,125 in", "length", 0.125 * IN),
        ("about 300 g", "mass", 0.3),
        ("ca. 300 g", "mass", 0.3),
        ("~300 g", "mass", 0.3),
    ],
)
def test_a_quantity_reads_in_every_form(text: str, kind: str, value: float) -> None:
    """A number with any spelling of its unit, a fraction or a bare number is one SI value."""
    assert parse_quantity(text, kind, Units()) == pytest.approx(value, rel=1e-9)


def test_a_bare_number_is_in_the_book_s_unit() -> None:
    """In a book of inches, ounces and knots, bare numbers are inches, ounces and knots."""
    units = Units(length="in", force="oz", mass="oz", wind="kn")

    assert parse_quantity("24", "length", units) == pytest.approx(0.6096)
    assert parse_quantity("7.5", "force", units) == pytest.approx(7.5 * 0.27801385095378125)
    assert parse_quantity("1", "mass", units) == pytest.approx(0.028349523125)
    wind = parse_wind("4-7", units)
    assert (wind.low_m_s, wind.high_m_s) == pytest.approx((4 * 1852 / 3600, 7 * 1852 / 3600))


@pytest.mark.parametrize(
    "text",
    [
        "214, 213, 215 g",
        "214,213,215 g",
        "214; 213; 215 g",
        "214 g, 213 g, 215 g",
        "214, 213, 215",
        "214, 213, 215 g,",
        ["214", "213", "215 g"],
        ["214 g", "213 g", "215 g"],
        ["214", "213", "215"],
    ],
)
def test_a_list_shares_the_unit_at_its_end(text: str | list[str]) -> None:
    """Readings share one unit written once at the end, in a line or in a list."""
    assert parse_quantities(text, "force", Units()) == pytest.approx((214 * GF, 213 * GF, 215 * GF))


@pytest.mark.parametrize(
    ("text", "low", "high", "at_10m"),
    [
        ("4-7 mph", 1.78816, 3.12928, False),
        ("4–7 mph", 1.78816, 3.12928, False),
        ("4 — 7 mph", 1.78816, 3.12928, False),
        ("4 to 7 mph", 1.78816, 3.12928, False),
        ("4 mph - 7 mph", 1.78816, 3.12928, False),
        ("4-7", 1.78816, 3.12928, False),
        ("11-18 km/h", 11 / 3.6, 5.0, False),
        ("3 m/s", 3.0, 3.0, False),
        ("2.5-3.5 m/s", 2.5, 3.5, False),
        ("8 kn", 8 * 1852 / 3600, 8 * 1852 / 3600, False),
        ("8 knots", 8 * 1852 / 3600, 8 * 1852 / 3600, False),
        # WMO limits of Beaufort 3 and 4, winds at 10 m (WMO-No. 8; agreeing public tables)
        ("Bft 3", 3.4, 5.5, True),
        ("bft 3", 3.4, 5.5, True),
        ("3 Beaufort", 3.4, 5.5, True),
        ("Bft 3-4", 3.4, 8.0, True),
        ("Bft 0", 0.0, 0.3, True),
        ("F2", 1.6, 3.4, True),
        ("F2-3", 1.6, 5.5, True),
        ("force 3", 3.4, 5.5, True),
        ("3..8 m/s", 3.0, 8.0, False),
        ("5/7 m/s", 5.0, 7.0, False),
        ("2,5 tot 3,5 m/s", 2.5, 3.5, False),
        ("2,5 bis 3,5 m/s", 2.5, 3.5, False),
        ("10,5 m/s", 10.5, 10.5, False),
        ("1 1/2 m/s", 1.5, 1.5, False),
        ("about 3 m/s", 3.0, 3.0, False),
        ("to 6 m/s", None, 6.0, False),
        ("up to 6 m/s", None, 6.0, False),
        ("6 m/s up", 6.0, None, False),
        ("6 m/s and up", 6.0, None, False),
        ("6+ m/s", 6.0, None, False),
        ("from 6 m/s", 6.0, None, False),
        ("to F3", None, 5.5, True),
    ],
)
def test_a_wind_reads_in_every_form(text: str, low: float | None, high: float | None, at_10m: bool) -> None:
    """A wind is a range with one unit, a single speed, or a Beaufort force as a wind at 10 m."""
    wind = parse_wind(text, Units())

    assert wind.low_m_s == (None if low is None else pytest.approx(low))
    assert wind.high_m_s == (None if high is None else pytest.approx(high))
    assert wind.at_10m is at_10m


def test_a_wind_may_be_a_list_of_two() -> None:
    """[4, 7 mph] is the same as 4-7 mph."""
    assert parse_wind(["4", "7 mph"], Units()) == parse_wind("4-7 mph", Units())


@pytest.mark.parametrize(
    ("text", "what", "instead"),
    [
        ("12:30", "time of day", "640 mm"),
        ("no", "yes-or-no word", "640 mm"),
        ("1_000", "_ in its figures", "1000"),
        ("0x1F", "not a plain number", "ordinary figures"),
        ("2026-05-03", "date", "640 mm"),
        ("1e400", "too large", "as you measured it"),
        ("9" * 400, "too large", "as you measured it"),
        (".nan", "not a number that can be measured", "640 mm"),
        ("-.inf", "not a number that can be measured", "640 mm"),
        ("1,050 mm", "thousands or decimals", "1050 mm or 1.050 mm"),
        ("1.050,5 mm", "both a point and a comma", "1050.5 mm"),
        ("1,050.5 mm", "both a point and a comma", "1050.5 mm"),
        ("600-610 mm", "a range", "about 605 mm"),
        ("600 tot 610 mm", "a range", "about 605 mm"),
        ("2 ft 14 in", "more in than a ft holds", "one unit"),
        ("1 000 mm", "gap", "1000 mm"),
        ("24 inn", "not a unit", "Did you mean in?"),
        ("64 g", "weight on the scale", "640 mm"),
        ("5 mph", "a wind", "640 mm"),
        ("2'", "mark", "ft for feet"),
        ("1/0 in", "divides by nothing", "number below the stroke"),
        ("some 5 mm", "not a length", "a number and its unit"),
        ("", "no number", "640 mm"),
    ],
)
def test_a_trap_gets_a_clear_answer(text: str, what: str, instead: str) -> None:
    """What YAML or a keyboard makes of a number is refused with what is wrong and what to write."""
    with pytest.raises(QuantityError) as refused:
        parse_quantity(text, "length", Units())

    assert what in refused.value.message
    assert instead in refused.value.hint


@pytest.mark.parametrize("text", ["140", "17"])
@pytest.mark.parametrize("kind", ["stress", "areal", "density"])
def test_a_kind_without_a_book_unit_needs_its_unit(text: str, kind: str) -> None:
    """A bare modulus or cloth weight is refused: nobody could say what it is in."""
    with pytest.raises(QuantityError, match="has no unit"):
        parse_quantity(text, kind, Units())


def test_a_millipascal_is_not_taken_for_a_megapascal() -> None:
    """`mPa` is refused rather than read a thousand million times too large."""
    with pytest.raises(QuantityError, match="not a unit"):
        parse_quantity("140 mPa", "stress", Units())


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("1,5 g", (1.5,)),
        ("12,50 g", (12.5,)),
        ("212,5; 213,5 g", (212.5, 213.5)),
        ("1,5, 1,6 g", (1.5, 1.6)),
        ("212,5, 213,5 g", (212.5, 213.5)),
        ("214,213 g", (214, 213)),
    ],
)
def test_a_decimal_comma_is_read_where_nothing_else_can_be_meant(text: str, readings: tuple[float, ...]) -> None:
    """Readings of one half never differ by half again, so `1,5 g` is one of them and `214,213 g` are two."""
    assert parse_quantities(text, "force", Units()) == pytest.approx(tuple(r * GF for r in readings))


@pytest.mark.parametrize("text", ["21,22 g", "21,22, 23 g"])
def test_a_comma_that_may_be_a_decimal_point_is_refused(text: str) -> None:
    """`21,22 g` may be one reading or two: the maker is asked to say which."""
    with pytest.raises(QuantityError, match="decimal point or two readings"):
        parse_quantities(text, "force", Units())


@pytest.mark.parametrize(
    ("text", "what", "instead"),
    [
        ("8.2 8.25, 8.3 oz", "no comma between 8.2 and 8.25", "Write 8.2, 8.25, 8.3 oz."),
        ("212 tot 214 g", "is a range", "Write 212, 214 g."),
        ("212 bis 214 g", "is a range", "Write 212, 214 g."),
        ("1.050,5 g", "both a point and a comma", "Write 1050.5 g."),
    ],
)
def test_what_is_no_list_of_readings_gets_the_list_it_should_be(text: str, what: str, instead: str) -> None:
    """The answer repeats the maker's own figures as they should stand."""
    with pytest.raises(QuantityError) as refused:
        parse_quantities(text, "force", Units())

    assert what in refused.value.message
    assert instead == refused.value.hint


def test_readings_without_commas_are_refused() -> None:
    """`214 213 215 g` is not read as one number of nine figures."""
    with pytest.raises(QuantityError, match="no commas"):
        parse_quantities("214 213 215 g", "force", Units())


def test_a_list_with_some_units_is_refused_where_the_rest_would_be_another_unit() -> None:
    """In a book of grams, `7.5 oz, 7.4` could mean two things."""
    with pytest.raises(QuantityError, match="some of these have a unit"):
        parse_quantities("7.5 oz, 7.4", "force", Units())


@pytest.mark.parametrize(
    "text", ["7-4 mph", "7/4 mph", "4,7 mph", "Bft 4-3", "Bft 12", "4-7 m", "4-7-9 mph", "[4, 5, 6]"]
)
def test_a_wind_that_cannot_be_is_refused(text: str) -> None:
    """Edges the wrong way round, no such force, a length, three edges: each is refused."""
    with pytest.raises(QuantityError):
        parse_wind(text, Units())


def test_an_endless_text_is_refused_at_once() -> None:
    """A line of a million figures is refused by its length, not tried."""
    for parse in (lambda t: parse_quantity(t, "length", Units()), lambda t: parse_wind(t, Units())):
        with pytest.raises(QuantityError, match="too l"):
            parse("1 " * 500_000)
