"""What the findings say of kites measured in every way, half filled, and beyond what a rod can do."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from bowbook.book.records import (
    Book,
    Bow,
    Covered,
    Droop,
    Flight,
    Kite,
    Press,
    Rod,
    Round,
    Sag,
    Sail,
    Section,
    Settings,
    Shave,
    Skin,
    Station,
    Wind,
    Zone,
)
from bowbook.findings.compute import compute_findings

GF = 0.00980665
OUTLINE = ((0.0, 0.0), (0.3, 0.19), (0.0, 0.52))
ROD = Rod("carbon", "carbon", Section("round", 0.0015))


def grams(*values, **how):
    return Press(tuple(v * GF for v in values), **how)


def kite(key="turnstone", **parts):
    bow = parts.pop("bow", Bow("carbon", 0.64, 0.6))
    return Kite(key, key.title(), bow=bow, **parts)


def book(*kites, **settings):
    return Book(
        "",
        Settings(**settings),
        rods={"carbon": ROD},
        skins={"paper": Skin("paper", areal_kg_m2=0.03, bending_length_m=0.048), "bare": Skin("bare")},
        kites={k.key: k for k in kites},
    )


def found(*kites, **settings):
    """Findings of the first kite, and of the book."""
    whole = compute_findings(book(*kites, **settings))
    return whole.kites[kites[0].key], whole


def test_a_kite_with_only_a_name_says_what_is_wanting_for_every_figure():
    """Nothing is known, nothing is invented, and each missing figure has its sentence."""
    f, whole = found(Kite("stint", "Stint"))

    assert (f.total, f.wind.flex_m_s, f.balance.verdict) == (None, None, None)
    wanted = {"sail.area_m2", "bow.left.EI_Nm2", "bow.right.press_N", "bow.whole.EI_Nm2", "bow.hold_factor"}
    wanted |= {"balance.difference", "balance.verdict", "shave.options", "shape.thrust_N", "shape.strain_limit"}
    wanted |= {"skin.EI_Nm2", "skin.share", "total.EI_Nm2", "wind.flex_m_s", "wind.least_m_s", "wind.flown"}
    assert set() == wanted - set(f.wanting)
    assert all(s.endswith(".") for s in f.wanting.values())
    assert whole.problems == ()


@pytest.mark.parametrize(
    ("reading", "why"),
    [
        (Sag(1.0, 0.3, (1.0 * 0.3**3 / (48 * 0.02),)), "F s³ / 48 δ, textbook"),
        (Droop(0.02 / 0.3**2, 0.3, (0.30172077 * 0.3,)), "λ = 1 of the large-deflection table, Mattiasson 1981"),
        (Press((math.pi**2 * 0.02 / 0.32**2,)), "Euler's load of a pinned half"),
        (Press((4 * math.pi**2 * 0.02 / 0.32**2,), length_m=0.16), "half the length bears four times the load"),
        (Press((2.0457485159 * math.pi**2 * 0.02 / 0.32**2,), hold="clamped"), "fixed-pinned over pinned"),
        (Press((1.05298688 * math.pi**2 * 0.02 / 0.32**2,), rise_m=0.19492431 * 0.32), "elastica at span 0.9"),
    ],
)
def test_every_way_of_measuring_finds_the_same_half(reading, why):
    """A half of 0.02 N m² reads so however it is measured (check values of the sources named in each case)."""
    f, _ = found(kite(bench=(Round(left=reading),)))

    assert f.bow.left.EI_Nm2.value == pytest.approx(0.02, rel=2e-7), why


def test_the_bows_own_weight_comes_off_the_reading():
    """Pinned, half of the pressed half's weight stands on the scale (Timoshenko & Gere, from memory: one half)."""
    heavy = kite(bow=Bow("carbon", 0.64, 0.6, mass_kg=0.004), bench=(Round(left=grams(200)),))
    light = kite(bench=(Round(left=grams(199)),))

    assert found(heavy)[0].bow.left.EI_Nm2.value == pytest.approx(found(light)[0].bow.left.EI_Nm2.value, rel=1e-9)


def test_stations_that_do_not_taper_change_nothing():
    """A bow described by two equal stations is the plain rod."""
    flat = Section("flat", 0.002, 0.004)
    even = (Station(0.0, flat), Station(0.32, flat))
    plain, tapered = (
        found(kite(bow=Bow("carbon", 0.64, 0.6, left=s, right=s), bench=(Round(left=grams(200), right=grams(190)),)))[0]
        for s in ((), even)
    )

    assert tapered.bow.left.EI_Nm2.value == pytest.approx(plain.bow.left.EI_Nm2.value, rel=1e-9)
    assert tapered.shape.thrust_N == pytest.approx(plain.shape.thrust_N, rel=1e-8)


