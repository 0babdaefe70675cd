"""Every computed figure of a small book against a second calculation, to 2e-5."""

import json
import math
from pathlib import Path
from statistics import mean, variance

import pytest
from click.testing import CliRunner
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import stdtrit

from findings.second_calculation import (
    AGREE,
    BOOK,
    G0,
    GF,
    KITES,
    RHO,
    RODS,
    SKINS,
    EI_of,
    all_presses,
    bent,
    bent_any,
    bow_EI,
    chord,
    flex,
    flown,
    hand,
    in_use,
    kite_text,
    load,
    reading,
    rigidity,
    scatter,
    session,
    skin_EI,
    three_part_load,
)


@pytest.fixture(scope="module")
def data(tmp_path_factory):
    """The figures as the command prints them."""
    from bowbook.cli import main

    root: Path = tmp_path_factory.mktemp("figures")
    for path, text in {
        "content/book.yaml": BOOK,
        "content/stock/rods.yaml": RODS,
        "content/stock/skins.yaml": SKINS,
        **{f"content/kites/{name}.md": kite_text(name, k) for name, k in KITES.items()},
    }.items():
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        (root / path).write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, ["check", "--json", "--book", str(root)])
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


@pytest.mark.parametrize("name", KITES)
def test_the_sail_agrees(data, name):
    """Area by a quadrature of the chord, and what follows from it."""
    k, sail = KITES[name], data["kites"][name]["sail"]
    area = 2 * quad(lambda y: chord(k, y), 0, k["width"] / 1000)[0]

    assert sail["area_m2"] == pytest.approx(area, rel=AGREE)
    assert sail["width_m"] == pytest.approx(2 * k["width"] / 1000, rel=AGREE)
    assert sail["height_m"] == pytest.approx(k["height"] / 1000, rel=AGREE)
    assert sail["mean_chord_m"] == pytest.approx(area / (2 * k["width"] / 1000), rel=AGREE)
    assert sail["loading_kg_m2"] == pytest.approx(k["mass"] / 1000 / area, rel=AGREE)


@pytest.mark.parametrize("name", KITES)
def test_the_bow_and_its_balance_agree(data, name):
    """Rigidity by Euler's load as held, both terms by the law of propagation, verdict and bound by the stated rule."""
    k, found = KITES[name], data["kites"][name]
    sides = bow_EI(k)
    for side, (EI, repeat, u), values in zip(("left", "right"), sides, (k["left"][-1], k["right"][-1]), strict=True):
        stated = found["bow"][side]["EI_Nm2"]
        assert stated == pytest.approx({"value": EI, "repeat": repeat, "u": u}, rel=AGREE)
        P, scattered, step = reading(values)
        once = math.hypot(scattered, step)
        near = math.hypot(once, 0.005 * P, 0.5 * GF)
        assert found["bow"][side]["press_N"] == pytest.approx({"value": P, "repeat": once, "u": near}, rel=AGREE)
    (L, *_), (R, *_) = sides
    d = (L - R) / ((L + R) / 2)
    weights = 4 * R / (L + R) ** 2, 4 * L / (L + R) ** 2
    parts = []
    for weight, values in zip(weights, (k["left"][-1], k["right"][-1]), strict=True):
        _, scattered, step = reading(values)
        share = rigidity(values, k)[1] / math.hypot(scattered, step)
        parts.append((weight * share * scattered, weight * share * step))
    s = math.hypot(*(p[0] for p in parts))
    mark = 4 * 0.0005 / math.sqrt(6) / (k["length"] / 2000)
    u = math.hypot(s, *(p[1] for p in parts), mark)
    nu = in_use(scatter(all_presses())[2]) * (u / s) ** 4
    n = min(len(k["left"][-1]), len(k["right"][-1]))
    bound = abs(d) + stdtrit(nu, 0.975 if n <= 3 else 0.9875) * u
    verdict = "even" if bound <= 0.03 else "too close to call"
    if abs(d) > 0.03 and abs(d) > stdtrit(nu, 0.99375) * u:
        verdict = "left stiffer" if d > 0 else "right stiffer"
    balance = found["balance"]

    assert balance["difference"]["value"] == pytest.approx(d, rel=AGREE, abs=1e-9)
    assert balance["difference"]["repeat"] == pytest.approx(u, rel=AGREE)
    assert balance["expanded"] == pytest.approx(stdtrit(nu, 0.975) * u, rel=AGREE)
    assert balance["bound"] == pytest.approx(bound, rel=AGREE)
    assert balance["verdict"] == verdict
    assert len(balance["rounds"]) >= len(k["left"])


