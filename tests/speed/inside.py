"""Times taken inside one process: the bent bow against scipy's solve_bvp, and charts in bulk against new figures."""

from __future__ import annotations

import io
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np


def medians(ways: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Median seconds of each way, taken in turns."""
    taken: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(rounds):
        for name, way in ways.items():
            start = time.perf_counter()
            way()
            taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(seconds) for name, seconds in taken.items()}


def by_solve_bvp(left: float, right: float, half: float, span: float, tolerance: float = 1e-6) -> float:
    """Thrust of a bow of two uniform halves by scipy's boundary-value solver, the halves stacked side by side."""
    from scipy.integrate import solve_bvp

    k = {0: left, 1: right}

    def slopes(_: object, y: np.ndarray, p: np.ndarray) -> np.ndarray:
        # Each half on t in 0…1: angle, its curvature (moment over EI) and distance along the chord.
        out = []
        for i in (0, 1):
            theta, moment, _x = y[3 * i : 3 * i + 3]
            out += [half * moment / k[i], -half * p[0] * np.sin(theta), half * np.cos(theta)]
        return np.array(out)

    def ends(a: np.ndarray, b: np.ndarray, _: np.ndarray) -> np.ndarray:
        return np.array([a[1], a[2], b[0] - a[3], b[1] - a[4], b[2] - a[5], b[4], b[5] - span])

    t = np.linspace(0, 1, 11)
    start = 2 * np.sqrt(1 - span / (2 * half))
    s = np.concatenate([t, 1 + t]) * half
    theta = start * np.cos(np.pi * s / (2 * half))
    moment = -0.5 * (left + right) * start * np.pi / (2 * half) * np.sin(np.pi * s / (2 * half))
    x = s * span / (2 * half)
    guess = np.vstack([f.reshape(2, 11)[i] for i in (0, 1) for f in (theta, moment, x)])
    found = solve_bvp(
        slopes, ends, t, guess, p=[np.pi**2 * 0.5 * (left + right) / (2 * half) ** 2], tol=tolerance, max_nodes=100_000
    )
    assert found.success, found.message
    return float(found.p[0])


def mechanics(rounds: int) -> list[str]:
    """How long a bent bow and a column load take, and how far they are from a reference, as lines of text."""
    from bowbook.mechanics.column import pinned_column_load
    from bowbook.mechanics.elastica import bend
    from bowbook.mechanics.profile import Profile

    left, right, half, span = 0.0312, 0.0288, 0.32, 0.58
    bow = Profile.uniform(left, half).joined(Profile.uniform(right, half))
    exact = by_solve_bvp(left, right, half, span, 1e-10)
    took = medians(
        {
            "bent bow": lambda: bend(bow, span),
            "solve_bvp": lambda: by_solve_bvp(left, right, half, span),
            "column load": lambda: pinned_column_load(bow),
        },
        rounds,
    )
    error = abs(bend(bow, span).thrust_N / exact - 1)
    bent, bvp, load = (1000 * took[name] for name in ("bent bow", "solve_bvp", "column load"))
    return [
        f"bent bow {bent:.2f} ms, solve_bvp at tol 1e-6 {bvp:.2f} ms: {bvp / bent:.1f} times faster (goal 12)",
        f"its thrust is {error:.1e} from solve_bvp's at tol 1e-10",
        f"column load {load:.2f} ms: {bent / load:.1f} times faster still",
    ]


def new_figure() -> bytes:
    """A chart of two lines with labels the plain way: a new Figure, text left as text."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "x"}):
        figure = Figure(figsize=(6, 3.5))
        axes = figure.add_subplot()
        x = np.linspace(0, 1, 100)
        for k, name in ((1, "left"), (2, "right")):
            axes.plot(x, np.sin(k * x))
            axes.annotate(name, (1, np.sin(k)))
        axes.set_xlabel("round")
        axes.set_ylabel("reading, g")
        axes.grid(visible=True)
        out = io.BytesIO()
        FigureCanvasSVG(figure).print_svg(out, metadata={"Date": None})
    return out.getvalue()


def charts(book: Path, rounds: int) -> list[str]:
    """Every chart of every kite's page and of the comparison, drawn in bulk for a page, against a new Figure each."""
    from bowbook.charts.sheet import Drawing, picture_of, svg_of
    from bowbook.findings.compute import compute_findings
    from bowbook.format.read_book import read_book
    from bowbook.pages.take_home import BOOK, FLYER, KITE, ChartTaken

    findings = compute_findings(read_book(book))
    asked = [ChartTaken("flyer", (flyer,), name) for flyer in findings.flyers for name in FLYER]
    asked += [ChartTaken("book", (), name) for name in BOOK]
    asked += [ChartTaken("kite", (key,), name) for key in findings.kites for name in KITE]
    drawings = [drawing for chart in asked if (drawing := chart.draw(findings))]

    def drawn(drawing: Drawing) -> float:
        """CPU milliseconds for one of its drawings."""
        start = time.process_time()
        svg_of(picture_of(drawing))
        return 1000 * (time.process_time() - start) / len(drawing.shapes)

    for drawing in drawings[:20]:
        svg_of(picture_of(drawing))  # fonts are found and artists made once
    each = [min(drawn(drawing) for _ in range(rounds)) for drawing in drawings]
    start = time.process_time()
    for _ in range(4 * rounds):
        new_figure()
    theirs, ours = 1000 * (time.process_time() - start) / (4 * rounds), statistics.median(each)
    said = f"a drawn chart {ours:.1f} ms in the middle (goal 10), {max(each):.0f} at most, of {len(each)} charts"
    return [f"{said}; a new Figure {theirs:.1f} ms: {ours / theirs:.2f} (goal 0.2)"]
