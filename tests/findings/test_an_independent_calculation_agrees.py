"""Every computed figure of a small book against a second calculation that shares no code with the first.

The second calculation uses scipy's general solvers (root finding, quadrature, initial-value integration)
on the equations of Timoshenko & Gere (columns, elastica), Euler-Bernoulli beams, ICAO Doc 7488/3 and the
GUM's law of propagation. Agreement asked: 1e-5 relative.
"""

import json
import math
from pathlib import Path
from statistics import mean, variance

import pytest
from click.testing import CliRunner
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve
from scipy.special import ellipe, ellipk, stdtrit

AGREE = 1e-5
G0 = 9.80665
GF = 0.00980665
MPH = 0.44704

BOOK = """
title: Figures to compare
units: {length: mm, force: g, mass: g, wind: mph}
tolerance: 3 %
scale: 1 g
altitude: 500 m
"""
RODS = """
carbon-1.5: {material: carbon, round: 1.5 mm, strain_limit: 1.1 %}
glass-strip: {material: glass, wide: 4 mm, thick: 1.2 mm}
"""
SKINS = """
paper: {areal: 30 g/m2, overhang: 96 mm}
film: {areal: 17 g/m2, thick: 12 um, modulus: 4.5 GPa}
"""

KITES = {
    "alder": {
        "rod": "carbon-1.5",
        "length": 640,
        "span": 600,
        "width": 300,
        "height": 520,
        "shoulder": 190,
        "mass": 21,
        "skin": "paper",
        "left": [(214, 213, 215), (205, 204, 206)],
        "right": [(180, 181, 179), (181, 180, 182)],
        "covered": ((231, 230), (207, 208)),
        "flights": [("MK", 4, 8), ("MK", 5, 7), ("JO", 6, 9)],
    },
    "birch": {
        "rod": "carbon-1.5",
        "length": 560,
        "span": 500,
        "width": 250,
        "height": 430,
        "shoulder": 150,
        "mass": 14,
        "skin": "paper",
        "left": [(300, 302)],
        "right": [(301, 299)],
        "covered": None,
        "flights": [("MK", 7, 11)],
    },
    "cedar": {
        "rod": "glass-strip",
        "length": 700,
        "span": 660,
        "width": 330,
        "height": 600,
        "shoulder": 210,
        "mass": 30,
        "skin": "film",
        "left": [(150, 149, 151)],
        "right": [(166, 165)],
        "covered": None,
        "flights": [("MK", 3, 5), ("MK", 2.5, 6)],
    },
}


def outline(k):
    return [(0.0, 0.0), (k["width"] / 1000, k["shoulder"] / 1000), (0.0, k["height"] / 1000)]