def test_what_the_book_knows_of_any_reading_agrees(data):
    """Scatter by numpy, the scatter between days, the hand."""
    a, b, nu, *_ = scatter(all_presses())
    kind, size, u = hand()
    found, hold = data["repeatability"], data["hold"]

    assert (found["fixed_N"], found["relative"], found["freedom"]) == (pytest.approx(a), pytest.approx(b), nu)
    assert found["session"] == pytest.approx(session(), rel=AGREE)
    assert hold["kind"] == kind
    assert hold["factor" if kind == "K" else "spring_Nm_rad"] == pytest.approx(size, rel=AGREE)
    assert hold["u"] == pytest.approx(u, rel=AGREE)


@pytest.mark.parametrize("name", ["alder", "cedar"])
def test_the_shaving_agrees(data, name):
    """Whole half by proportion, middle third by a transfer-matrix column, how it then stands by shooting."""
    k, shave = KITES[name], data["kites"][name]["shave"]
    (L, *_), (R, *_) = bow_EI(k)
    stiff, soft = max(L, R), min(L, R)
    side = "left" if L > R else "right"
    half = k["length"] / 2000
    f = brentq(lambda f: three_part_load(stiff, f, stiff, half) - math.pi**2 * soft / half**2, 0.2, 0.999999)
    is_round = k["rod"] == "carbon-1.5"

    def taken(factor):
        return 0.0015 * (1 - factor**0.25) if is_round else 0.0012 * (1 - factor ** (1 / 3))

    values = k["right" if side == "left" else "left"][-1]
    third_cut = lambda s: stiff * (f if half / 3 < abs(s) < 2 * half / 3 else 1.0)  # noqa: E731
    asymmetry = bent_any(third_cut, soft, k["length"] / 1000, k["span"] / 1000) * (1 if side == "left" else -1)
    options = {option["zone"]: option for option in shave["options"]}

    assert shave["side"] == side
    assert shave["options"][0]["zone"] == "whole half"
    assert options["whole half"]["thickness_m"] == pytest.approx(taken(soft / stiff), rel=AGREE)
    assert options["middle third"]["thickness_m"] == pytest.approx(taken(f), rel=AGREE)
    for option in options.values():
        assert option["press_after_N"] == pytest.approx(mean(values) * GF, rel=AGREE)
    assert options["whole half"]["asymmetry"] == pytest.approx(0, abs=1e-9)
    assert options["middle third"]["asymmetry"] == pytest.approx(asymmetry, rel=1e-4)


@pytest.mark.parametrize("name", KITES)
def test_the_shape_agrees(data, name):
    """The bent bow by shooting from the left tip."""
    k, shape = KITES[name], data["kites"][name]["shape"]
    (L, *_), (R, *_) = bow_EI(k)
    P, rise, left, right, offset, curvature = bent(L, R, k["length"] / 1000, k["span"] / 1000)
    thick = 0.0015 if k["rod"] == "carbon-1.5" else 0.0012

    assert shape["thrust_N"] == pytest.approx(P, rel=AGREE)
    assert shape["rise_m"] == pytest.approx(rise, rel=AGREE)
    assert shape["tip_slope_left_rad"] == pytest.approx(left, rel=AGREE)
    assert shape["tip_slope_right_rad"] == pytest.approx(right, rel=AGREE)
    assert shape["deepest_offset_m"] == pytest.approx(offset, rel=AGREE, abs=1e-9)
    assert shape["strain"] == pytest.approx(curvature * thick / 2, rel=AGREE)
    if k["rod"] == "carbon-1.5":
        assert shape["strain_limit"] == pytest.approx(0.011)


