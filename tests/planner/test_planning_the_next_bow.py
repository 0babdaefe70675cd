"""A plan comes true: a bow that reads what the plan says makes the kite that was wanted."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from bowbook.book.records import Wind
from bowbook.findings.compute import compute_findings
from bowbook.findings.results import BookFindings
from bowbook.format.read_book import read_book
from bowbook.planner.next_bow import BowPlan, PlanError, plan_for_wind, plan_like
from bowbook.planner.rod_choice import RodChoice
from helpers import small_book

MPH = 0.44704  # m/s, exact: NIST SP 811 appendix B.8
G = 0.00980665  # N per gram-force
RODS = """\
round-2: {material: carbon, round: 2 mm, modulus: 120 GPa}
round-3: {material: carbon, round: 2.5 mm, modulus: 120 GPa}
round-1: {material: carbon, round: 1 mm, modulus: 120 GPa}
flat: {material: spruce, wide: 4 mm, thick: 3 mm, modulus: 11 GPa}
tube: {material: carbon, tube: [2.2 mm, 1.6 mm], modulus: 100 GPa}
brittle: {material: glass, round: 2 mm, modulus: 30 GPa, strain_limit: 0.1 %}
strange: {material: moonbeam, round: 2 mm}
"""
SKINS = "paper: {material: washi, areal: 30 g/m2}\nstiff: {areal: 60 g/m2, bending_length: 90 mm}\n"
SAIL = "sail: {skin: paper, outline: [[0, 0], [300, 190], [0, 520]]}\n"
BOW = "bow: {rod: round-2, length: 640, span: 576}\n"


def kite(name: str, press_g: float = 0, best: str = "", covered_g: float = 0) -> str:
    """A kite file: pressed alike on both sides, covered, flown."""
    text = f"---\nname: {name}\n{SAIL}{BOW}"
    if press_g:
        text += f"bench: [{{left: {press_g!r} g, right: {press_g!r} g}}]\n"
    if covered_g:
        text += f"covered: {{left: {covered_g!r} g, right: {covered_g!r} g}}\n"
    if best:
        text += f"flights: [{{flyer: Jo, best: {best}}}]\n"
    return text + "---\n"


def worked_out(folder: Path, **kites: str) -> BookFindings:
    """A small book with these kites, worked out; without a problem."""
    book = read_book(small_book(folder, kites, rods=RODS, skins=SKINS))
    assert book.problems == ()
    return compute_findings(book)


def wind(low_mph: float, high_mph: float) -> Wind:
    """A wind in miles per hour."""
    return Wind(low_mph * MPH, high_mph * MPH)


def of(plan: BowPlan, rod: str) -> RodChoice:
    """What the plan says of one rod."""
    return next(choice for choice in plan.rods if choice.rod == rod)


def flown_book(folder: Path, **more: str) -> BookFindings:
    """Three flown, covered kites of one flyer, and more."""
    flown = {
        "a": kite("A", 200, "4-6 mph", 215),
        "b": kite("B", 300, "5-7.5 mph", 318),
        "c": kite("C", 420, "6-8 mph", 436),
    }
    return worked_out(folder, **flown, **more)


def flexes(EI: float, length: float, span: float, S: float) -> float:
    """The wind in which a uniform bow flexes, m/s: thrust by scipy's elliptic integrals at the folded span."""
    folded = span * math.sqrt(0.99)
    m = brentq(lambda m: 2 * ellipe(m) / ellipk(m) - 1 - folded / length, 1e-9, 0.8)
    T = EI * (2 * ellipk(m) / length) ** 2
    return math.sqrt(2 * (span / 20) * T / (1.225 * S))


def diamond(half: float, height: float, h: float) -> float:
    """First moment of half a kite-shaped sail out to h, m³, by quadrature."""
    return quad(lambda y: height * (1 - y / half) * y, 0, min(h, half))[0]