def kite_text(name, k):
    rounds = "".join(
        f"  - left: {', '.join(map(str, left))} g\n    right: {', '.join(map(str, right))} g\n"
        for left, right in zip(k["left"], k["right"], strict=True)
    )
    covered = ""
    if k["covered"]:
        covered = "covered:\n" + "".join(
            f"  {side}: {', '.join(map(str, v))} g\n" for side, v in zip(("left", "right"), k["covered"], strict=True)
        )
    flights = "".join(f"  - {{flyer: {f}, wind: 1-15 mph, best: {a}-{b} mph}}\n" for f, a, b in k["flights"])
    return (
        f"---\nname: {name.title()}\nsail:\n  skin: {k['skin']}\n  outline: "
        f"[[0, 0], [{k['width']}, {k['shoulder']}], [0, {k['height']}]]\nmass: {k['mass']} g\n"
        f"bow: {{rod: {k['rod']}, length: {k['length']} mm, span: {k['span']} mm}}\n"
        f"bench:\n{rounds}{covered}flights:\n{flights}---\nA story.\n"
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


def pooled():
    """Scatter to two significant digits (JCGM 100:2008, 7.2.6), degrees of freedom as printed tables of t have them."""
    sets = [s for k in KITES.values() for s in (*k["left"], *k["right"], *(k["covered"] or ()))]
    freedom = sum(len(s) - 1 for s in sets)
    s = math.sqrt(sum((len(s) - 1) * variance(s) / mean(s) ** 2 for s in sets if len(s) > 1) / freedom)
    return float(f"{s:.1e}"), max(row for row in (*range(31), 40, 60, 120) if row <= freedom)


def reading(values):
    s, _ = pooled()
    return mean(values) * GF, math.hypot(s * mean(values) * GF / math.sqrt(len(values)), GF / math.sqrt(12))


def rigidity(values, k):
    P, u = reading(values)
    factor = (k["length"] / 2000) ** 2 / math.pi**2
    return P * factor, u * factor


def bow_EI(k):
    return rigidity(k["left"][-1], k), rigidity(k["right"][-1], k)


RHO = (101325 * ((288.15 - 0.0065 * 500) / 288.15) ** 5.25588) / (287.05287 * (288.15 - 0.0065 * 500))


def chord(k, y):
    """Vertical extent of a kite-shaped sail at a distance from the centreline."""
    return k["height"] / 1000 * (1 - y / (k["width"] / 1000))


def drop_per_pascal(k, EI):
    half = k["length"] / 2000

    def load(s):
        return chord(k, s / half * k["width"] / 1000)

    def moment(s):
        return quad(lambda t: load(t) * (t - s), s, half)[0]

    return quad(lambda s: moment(s) * (half - s) / EI, 0, half)[0]


def skin_EI(name):
    k = KITES[name]
    mean_chord = k["height"] / 2000
    if k["covered"]:
        return mean(rigidity(c, k)[0] - b[0] for c, b in zip(k["covered"], bow_EI(k), strict=True)), "covered"
    if k["skin"] == "paper":
        return skin_EI("alder")[0] / (KITES["alder"]["height"] / 2000) * mean_chord, "same skin"
    return 4.5e9 * 12e-6**3 / (12 * (1 - 0.38**2)) * mean_chord, "bending only"


def flex(name):
    k = KITES[name]
    drops = [drop_per_pascal(k, EI + skin_EI(name)[0]) for EI, _ in bow_EI(k)]
    return math.sqrt(2 * 0.1 * k["length"] / 2000 / mean(drops) / RHO)


def flown(name, flyer):
    edges = [(a * MPH, b * MPH) for f, a, b in KITES[name]["flights"] if f == flyer]
    return tuple(math.exp(mean(math.log(e[i]) for e in edges)) for i in (0, 1))


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
    """Rigidity by Euler's load, uncertainty by pooling and the law of propagation, verdict by the stated rule."""
    k, found = KITES[name], data["kites"][name]
    (L, uL), (R, uR) = bow_EI(k)
    for side, (EI, u), values in (("left", (L, uL), k["left"][-1]), ("right", (R, uR), k["right"][-1])):
        assert found["bow"][side]["EI_Nm2"] == pytest.approx({"value": EI, "u": u}, rel=AGREE)
        P, uP = reading(values)
        assert found["bow"][side]["press_N"] == pytest.approx({"value": P, "u": uP}, rel=AGREE)
    d = (L - R) / ((L + R) / 2)
    ud = math.hypot(4 * R / (L + R) ** 2 * uL, 4 * L / (L + R) ** 2 * uR)
    U = stdtrit(pooled()[1], 0.975) * ud
    verdict = "even" if abs(d) <= 0.03 and U <= 0.03 else "too close to call"
    if abs(d) > 0.03 and abs(d) > U:
        verdict = "left stiffer" if d > 0 else "right stiffer"

    assert found["balance"]["difference"] == pytest.approx({"value": d, "u": ud}, rel=AGREE, abs=1e-12)
    assert found["balance"]["verdict"] == verdict
    assert len(found["balance"]["rounds"]) == len(k["left"])


def three_part_load(a, f, b, half):
    """Critical load of a pinned column with its middle third's rigidity × f: transfer matrices."""

    def tip(P):
        state = (0.0, 1.0)
        for EI in (a, f * a, b):
            w = math.sqrt(P / EI)
            h = half / 3
            state = (
                state[0] * math.cos(w * h) + state[1] * math.sin(w * h) / w,
                -state[0] * w * math.sin(w * h) + state[1] * math.cos(w * h),
            )
        return state[0]

    euler = math.pi**2 * a / half**2
    return brentq(tip, 0.2 * euler, 1.0000001 * euler, xtol=1e-14, rtol=1e-14)


@pytest.mark.parametrize("name", ["alder", "cedar"])
def test_the_shaving_agrees(data, name):
    """Whole half by proportion; middle third by a transfer-matrix column; tip drop by a beam in three steps."""
    k, shave = KITES[name], data["kites"][name]["shave"]
    (L, _), (R, _) = bow_EI(k)
    stiff, soft = max(L, R), min(L, R)
    side = "left" if L > R else "right"
    half = k["length"] / 2000
    f = brentq(lambda f: three_part_load(stiff, f, stiff, half) - math.pi**2 * soft / half**2, 0.2, 0.999999)
    is_round = k["rod"] == "carbon-1.5"

    def taken(factor):
        return 0.0015 * (1 - factor**0.25) if is_round else 0.0012 * (1 - factor ** (1 / 3))

    shares = (65 / 81, 15 / 81, 1 / 81)  # of the tip drop of a uniform cantilever under even load, root to tip
    shaved = (shares[0] + shares[1] / f + shares[2]) / stiff
    left, right = (shaved, 1 / soft) if side == "left" else (1 / soft, shaved)
    whole, third = shave["options"][:2]

    assert (side, "whole half", "middle third") == (shave["side"], whole["zone"], third["zone"])
    assert whole["thickness_m"] == pytest.approx(taken(soft / stiff), rel=AGREE)
    assert third["thickness_m"] == pytest.approx(taken(f), rel=AGREE)
    assert whole["press_after_N"] == pytest.approx(math.pi**2 * soft / half**2, rel=AGREE)
    assert third["press_after_N"] == pytest.approx(math.pi**2 * soft / half**2, rel=AGREE)
    assert whole["tip_mismatch"] == pytest.approx(0, abs=1e-9)
    assert third["tip_mismatch"] == pytest.approx((left - right) / ((left + right) / 2), rel=AGREE)


def bent(EI_left, EI_right, length, span):
    """Thrust, rise, slopes, deepest point and largest curvature of a pinned bow of two halves, by shooting."""

    def run(P, slope):
        def rod(_s, y, EI):
            return [-P * y[2] / EI, math.cos(y[0]), math.sin(y[0])]

        first = solve_ivp(
            rod, (0, length / 2), [slope, 0, 0], args=(EI_left,), rtol=1e-12, atol=1e-14, dense_output=True
        )
        second = solve_ivp(
            rod, (length / 2, length), first.y[:, -1], args=(EI_right,), rtol=1e-12, atol=1e-14, dense_output=True
        )
        return first, second

    def miss(x):
        end = run(x[0] * scale, x[1])[1].y[:, -1]
        return [end[1] / span - 1, end[2] / span]

    m = brentq(lambda m: 2 * ellipe(m) / ellipk(m) - 1 - span / length, 1e-9, 0.9)
    scale = 4 * ellipk(m) ** 2 * 2 / (1 / EI_left + 1 / EI_right) / length**2
    x = fsolve(miss, [1.0, 2 * math.asin(math.sqrt(m))], xtol=1e-13)
    first, second = run(x[0] * scale, x[1])
    P = x[0] * scale
    flat = first if first.y[0, -1] <= 0 else second
    where = brentq(lambda s: flat.sol(s)[0], flat.t[0], flat.t[-1])
    _, deep_x, rise = flat.sol(where)
    centre = first.y[2, -1]
    left_top, right_top = (rise, centre) if flat is first else (centre, rise)
    curvature = max(P * left_top / EI_left, P * right_top / EI_right)
    return P, rise, x[1], -second.y[0, -1], deep_x - span / 2, curvature


@pytest.mark.parametrize("name", KITES)
def test_the_shape_agrees(data, name):
    """The bent bow by shooting from the left tip."""
    k, shape = KITES[name], data["kites"][name]["shape"]
    (L, _), (R, _) = bow_EI(k)
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
    """Skin three ways, flex wind by double quadrature of the beam, weight carried by the pressure on the sail."""
    k, found = KITES[name], data["kites"][name]
    EI, how = skin_EI(name)
    total = mean(v for v, _ in bow_EI(k)) + EI
    area = k["height"] * k["width"] / 1e6

    assert found["skin"]["how"] == how
    assert found["skin"]["EI_Nm2"]["value"] == pytest.approx(EI, rel=AGREE)
    assert found["skin"]["share"] == pytest.approx(EI / total, rel=AGREE)
    assert found["total"]["EI_Nm2"]["value"] == pytest.approx(total, rel=AGREE)
    assert found["wind"]["flex_m_s"]["value"] == pytest.approx(flex(name), rel=AGREE)
    assert found["wind"]["least_m_s"] == pytest.approx(math.sqrt(2 * k["mass"] / 1000 * G0 / RHO / area), rel=AGREE)
    for flyer in {f for f, _, _ in k["flights"]}:
        low, high = flown(name, flyer)
        assert found["wind"]["flown"][flyer] == pytest.approx({"low": low, "high": high}, rel=AGREE)


def test_the_flyers_agree(data):
    """Mean log ratios, their spread, and each kite predicted from the others; silence under three kites."""
    lows = [math.log(flown(n, "MK")[0] / flex(n)) for n in KITES]
    highs = [math.log(flown(n, "MK")[1] / flex(n)) for n in KITES]
    middles = [(a + b) / 2 for a, b in zip(lows, highs, strict=True)]
    errors = [mean(middles[:i] + middles[i + 1 :]) - m for i, m in enumerate(middles)]
    found = data["flyers"]["MK"]

    assert found["kites"] == 3
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
        assert predicted["kites"] == 3


def test_the_uncertainty_of_total_and_flex_is_that_of_the_covered_press(data):
    """With both halves covered the bare readings cancel from the total: its uncertainty is the covered one's."""
    k = KITES["alder"]
    us = [rigidity(c, k)[1] for c in k["covered"]]

    assert data["kites"]["alder"]["total"]["EI_Nm2"]["u"] == pytest.approx(math.hypot(*us) / 2, rel=AGREE)