def test_a_cone_of_a_bow_gives_the_modulus_of_its_closed_form():
    """A half that tapers as a cone: P = π²E√(I₀I₁)/ℓ² (straight cone, derived; checked by two other ways)."""
    big, small = 0.002, 0.002 * math.sqrt(0.5)
    taper = (Station(0.0, Section("round", big)), Station(0.32, Section("round", small)))
    f, _ = found(kite(bow=Bow("carbon", 0.64, 0.6, left=taper, right=taper), bench=(Round(left=grams(300)),)))
    E = 300 * GF * 0.32**2 / math.pi**2 / (math.pi / 64 * (big * small) ** 2)

    assert f.bow.modulus_Pa.value == pytest.approx(E, rel=1e-6)


def test_the_whole_reading_finds_how_the_halves_were_held():
    """Even halves held clamped read 2.0457 × 4 times the whole, not 4 times; the factor says so and warns."""
    whole = 50.0
    f, _ = found(
        kite(
            bench=(
                Round(left=grams(whole * 4 * 2.0457485159), right=grams(whole * 4 * 2.0457485159), whole=grams(whole)),
            )
        )
    )

    assert f.bow.hold_factor == pytest.approx(0.6991556597, rel=1e-7)
    assert any("clamped" in w for w in f.warnings)


def test_half_a_bow_reads_about_four_times_the_whole():
    """Common practice, no source: and with it the inferred hold is pinned, and nothing is warned of."""
    f, _ = found(kite(bench=(Round(left=grams(200), right=grams(200), whole=grams(50)),)))

    assert f.bow.hold_factor == pytest.approx(1.0, rel=1e-7)
    assert f.warnings == ()


def test_a_half_not_read_again_keeps_its_last_reading_unless_it_was_shaved():
    """The right half stands from the first round; the left, shaved and not read since, is wanting."""
    first = Round(left=grams(214), right=grams(198), shave=Shave("left", Zone("middle third", 1 / 3, 2 / 3), 20))
    read_left, _ = found(kite(bench=(first, Round(left=grams(205)))))
    read_right, _ = found(kite(bench=(first, Round(right=grams(198)))))

    assert read_left.bow.right.press_N.value == pytest.approx(198 * GF)
    assert read_right.bow.left.EI_Nm2 is None
    assert "since it was shaved" in read_right.wanting["bow.left.EI_Nm2"]


def test_logged_strokes_give_the_next_count():
    """Twenty strokes took 9 g: to take six tenths of the 7 g left needs about nine more."""
    third = Zone("middle third", 1 / 3, 2 / 3)
    f, _ = found(
        kite(
            bench=(
                Round(left=grams(214, 214, 214), right=grams(198, 198), shave=Shave("left", third, 20)),
                Round(left=grams(205, 205, 205), right=grams(198, 198)),
            )
        ),
        tolerance=0.02,
    )
    option = f.shave.options[1]

    assert (f.shave.side, option.zone) == ("left", "middle third")
    assert option.rate_N.value == pytest.approx(9 * GF / 20)
    assert option.strokes == round(0.6 * 7 / (9 / 20))
    assert option.first_step_m == pytest.approx(0.6 * option.thickness_m)


def test_a_zone_too_short_for_the_difference_is_refused_with_its_reason():
    """A centimetre at the tip cannot take off a fifth of the half's stiffness."""
    tip = Zone("310-320 mm", 0.31, 0.32, "m")
    f, _ = found(
        kite(
            bench=(
                Round(left=grams(250, 251), right=grams(200, 200), shave=Shave("left", tip, 5)),
                Round(left=grams(250, 250), right=grams(200, 201)),
            )
        )
    )
    option = f.shave.options[2]

    assert (option.zone, option.feasible, option.press_after_N) == ("310-320 mm", False, None)
    assert option.reason