def test_the_planned_bow_flexes_in_the_wind_it_was_planned_for(tmp_path: Path) -> None:
    """Worked again with another library: bow and skin flex at the flyer's ratio to 4-7 mph."""
    book = flown_book(tmp_path, plan=kite("Plan"))
    plan = plan_for_wind(book, "plan", wind(4, 7), ())
    jo = book.flyers["Jo"]
    assert plan.flyer == "Jo"
    flex = flexes(plan.bow_EI_Nm2.value + (plan.skin_EI_Nm2 or 0), 0.64, 0.576, diamond(0.3, 0.52, 0.288))
    assert flex * math.sqrt(jo.ratio_low * jo.ratio_high) == pytest.approx(math.sqrt(28) * MPH, rel=1e-6)


@pytest.mark.parametrize("hold", ["", ", hold: hinge", ", hold: clamped", ", hold: 0.8, length: 300 mm"])
def test_a_bow_built_to_the_reading_is_the_bow_that_was_planned(hold: str, tmp_path: Path) -> None:
    """Pressed as its maker presses, own weight and all, the target reading gives the planned stiffness back."""
    bow = "bow: {rod: round-2, length: 640, span: 576, mass: 3.2 g}\n"

    def with_press(press: str) -> str:
        half = f"{{press: {press}{hold}}}"
        return f"---\nname: K\n{SAIL}{bow}bench: [{{left: {half}, right: {half}}}]\n---\n"

    plan = plan_for_wind(flown_book(tmp_path / "1", k=with_press("300 g")), "k", wind(4, 7), ())
    built = flown_book(tmp_path / "2", k=with_press(f"{plan.press_N.value / G!r} g")).kites["k"]
    assert built.bow.mean_EI_Nm2 is not None
    assert built.bow.mean_EI_Nm2.value == pytest.approx(plan.bow_EI_Nm2.value, rel=1e-6)


def test_the_edges_of_the_band_flex_at_the_edges_of_the_wanted_wind(tmp_path: Path) -> None:
    """Each edge worked again with the other library."""
    book = flown_book(tmp_path, plan=kite("Plan"))
    plan, jo = plan_for_wind(book, "plan", wind(4, 7), ()), book.flyers["Jo"]
    ratio, skin = math.sqrt(jo.ratio_low * jo.ratio_high), plan.skin_EI_Nm2 or 0.0
    S = diamond(0.3, 0.52, 0.288)
    assert flexes(plan.band_EI_Nm2.low + skin, 0.64, 0.576, S) * ratio == pytest.approx(4 * MPH, rel=1e-6)
    assert flexes(plan.band_EI_Nm2.high + skin, 0.64, 0.576, S) * ratio == pytest.approx(7 * MPH, rel=1e-6)


def test_another_size_flexes_in_the_same_wind(tmp_path: Path) -> None:
    """At eight tenths of every length the planned bow, with its skin, flexes where the favourite does."""
    book = worked_out(tmp_path, fav=kite("Fav", 240, covered_g=255))
    plan = plan_like(book, "fav", (), scale=0.8)
    EI = plan.bow_EI_Nm2.value + (plan.skin_EI_Nm2 or 0)
    flex = book.kites["fav"].wind.flex_m_s
    assert flex is not None
    assert flexes(EI, 0.512, 0.4608, diamond(0.24, 0.416, 0.2304)) == pytest.approx(flex.value, rel=1e-6)


