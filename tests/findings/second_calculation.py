"""A small book and every figure of it by a second calculation that shares no code with the program.

The second calculation uses scipy's general solvers (root finding, quadrature, initial-value integration)
on the equations of Timoshenko & Gere (columns, elastica), Euler-Bernoulli beams, ICAO Doc 7488/3 and the
GUM's law of propagation. Agreement asked: 2e-5 relative.
"""

import math
from itertools import pairwise
from statistics import mean, variance

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve
from scipy.special import ellipe, ellipk

AGREE = 2e-5
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
        "bow_mass": 2.1,
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
        "hold": "hinge",
        "tips": ((25, 26, 25), 30),
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
    "dogwood": {
        "rod": "carbon-1.5",
        "free": 290,
        "length": 600,
        "span": 560,
        "width": 280,
        "height": 480,
        "shoulder": 170,
        "mass": 18,
        "skin": "paper",
        "left": [(250, 251, 249, 252)],
        "right": [(251, 250, 252, 250)],
        "covered": None,
        "flights": [("MK", 5, 9)],
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
    how = "".join(f", {key}: {k[key]}" for key in ("hold", "free") if key in k).replace("free", "length")

    def half(values):
        return f"{{press: '{', '.join(map(str, values))} g'{how}}}"

    wholes = [f"\n    whole: {', '.join(map(str, k['whole']))} g" if "whole" in k else ""] * len(k["left"])
    rounds = "".join(
        f"  - left: {half(left)}\n    right: {half(right)}{whole}\n"
        for left, right, whole in zip(k["left"], k["right"], wholes, strict=True)
    )
    mass = f", mass: {k['bow_mass']} g" if "bow_mass" in k else ""
    tips = ""
    if "tips" in k:
        both, back = k["tips"]
        tips = f"  - tips: {{both: '{', '.join(map(str, both))} g', back: {back} mm}}\n"
    covered = ""
    if k["covered"]:
        covered = "covered:\n" + "".join(
            f"  {side}: {half(v)}\n" for side, v in zip(("left", "right"), k["covered"], strict=True)
        )
    flights = "".join(f"  - {{flyer: {f}, wind: 1-15 mph, best: {a}-{b} mph}}\n" for f, a, b in k["flights"])
    return (
        f"---\nname: {name.title()}\nsail:\n  skin: {k['skin']}\n  outline: "
        f"[[0, 0], [{k['width']}, {k['shoulder']}], [0, {k['height']}]]\nmass: {k['mass']} g\n"
        f"bow: {{rod: {k['rod']}, length: {k['length']} mm, span: {k['span']} mm{mass}}}\n"
        f"bench:\n{rounds}{tips}{covered}flights:\n{flights}---\nA story.\n"
    )


def digits(x, n=2):
    return float(f"{x:.{n}g}")


def in_use(nu):
    """Degrees of freedom with all but their first two figures struck out."""
    return nu if nu < 100 else int(str(nu)[:2]) * 10 ** (len(str(nu)) - 2)


def scatter(sets, prior=0.02):
    """Variance a² + b² m² by numpy's least squares, weights of the pass before; a, b to two digits; degrees; limits."""
    sets = [s for s in sets if len(s) > 1]
    if not sets:
        return 0.0, prior, 3, 0.0, math.inf
    m = np.array([mean(s) * GF for s in sets])
    v = np.array([variance(s) * GF**2 for s in sets])
    nu = np.array([len(s) - 1.0 for s in sets])
    P0 = math.exp(float(np.sum(nu * np.log(m)) / nu.sum()))
    m, v, nu = np.append(m, P0), np.append(v, (prior * P0) ** 2), np.append(nu, 3.0)
    b2 = float(np.sum(nu * v / m**2) / nu.sum())
    a2 = 0.1 * b2 * P0**2
    for _ in range(25):
        w = nu / (a2 + b2 * m**2) ** 2
        A = np.array([[w.sum(), (w * m**2).sum()], [(w * m**2).sum(), (w * m**4).sum()]])
        a2, b2 = np.linalg.solve(A, [(w * v).sum(), (w * v * m**2).sum()])
        if a2 < 0:
            a2, b2 = 0.0, (w * v * m**2).sum() / (w * m**4).sum()
        elif b2 < 0:
            a2, b2 = (w * v).sum() / w.sum(), 0.0
    return digits(math.sqrt(a2)), digits(math.sqrt(b2)), int(nu.sum()), m[:-1].min(), m[:-1].max()


def all_presses():
    for k in KITES.values():
        yield from (*k["left"], *k["right"], *(k["covered"] or ()), *([k["whole"]] if "whole" in k else ()))


def deviation(P, fit):
    a, b, _, low, high = fit
    s = math.hypot(a, b * min(max(P, low), high))
    return s * max(1.0, P / high)


def reading(values, fit=None):
    """Mean, N; what the scatter and what the scale's step leave open of it."""
    fit = fit or scatter(all_presses())
    P = mean(values) * GF
    s = deviation(P, fit)
    return P, s / math.sqrt(len(values)), GF / math.sqrt(12) * max(0.0, 1 - 6 * (s / GF) ** 2)


def session():
    """The scatter between two days, from halves read twice and not shaved."""
    found = []
    for k in KITES.values():
        for side in ("left", "right"):
            for one, two in pairwise(k[side]):
                (P, a, b), (Q, c, d) = reading(one), reading(two)
                found.append((2 * (Q - P) / (P + Q)) ** 2 - math.hypot(a, b) ** 2 / P**2 - math.hypot(c, d) ** 2 / Q**2)
    return digits(math.sqrt(max(0.0, (3 * 0.01**2 + sum(found) / 2) / (3 + len(found)))))


def load(values, k, whole=False):
    """Critical load behind a reading, N: half the pressed weight and 3.4 % of bow-out off."""
    pressed = 1.0 if whole else k.get("free", k["length"] / 2) / k["length"]
    return (mean(values) * GF - 0.5 * k.get("bow_mass", 0.0) / 1000 * pressed * G0) / 1.034


def shown(k):
    """The factor that a whole press shows, from the tangents of the two-part column, and load times length."""
    half = k["length"] / 2000
    EI = [load(k[side][-1], k) * half**2 / math.pi**2 for side in ("left", "right")]
    low, high = sorted(math.pi**2 * x / (2 * half) ** 2 for x in EI)

    def characteristic(P):
        k1, k2 = (math.sqrt(P / x) for x in EI)
        return k2 * math.sin(k1 * half) * math.cos(k2 * half) + k1 * math.cos(k1 * half) * math.sin(k2 * half)

    apart = brentq(characteristic, low * 0.999, high * 1.001, xtol=1e-15, rtol=1e-14)
    factor = 0.985 * math.sqrt(load(k["whole"], k, whole=True) / apart)
    return min(max(factor, 0.705), 0.995), mean(load(k[side][-1], k) for side in ("left", "right")) * half


def factor_at(Pl, c):
    return math.pi / brentq(lambda u: u / math.tan(u) - 1 - Pl / c, math.pi * (1 + 1e-12), 4.4934, xtol=1e-15)


def hand():
    """Kind, factor or spring, relative standard uncertainty of a stiffness; rounded as JCGM 100:2008, 7.2.6."""
    found = [shown(k) for k in KITES.values() if "whole" in k and "bow_mass" in k]
    if not found:
        return "K", 0.93, 0.09
    m = len(found)
    factors = [f for f, _ in found]
    K = mean(factors)
    springs = [Pl / ((math.pi / f) / math.tan(math.pi / f) - 1) for f, Pl in found]
    c = math.exp(mean(map(math.log, springs)))
    by_K = sum((2 * math.log(K / f)) ** 2 for f in factors)
    by_c = sum((2 * math.log(factor_at(Pl, c) / f)) ** 2 for f, Pl in found)
    if m >= 3 and by_c < by_K:
        s = math.sqrt((3 * (0.06 / K) ** 2 + by_c) / (2 + m))
        return "spring", digits(c, 3), digits(math.hypot(s * math.sqrt(1 + 1 / m), 0.017))
    s = math.sqrt((3 * 0.03**2 + sum((f - K) ** 2 for f in factors)) / (2 + m))
    return "K", digits(K, 3), digits(math.hypot(2 * s / K * math.sqrt(1 + 1 / m), 0.017))


def EI_of(P, k):
    """Rigidity of a uniform half from its load, as it was held."""
    free = k.get("free", k["length"] / 2) / 1000
    kind, size, _ = hand()
    K2 = 0.97 if k.get("hold") == "hinge" else (factor_at(P * free, size) if kind == "spring" else size) ** 2
    return P * K2 * free**2 / math.pi**2


def rigidity(values, k):
    """Rigidity, what another reading would show, and how near it is to the truth."""
    P, scattered, step = reading(values)
    p = load(values, k)
    EI = EI_of(p, k)
    slope = (EI_of(1.0001 * p, k) - EI_of(0.9999 * p, k)) / (0.0002 * p) / 1.034
    repeat = slope * math.hypot(scattered, step)
    free = k.get("free", k["length"] / 2) / 1000
    learnt = "whole" in "".join(key for kite in KITES.values() for key in kite) and hand()[2] != 0.09
    held = 0.017 if k.get("hold") == "hinge" else hand()[2]
    pivot = 0.0 if learnt and "hold" not in k else 2 * 0.0015 / free
    bow_out = slope * 1.034 * p * 0.0125
    rest = EI * math.hypot(held, pivot, 2 * 0.0005 / math.sqrt(6) / free)
    return EI, repeat, math.hypot(repeat, bow_out, rest, slope * 0.005 * P, slope * 0.5 * GF)


def bow_EI(k):
    return rigidity(k["left"][-1], k), rigidity(k["right"][-1], k)


RHO = (101325 * ((288.15 - 0.0065 * 500) / 288.15) ** 5.25588) / (287.05287 * (288.15 - 0.0065 * 500))


def chord(k, y):
    """Vertical extent of a kite-shaped sail at a distance from the centreline."""
    return k["height"] / 1000 * (1 - y / (k["width"] / 1000))


def skin_EI(name):
    k = KITES[name]
    mean_chord = k["height"] / 2000
    if k["covered"]:
        return mean(rigidity(c, k)[0] - b[0] for c, b in zip(k["covered"], bow_EI(k), strict=True)), "covered"
    if k["skin"] == "paper":
        return digits(skin_EI("alder")[0] / (KITES["alder"]["height"] / 2000), 3) * mean_chord, "same skin"
    return 4.5e9 * 12e-6**3 / (12 * (1 - 0.38**2)) * mean_chord, "lower bound"


def moment(k):
    """First moment of half the sail about its spine, as far out as the bow holds it, m³."""
    return quad(lambda y: max(chord(k, y), 0.0) * y, 0, min(k["span"], 2 * k["width"]) / 2000)[0]


def elliptic(length, span):
    """Thrust of a uniform bow over its rigidity, 1/m²."""
    m = brentq(lambda m: 2 * ellipe(m) / ellipk(m) - 1 - span / length, 1e-12, 0.9, xtol=1e-16)
    return (2 * ellipk(m) / length) ** 2


def flex(name):
    """By the tips where they were pressed hard enough and are the surer, else by the bow's tension."""
    k = KITES[name]
    span = k["span"] / 1000
    if "tips" in k:
        both, back = k["tips"]
        return math.sqrt(0.2 * mean(both) * GF / (2 * back / 1000) * (span / 2) ** 2 / (RHO * moment(k)))
    skin, folded = skin_EI(name)[0], span * math.sqrt(0.99)
    if "whole" in k:
        bow = mean(EI for EI, *_ in bow_EI(k))
        P = 0.985**2 * load(k["whole"], k, whole=True) * (1 + skin / bow)
        T = P * elliptic(k["length"] / 1000, folded) * (k["length"] / 1000 / math.pi) ** 2
    else:
        T = bent(*(EI + skin for EI, *_ in bow_EI(k)), k["length"] / 1000, folded)[0]
    return math.sqrt(2 * span / 20 * T / (RHO * moment(k)))


def flown(name, flyer):
    edges = [(a * MPH, b * MPH) for f, a, b in KITES[name]["flights"] if f == flyer]
    return tuple(math.exp(mean(math.log(e[i]) for e in edges)) for i in (0, 1))


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


def bent_any(stiff, soft, length, span):
    """Deepest point off mid-span over half of it, towards the softer side, by shooting over six stretches."""
    half = length / 2
    stops = [-half, -2 * half / 3, -half / 3, 0.0, half]

    def run(P, slope, watch=False):
        y, flat = np.array([slope, 0.0, 0.0]), None
        for a, b in pairwise(stops):
            EI = soft if a >= 0 else stiff((a + b) / 2)
            found = solve_ivp(
                lambda _s, y, EI=EI: [-P * y[2] / EI, math.cos(y[0]), math.sin(y[0])],
                (a, b),
                y,
                rtol=1e-12,
                atol=1e-14,
                dense_output=watch,
            )
            if watch and found.y[0, 0] > 0 >= found.y[0, -1]:
                flat = found.sol(brentq(lambda s, found=found: found.sol(s)[0], a, b))[1]
            y = found.y[:, -1]
        return y, flat

    scale = elliptic(length, span) * soft
    x = fsolve(
        lambda x: [run(x[0] * scale, x[1])[0][1] / span - 1, run(x[0] * scale, x[1])[0][2] / span],
        [1.05, 2 * math.sqrt(1 - span / length)],
        xtol=1e-13,
    )
    return 2 * run(x[0] * scale, x[1], watch=True)[1] / span - 1


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