def test_the_skin_is_measured_else_learnt_else_a_floor():
    """Three ways in that order, each named."""
    bare = (Round(left=grams(200, 201), right=grams(200, 199)),)
    sail = Sail("paper", OUTLINE)
    covered = kite("covered", sail=sail, bench=bare, covered=Covered(grams(220, 221), grams(220, 219)))
    learnt = kite("learnt", sail=sail, bench=bare)
    whole = compute_findings(book(covered, learnt))
    alone, _ = found(kite("alone", sail=sail, bench=bare))
    unknown, _ = found(kite("unknown", sail=Sail("bare", OUTLINE), bench=bare))

    assert (whole.kites["covered"].skin.how, whole.kites["learnt"].skin.how) == ("covered", "same skin")
    assert whole.kites["learnt"].skin.EI_Nm2.value == pytest.approx(whole.kites["covered"].skin.EI_Nm2.value)
    assert alone.skin.how == "bending only"
    assert alone.skin.EI_Nm2.value == pytest.approx(0.03 * 9.80665 * 0.048**3 * 0.26)
    assert (unknown.skin.how, unknown.total) == (None, None)


def test_a_stiff_skin_moves_the_kite_to_stronger_wind():
    """Common practice, no source."""
    bare = (Round(left=grams(200), right=grams(200)),)
    sail = Sail("paper", OUTLINE)
    soft, stiff = (
        found(kite(sail=sail, bench=bare, covered=Covered(grams(g), grams(g))))[0].wind.flex_m_s.value
        for g in (205, 260)
    )

    assert stiff > soft


def test_a_beaufort_wind_is_brought_down_from_ten_metres():
    """The 1/7 power law: 10 m to 2 m is × 0.7945974 (Manwell et al., Wind Energy Explained, from memory)."""
    flight = Flight(flyer="MK", best=Wind(3.4, 5.5, at_10m=True))
    f, _ = found(kite(flights=(flight,)))

    assert f.wind.flown["MK"].low == pytest.approx(3.4 * 0.7945974, rel=1e-7)


@pytest.mark.parametrize(
    ("bench", "bow", "place"),
    [
        (Round(left=grams(200, rise_m=0.2)), Bow("carbon", 0.64, 0.6), "bench.0.left"),
        (Round(left=grams(1)), Bow("carbon", 0.64, 0.6, mass_kg=0.01), "bench.0.left"),
        (Round(left=Droop(0.5, 0.3, (0.31,))), Bow("carbon", 0.64, 0.6), "bench.0.left"),
    ],
)
def test_what_no_rod_can_do_is_a_problem_where_it_was_written(bench, bow, place):
    """The mechanics refuse; the problem says where, and no figure is made up."""
    from bowbook.book.problems import Location

    k = kite(bow=bow, bench=(bench,))
    places = {k.key: {place: Location("content/kites/turnstone.md", 12, 3)}}
    whole = compute_findings(replace(book(k), places=places))
    f = whole.kites[k.key]

    assert f.bow.left.EI_Nm2 is None
    assert [problem.location.line for problem in whole.problems] == [12]


def test_one_full_chain_agrees_with_a_monte_carlo_propagation():
    """JCGM 101:2008: readings drawn at random give the flex wind the spread that the findings state."""
    values = {"left": (205, 204, 206), "right": (180, 181, 182), "over left": (231, 233), "over right": (207, 208)}
    f, whole = found(
        kite(
            sail=Sail("paper", OUTLINE),
            bench=(Round(left=grams(*values["left"]), right=grams(*values["right"])),),
            covered=Covered(grams(*values["over left"]), grams(*values["over right"])),
        )
    )
    rng = np.random.default_rng(20260501)
    draws = {}
    for name, v in values.items():
        u = math.hypot(whole.repeatability * np.mean(v) / math.sqrt(len(v)), 1 / math.sqrt(12))
        draws[name] = rng.normal(np.mean(v), u, 400_000)
    skin = (draws["over left"] - draws["left"] + draws["over right"] - draws["right"]) / 2
    drop = 1 / (draws["left"] + skin) + 1 / (draws["right"] + skin)
    flex = f.wind.flex_m_s.value * np.sqrt(np.median(drop) / drop)
    difference = (draws["left"] - draws["right"]) / ((draws["left"] + draws["right"]) / 2)

    assert f.wind.flex_m_s.u == pytest.approx(float(np.std(flex)), rel=0.02)
    assert f.balance.difference.u == pytest.approx(float(np.std(difference)), rel=0.02)


def test_what_both_readings_share_cancels_in_the_balance():
    """Another gain of the scale, another hold, another length: the difference and its uncertainty stay."""
    bench = (Round(left=grams(214, 213, 215), right=grams(198, 199, 197)),)
    held = (Round(left=grams(214, 213, 215, hold="clamped"), right=grams(198, 199, 197, hold="clamped")),)
    one, other = (found(kite(bench=b))[0].balance.difference for b in (bench, held))

    assert one.value == pytest.approx(other.value, rel=1e-12)
    assert one.u == pytest.approx(other.u, rel=1e-12)