def test_a_tapered_favourite_is_repeated_by_its_flex_wind(tmp_path: Path) -> None:
    """A cone's equivalent rigidity is not a uniform bow's with the same tension: the repeat flexes where it does."""
    halves = "[{at: 0 mm, round: 2.2 mm}, {at: 320 mm, round: 1.4 mm}]"
    bow = f"bow: {{rod: round-2, length: 640, span: 576, sections: {{left: {halves}, right: {halves}}}}}\n"
    read = "bench: [{left: 300 g, right: 300 g}]\ncovered: {left: 310 g, right: 310 g}\n"
    front = f"---\nname: Cone\n{SAIL}{bow}{read}---\n"
    book = worked_out(tmp_path, cone=front)
    plan, found = plan_like(book, "cone", ()), book.kites["cone"]
    assert found.wind.flex_m_s is not None
    assert found.bow.mean_EI_Nm2 is not None
    EI = plan.bow_EI_Nm2.value + (plan.skin_EI_Nm2 or 0)
    assert flexes(EI, 0.64, 0.576, diamond(0.3, 0.52, 0.288)) == pytest.approx(found.wind.flex_m_s.value, rel=1e-5)
    assert abs(plan.bow_EI_Nm2.value / found.bow.mean_EI_Nm2.value - 1) > 0.02


def test_a_wind_too_weak_to_carry_the_kite_is_said_before_any_number(tmp_path: Path) -> None:
    """So is a flex wind beyond the flyer's records."""
    heavy = kite("Heavy").replace("---\nname", "---\nmass: 60 g\nname", 1)
    book = flown_book(tmp_path, heavy=heavy)
    assert any("too heavy" in sentence for sentence in plan_for_wind(book, "heavy", wind(2, 9), ()).heed)
    assert any("beyond" in sentence for sentence in plan_for_wind(book, "a", wind(11, 14), ()).heed)
    assert plan_for_wind(book, "a", wind(5, 7), ()).heed == ()


def test_shaved_rods_come_down_to_the_target(tmp_path: Path) -> None:
    """After what the plan takes off, π d⁴/64, w t³/12 and π (D⁴ − d⁴)/64 times the modulus give the wanted bow."""
    plan = plan_like(worked_out(tmp_path, fav=kite("Fav", 500)), "fav", ("round-3", "flat", "tube"))
    wanted = plan.bow_EI_Nm2.value
    assert {r.kind for r in plan.rods} == {"shaved down"}
    d = 0.0025 - (of(plan, "round-3").take_m or 0)
    t = 0.003 - (of(plan, "flat").take_m or 0)
    outer = 0.0022 - (of(plan, "tube").take_m or 0)
    assert 120e9 * math.pi * d**4 / 64 == pytest.approx(wanted, rel=1e-9)
    assert 11e9 * 0.004 * t**3 / 12 == pytest.approx(wanted, rel=1e-9)
    assert 100e9 * math.pi * (outer**4 - 0.0016**4) / 64 == pytest.approx(wanted, rel=1e-9)


def test_a_measured_modulus_comes_before_the_stock_and_the_handbook(tmp_path: Path) -> None:
    """What the book's own bows say of a rod is what the plan goes by: π² E I/ℓ² is the favourite's own reading."""
    rod = of(plan_like(worked_out(tmp_path, fav=kite("Fav", 500)), "fav", ("round-2",)), "round-2")
    assert rod.modulus is not None
    assert rod.modulus.basis == "measured"
    assert rod.press_N == pytest.approx(500 * G)
    EI = 500 * G / 1.034 * (0.93 * 0.32 / math.pi) ** 2
    assert rod.modulus.value == pytest.approx(EI / (math.pi * 0.002**4 / 64))


def test_each_rod_is_as_it_comes_or_too_soft_or_not_known(tmp_path: Path) -> None:
    """The favourite's own rod repeats it as it comes; half the diameter is too soft; without a modulus nobody knows."""
    plan = plan_like(worked_out(tmp_path, fav=kite("Fav", 500)), "fav", ("round-2", "round-1", "strange"))
    assert [(r.rod, r.kind) for r in plan.rods] == [
        ("round-2", "as it comes"),
        ("round-1", "too soft"),
        ("strange", "not known"),
    ]
    assert "material or modulus" in (of(plan, "strange").note or "")