@pytest.mark.parametrize("name", KITES)
def test_the_skin_and_the_wind_agree(data, name):
    """Skin three ways, flex wind by shooting at the folded span or by the tips, weight carried by the pressure."""
    k, found = KITES[name], data["kites"][name]
    EI, how = skin_EI(name)
    total = mean(v for v, *_ in bow_EI(k)) + EI
    area = k["height"] * k["width"] / 1e6

    assert found["skin"]["how"] == how
    assert found["skin"]["EI_Nm2"]["value"] == pytest.approx(EI, rel=AGREE)
    assert found["skin"]["share"] == pytest.approx(EI / total, rel=AGREE)
    assert found["total"]["EI_Nm2"]["value"] == pytest.approx(total, rel=AGREE)
    assert found["wind"]["flex_m_s"]["value"] == pytest.approx(flex(name), rel=AGREE)
    assert found["wind"]["least_m_s"] == pytest.approx(math.sqrt(2 * k["mass"] / 1000 * G0 / RHO / area), rel=AGREE)
    assert found["wind"]["flex_how"] == ("tips" if "tips" in k else "computed")
    assert bool(found["skin"]["EI_Nm2"].get("least")) == (how == "lower bound")
    if "tips" in k:
        both, back = k["tips"]
        assert found["tips"]["stiffness_N_m"]["value"] == pytest.approx(mean(both) * GF / (2 * back / 1000), rel=AGREE)
    for flyer in {f for f, _, _ in k["flights"]}:
        low, high = flown(name, flyer)
        assert found["wind"]["flown"][flyer] == pytest.approx({"low": low, "high": high}, rel=AGREE)


def test_the_flyers_agree(data):
    """Mean log ratios over kites whose flex wind is more than a lower bound; silence under three kites."""
    names = [n for n in KITES if skin_EI(n)[1] != "lower bound" and any(f == "MK" for f, *_ in KITES[n]["flights"])]
    lows = [math.log(flown(n, "MK")[0] / flex(n)) for n in names]
    highs = [math.log(flown(n, "MK")[1] / flex(n)) for n in names]
    middles = [(a + b) / 2 for a, b in zip(lows, highs, strict=True)]
    errors = [mean(middles[:i] + middles[i + 1 :]) - m for i, m in enumerate(middles)]
    found = data["flyers"]["MK"]

    assert found["kites"] == len(names) >= 3
    assert found["ratio_low"] == pytest.approx(math.exp(mean(lows)), rel=AGREE)
    assert found["ratio_high"] == pytest.approx(math.exp(mean(highs)), rel=AGREE)
    assert found["spread"] == pytest.approx(math.sqrt(variance(middles)), rel=AGREE)
    assert found["left_out_error"] == pytest.approx(math.sqrt(mean(e * e for e in errors)), rel=AGREE)
    assert data["flyers"]["JO"]["ratio_low"] is None
    assert "JO" not in data["kites"]["alder"]["wind"]["predicted"]
    for name in KITES:
        predicted = data["kites"][name]["wind"]["predicted"]["MK"]
        assert predicted["low"] == pytest.approx(flex(name) * math.exp(mean(lows)), rel=AGREE)
        assert predicted["high"] == pytest.approx(flex(name) * math.exp(mean(highs)), rel=AGREE)
        assert predicted["kites"] == len(names)


def test_the_doubt_of_a_flex_wind_is_that_of_the_covered_press(data):
    """With both halves covered the bare readings cancel from the whole but for their day; lengths cancel altogether."""
    k, wind = KITES["alder"], data["kites"]["alder"]["wind"]["flex_m_s"]
    covered = [EI_of(load(c, k), k) for c in k["covered"]]
    bare = [EI_of(load(c, k), k) for c in (k["left"][-1], k["right"][-1])]
    read = [rigidity(c, k)[1] for c in k["covered"]]
    days = session() * math.hypot(*covered, *bare)
    total = sum(covered)
    repeat = math.hypot(*read, days) / total / 2
    slope = [EI / (load(c, k) * 1.034) for EI, c in zip(covered, k["covered"], strict=True)]
    gain = 0.005 * sum(s * mean(c) * GF for s, c in zip(slope, k["covered"], strict=True)) / total
    zero = 0.5 * GF * sum(slope) / total
    near = math.hypot(repeat, math.hypot(0.09, 0.0125, gain, zero) / 2, 0.015, 0.015)

    # the thrust of uneven halves goes with their mean to the second order of how uneven they are
    assert wind["repeat"] / wind["value"] == pytest.approx(repeat, rel=0.02)
    assert wind["u"] / wind["value"] == pytest.approx(near, rel=0.002)
