"""Books of chance against a calculation that shares no code with the program: every figure, both terms, to 2e-5.

Tapers, holds of every kind, short lengths, noted rises, sags and droops of even and tapered halves, tips, lower bounds,
hands that hold like a factor and like a spring, a bow read on two days.
"""

import json
import math
from itertools import pairwise
from pathlib import Path
from statistics import mean, stdev

import pytest
from click.testing import CliRunner
from scipy.special import stdtrit

from findings.books_of_chance import BOOK, G0, MPH, RHO, RODS, SIDES, SKINS, book_of_chance, kite_text
from findings.chance_advice import liked, promised, shaved
from findings.chance_figures import Figures, Open
from helpers import small_book

AGREE = 2e-5
ZONES = {"whole half": (0.0, 1.0), "middle third": (1 / 3, 2 / 3)}
BEAUFORT = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9)  # WMO-No. 8: where the forces 1 to 6 begin and end, m/s
SEEDS = (2, 3, 44, 51)
pytestmark = pytest.mark.long


@pytest.fixture(scope="module", params=SEEDS)
def worked(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    """A book of chance, what the other calculation makes of it, and what the command prints."""
    from bowbook.cli import main

    book = book_of_chance(request.param)
    texts = {name: kite_text(name, k) for name, k in book.items()}
    root: Path = small_book(tmp_path_factory.mktemp("chance"), texts, BOOK, RODS, SKINS)
    result = CliRunner().invoke(main, ["check", "--json", "--book", str(root)])
    assert result.exit_code == 0, result.output
    return Figures(book), json.loads(result.stdout)


def agrees(stated: dict[str, float | None], figure: Open) -> None:
    """A figure and both its uncertainties."""
    assert stated["value"] == pytest.approx(figure.value, rel=AGREE)
    assert (stated["repeat"] or 0.0) == pytest.approx(figure.repeat, rel=AGREE)
    assert (stated["u"] or 0.0) == pytest.approx(figure.u, rel=AGREE)


def test_what_the_book_knows_of_any_reading_agrees(worked) -> None:
    """The hand, learnt from three bows pressed whole, one of them tapered; scatter, also between two days."""
    figures, data = worked
    kind, size, u = figures.hand
    hold, known = data["hold"], data["repeatability"]
    a, b, degrees, *_ = figures.fit

    assert hold["kind"] == kind
    assert hold["factor" if kind == "K" else "spring_Nm_rad"] == pytest.approx(size, rel=AGREE)
    assert hold["u"] == pytest.approx(u, rel=AGREE)
    assert hold["bows"] == 3
    assert (known["fixed_N"], known["relative"]) == pytest.approx((a, b), rel=AGREE)
    assert known["freedom"] == degrees
    assert known["session"] == pytest.approx(figures.session, rel=AGREE)


@pytest.mark.parametrize("n", range(13))
def test_the_bow_and_its_balance_agree(worked, n: int) -> None:
    """Readings, stiffness of halves and whole, hold, modulus; difference, bound, verdict and promise."""
    figures, data = worked
    k, found = figures.book[f"kite-{n}"], data["kites"][f"kite-{n}"]
    bow, balance = found["bow"], found["balance"]
    for side in SIDES:
        agrees(bow[side]["EI_Nm2"], figures.rigidity(k, side))
        if k.dropped:
            assert bow[side]["press_N"] is None
        else:
            agrees(bow[side]["press_N"], figures.pressed(k.halves[side]))
    if k.whole:
        agrees(bow["whole"]["press_N"], figures.pressed(k.whole))
        agrees(bow["whole"]["EI_Nm2"], figures.whole_EI(k))
        assert bow["hold_factor"] == pytest.approx(figures.shown[n][0], rel=AGREE)
    agrees(bow["modulus_Pa"], figures.modulus(k))

    d, u, expanded, bound = figures.difference(k)
    assert balance["difference"]["value"] == pytest.approx(d, rel=AGREE, abs=AGREE)
    assert balance["difference"]["repeat"] == pytest.approx(u, rel=AGREE)
    assert balance["expanded"] == pytest.approx(expanded, rel=AGREE)
    assert balance["bound"] == pytest.approx(bound, rel=AGREE)
    verdict = "even" if bound <= 0.03 else "too close to call"
    if abs(d) > max(0.03, expanded / stdtrit(figures.degrees(k), 0.975) * stdtrit(figures.degrees(k), 0.99375)):
        verdict = "left stiffer" if d > 0 else "right stiffer"
    assert balance["verdict"] == verdict
    more, by_12 = promised(figures, k) if verdict == "too close to call" else (None, None)
    assert balance["more_readings"] == more
    assert balance["settles_by_12"] == (None if by_12 is None else pytest.approx(by_12, abs=0.05 + AGREE))


@pytest.mark.parametrize("n", range(13))
def test_the_shape_and_the_shaving_agree(worked, n: int) -> None:
    """The strung bow and the strain of it; what comes off the stiffer half, and how the bow stands then."""
    figures, data = worked
    k, found = figures.book[f"kite-{n}"], data["kites"][f"kite-{n}"]
    bent, strain = figures.shape(k)
    shape, shave = found["shape"], found["shave"]

    assert shape["thrust_N"] == pytest.approx(bent.thrust, rel=AGREE)
    assert shape["rise_m"] == pytest.approx(bent.rise, rel=AGREE)
    assert shape["tip_slope_left_rad"] == pytest.approx(bent.left, rel=AGREE)
    assert shape["tip_slope_right_rad"] == pytest.approx(bent.right, rel=AGREE)
    assert shape["deepest_offset_m"] == pytest.approx(bent.deepest - k.span / 2000, rel=AGREE, abs=1e-8)
    assert shape["strain"] == pytest.approx(strain, rel=AGREE)
    if shave["side"] is None:
        assert shave["options"] is None
        return
    options = {option["zone"]: option for option in shave["options"]}
    assert options.keys() == ZONES.keys()
    for zone, option in options.items():
        cut = shaved(figures, k, shave["side"], ZONES[zone])
        assert option["feasible"] == (cut is not None)
        if cut is None:
            assert option["thickness_m"] is None
            continue
        taken, wide, press, asymmetry, apart = cut
        assert option["thickness_m"] == pytest.approx(taken, rel=AGREE)
        assert option["first_step_m"] == pytest.approx(0.6 * taken, rel=AGREE)
        assert option["width_m"] == (wide and pytest.approx(wide, rel=AGREE))
        assert option["press_after_N"] == (press and pytest.approx(press, rel=AGREE))
        assert option["asymmetry"] == pytest.approx(asymmetry, rel=AGREE, abs=1e-7)
        assert option["slopes_apart_rad"] == pytest.approx(apart, rel=AGREE, abs=1e-7)


@pytest.mark.parametrize("n", range(13))
def test_the_skin_and_the_wind_agree(worked, n: int) -> None:
    """Sail, skin, flex wind by tension and by tips, whichever of them stands, the least wind, the flown one."""
    figures, data = worked
    k, found = figures.book[f"kite-{n}"], data["kites"][f"kite-{n}"]
    area, sail, wind = k.width * k.height / 1e6, found["sail"], found["wind"]
    assert sail["area_m2"] == pytest.approx(area, rel=AGREE)
    assert sail["width_m"] == pytest.approx(2 * k.width / 1000, rel=AGREE)
    assert sail["height_m"] == pytest.approx(k.height / 1000, rel=AGREE)
    assert sail["mean_chord_m"] == pytest.approx(k.height / 2000, rel=AGREE)
    assert sail["loading_kg_m2"] == pytest.approx(0.020 / area, rel=AGREE)
    assert wind["least_m_s"] == pytest.approx(math.sqrt(2 * 0.020 * G0 / RHO / area), rel=AGREE)
    low, high = (edge * MPH for edge in k.best)
    assert wind["flown"]["MK"] == pytest.approx({"low": low, "high": high}, rel=AGREE)
    assert wind["basis"] == "flown"
    in_band = [min(high, top) - max(low, foot) > 0.1 * (high - low) for foot, top in pairwise(BEAUFORT)]
    assert wind["bands"] == [band["name"] for band, so in zip(data["bands"], in_band, strict=True) if so]
    (state,) = found["states"]
    assert state["flown"]["MK"] == pytest.approx({"low": low, "high": high}, rel=AGREE)
    assert state["flex_m_s"] == wind["flex_m_s"]

    (skin, how), total, computed = figures.skin(k), figures.total(k), figures.flex(k)
    assert found["skin"]["how"] == how
    assert found["skin"]["share"] == pytest.approx(skin.value / total.value, rel=AGREE)
    for stated, figure in (
        (found["skin"]["EI_Nm2"], skin),
        (found["total"]["EI_Nm2"], total),
        (wind["computed_m_s"], computed),
    ):
        if how == "lower bound":
            floor = {"repeat": None, "u": None, "least": True}
            assert stated == {"value": pytest.approx(figure.value, rel=AGREE), **floor}
        else:
            agrees(stated, figure)
    assert wind["flex_how"] == ("tips" if figures.by_tips(k) else "computed")
    if k.tips:
        stiffness, by_tips = figures.tips(k)
        agrees(found["tips"]["stiffness_N_m"], stiffness)
        agrees(found["tips"]["flex_m_s"], by_tips)
        assert wind["flex_m_s"] == (found["tips"]["flex_m_s"] if figures.by_tips(k) else wind["computed_m_s"])


def test_the_flyer_agrees(worked) -> None:
    """Ratios to the flex wind over every kite whose flex wind is no floor, their slope, and what they predict."""
    figures, data = worked
    flex = {
        name: (figures.tips(k)[1] if figures.by_tips(k) else figures.flex(k)).value
        for name, k in figures.book.items()
        if figures.by_tips(k) or figures.skin(k)[1] != "lower bound"
    }
    of, found = liked(figures, flex), data["flyers"]["MK"]
    n, edges = len(flex), of["edges"]

    assert found["kites"] == n
    assert found["ratio_low"] == pytest.approx(math.exp(mean(edges[0])), rel=AGREE)
    assert found["ratio_high"] == pytest.approx(math.exp(mean(edges[1])), rel=AGREE)
    assert found["spread"] == pytest.approx(of["spread"], rel=AGREE)
    assert found["left_out_error"] == pytest.approx(of["left_out_error"], rel=AGREE)
    slope, slope_u = of["slope"]
    assert found["slope"]["value"] == pytest.approx(slope, rel=AGREE, abs=AGREE)
    half = stdtrit(n - 2, 0.975) * slope_u
    assert found["slope_interval"] == pytest.approx({"low": slope - half, "high": slope + half}, rel=AGREE, abs=AGREE)
    for name in figures.book:
        predicted, wind = data["kites"][name]["wind"]["predicted"]["MK"], data["kites"][name]["wind"]["flex_m_s"]
        for edge, logs in zip(("low", "high"), edges, strict=True):
            reach = stdtrit(n - 1, 0.975) * stdev(logs) * math.sqrt(1 + 1 / n)
            middle = wind["value"] * math.exp(mean(logs))
            assert predicted[edge] == pytest.approx(middle, rel=AGREE)
            ends = {"low": middle * math.exp(-reach), "high": middle * math.exp(reach)}
            assert predicted[f"{edge}_interval"] == pytest.approx(ends, rel=AGREE)