def test_a_rod_bent_past_its_limit_is_never_called_safe(tmp_path: Path) -> None:
    """Span/length 0.90 gives κL = 2.0257634 (elastica, check by ODE): 2 mm over 640 mm strains 0.317 %, past 0.1 %."""
    plan = plan_like(worked_out(tmp_path, fav=kite("Fav", 200)), "fav", ("brittle", "round-1"))
    unshaved = of(plan, "round-1")
    assert unshaved.strain == pytest.approx(2.0257634 / 0.64 * 0.001 / 2, rel=1e-6)
    assert unshaved.safe is True
    brittle = of(plan, "brittle")
    assert brittle.safe is False
    assert "Not safe" in (brittle.note or "")
    assert plan.rods[-1].rod == "brittle"


def test_a_favourite_is_repeated_by_its_own_reading(tmp_path: Path) -> None:
    """Even, uniform and pressed unweighed, it is repeated by what it read itself, its weight in the reading."""
    plan = plan_like(worked_out(tmp_path, fav=kite("Fav", 240)), "fav", ())
    assert plan.press_N.value == pytest.approx(240 * G, rel=1e-7)
    assert plan.band_N.low == pytest.approx(240 * G * 0.985, rel=1e-7)
    assert plan.band_N.high == pytest.approx(240 * G * 1.015, rel=1e-7)


def test_what_a_stiffer_skin_gives_the_bow_must_not(tmp_path: Path) -> None:
    """The whole stays; the bow is softer by the strip test's G times the mean chord, areal g₀ c³ (ASTM D1388)."""
    book = flown_book(tmp_path)
    own, stiff = (plan_for_wind(book, "b", wind(5, 8), (), skin=skin) for skin in (None, "stiff"))
    floor = 0.060 * 9.80665 * 0.090**3 * 0.26
    assert stiff.total_EI_Nm2.value == pytest.approx(own.total_EI_Nm2.value, rel=1e-12)
    assert stiff.bow_EI_Nm2.value == pytest.approx(own.total_EI_Nm2.value - floor, rel=1e-9)
    assert stiff.skin_how == "lower bound"


def test_too_few_records_are_said_and_the_plan_says_what_it_took_instead(tmp_path: Path) -> None:
    """With no flyer of three kites the flex wind is the middle of the wanted one, with no claim how sure that is."""
    plan = plan_for_wind(worked_out(tmp_path, a=kite("A", 200, "4-6 mph", 215)), "a", wind(4, 7), ())
    assert plan.flyer is None
    assert plan.flex_m_s is not None
    assert plan.flex_m_s.value == pytest.approx(math.sqrt(28) * MPH)
    assert plan.press_N.u is None
    assert any("too few" in sentence for sentence in plan.assumed)


@pytest.mark.parametrize(
    ("front", "said"),
    [
        ("", "no bow length"),
        ("bow: {length: 640}\n", "no sail outline"),
    ],
)
def test_what_is_wanting_for_a_plan_is_said(front: str, said: str, tmp_path: Path) -> None:
    """A kite too empty to plan for gets a sentence that names its file and what to write."""
    book = worked_out(tmp_path, x=f"---\nname: X\n{front}---\n")
    with pytest.raises(PlanError, match=said):
        plan_for_wind(book, "x", wind(4, 7), ())
    with pytest.raises(PlanError, match=r"no bow length|no sail outline|cannot be repeated yet"):
        plan_like(book, "x", ())


def test_a_skin_too_stiff_for_the_wind_is_said(tmp_path: Path) -> None:
    """Where the skin alone is stiffer than the wind asks for, no bow is planned."""
    with pytest.raises(PlanError, match="alone is stiffer"):
        plan_for_wind(flown_book(tmp_path), "a", wind(0.2, 0.4), ())


def test_unknown_flyers_and_skins_are_said(tmp_path: Path) -> None:
    """A flyer or a skin that the book has not got is named, with those it has."""
    book = flown_book(tmp_path)
    with pytest.raises(PlanError, match="Flyers: Jo"):
        plan_for_wind(book, "a", wind(4, 7), (), flyer="Kim")
    with pytest.raises(PlanError, match="Skins: paper, stiff"):
        plan_for_wind(book, "a", wind(4, 7), (), skin="silk")
