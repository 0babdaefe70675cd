"""Each chart read back by its printed ticks, as a reader would, and compared with the findings it was drawn from."""

from __future__ import annotations

import math
from collections.abc import Callable
from xml.etree.ElementTree import Element

import pytest
from msgspec.structs import replace

from bowbook.charts import bench, bow, comfort, evening, halves, loading, multiples, share, side_by_side, winds_beside
from bowbook.charts.sheet import Drawing
from bowbook.findings.bench_results import Balance, Measured, RoundBalance, Shaving
from bowbook.findings.results import BookFindings
from charts import made
from charts.looking import SVG, Mark, Scale, across, dots, drawings, inline, marks, pens, texts, upright

BOOK = made.book(9)
KITE = BOOK.kites["leaf-0"]


def near(scale: Scale) -> float:
    """How much of the figure a px is: a mark may stand this far from it."""
    return scale.near()


def linked(drawing_marks: list[Mark], key: str) -> list[Mark]:
    """The marks that lead to a kite's page."""
    return [m for m in drawing_marks if m.link and f"/{key}/" in f"/{m.link}"]


@pytest.mark.parametrize("shape", [0, 1])
def test_bench_readings_stand_at_their_grams_with_95_percent_bars(shape: int) -> None:
    """Each half of each round: a dot at the reading, a bar of coverage × standard uncertainty either way."""
    drawing = drawings(bench.bench_chart(KITE, BOOK))[shape]
    grams = upright(drawing)
    halves = {
        side: [grams(m.at[1]) for m in dots(drawing) if m.classes[0] == ink and m.element.get("r") == "3.8"]
        for side, ink in (("left", "kf-ink"), ("right", "kf-paper"))
    }
    assert halves["left"] == pytest.approx([150, 146, 144, 171], abs=near(grams))
    assert halves["right"] == pytest.approx([146, 146, 146, 168], abs=near(grams))
    bars = [abs(grams(a[1]) - grams(b[1])) for p in pens(drawing, "ks-ink", "kw-line")[:2] for a, b in p.pieces]
    assert bars == pytest.approx([2 * 2.1] * 8, abs=2 * near(grams) / 8)
    assert "left half 171 ± 2 g" in texts(drawing) or "171 ± 2 g" in texts(drawing)


def test_the_tolerance_is_drawn_around_the_softer_half() -> None:
    """|left − right| over their mean is the tolerance where the other half stands on the band's edge."""
    drawing = drawings(bench.bench_chart(KITE, BOOK))[0]
    grams = upright(drawing)
    first = pens(drawing, "kf-ok")[0].pieces[0]
    stiffer = grams(min(y for _, y in first))
    assert (stiffer - 146) / ((stiffer + 146) / 2) == pytest.approx(0.03, abs=0.002)


def test_what_was_shaved_is_said_between_the_rounds() -> None:
    """Side, zone, strokes and thickness stand under the gap between two rounds."""
    said = " ".join(texts(drawings(bench.bench_chart(KITE, BOOK))[0]))
    for piece in ("left", "middle third", "20 strokes", "0.05 mm", "8 strokes", "0.02 mm"):
        assert piece in said


def test_only_the_half_to_shave_is_in_the_accent() -> None:
    """The accent marks what wants doing, nothing else."""
    plain = drawings(bench.bench_chart(KITE, BOOK))[0]
    to_shave = drawings(bench.bench_chart(replace(KITE, shave=Shaving("right")), BOOK))[0]
    assert not pens(plain, "ks-accent", "kw-line")
    (bars,) = pens(to_shave, "ks-accent", "kw-line")
    assert len(bars.pieces) == 4


def test_sagged_and_drooped_bows_show_their_difference_instead() -> None:
    """Readings that are no press share no scale; the differences do."""
    rounds = (RoundBalance("2026-08-20", Measured(0.018, 0.02), "too close to call"),)
    kite = replace(
        KITE,
        kite=replace(KITE.kite, bench=KITE.kite.bench[:1], covered=None),
        balance=Balance(rounds[0].difference, 0.05, 0.03, "too close to call", None, rounds),
    )
    kite = replace(kite, kite=replace(kite.kite, bench=()))
    drawing = drawings(bench.bench_chart(kite, BOOK))[0]
    assert {"3 % left", "even", "3 % right"} & set(texts(drawing)) >= {"even"}
    assert len(dots(drawing)) == 1


def test_the_bow_is_drawn_true_to_shape_with_its_deepest_point() -> None:
    """Both axes share one scale; the dot stands at rise and offset; the curve starts and ends at the tips."""
    drawing = drawings(bow.bow_chart(KITE, BOOK))[0]
    x, y = across(drawing), upright(drawing)
    assert near(x) == pytest.approx(near(y), rel=0.01)
    (deepest,) = dots(drawing)
    assert (x(deepest.at[0]), y(deepest.at[1])) == pytest.approx((4, 90), abs=near(x))
    (curve,) = pens(drawing, "ks-ink", "kw-heavy")
    assert [x(curve.points[0][0]), x(curve.points[-1][0])] == pytest.approx([-300, 300], abs=near(x))
    assert max(y(p[1]) for p in curve.points) == pytest.approx(90, abs=near(y))
    assert {"rise 90 mm", "29.8°", "28.1°"} <= set(texts(drawing))


def test_an_even_bow_is_drawn_only_beside_an_uneven_one() -> None:
    """The faint reference would only hide behind a bow that is even."""
    even = replace(KITE, shape=replace(KITE.shape, curve=KITE.shape.even_curve))
    assert pens(drawings(bow.bow_chart(KITE, BOOK))[0], "ks-soft", "kw-fine", "kd-dash")
    assert not pens(drawings(bow.bow_chart(even, BOOK))[0], "ks-soft", "kw-fine", "kd-dash")


def test_a_kite_stands_in_its_flyers_records_at_its_flex_wind_and_liked_range() -> None:
    """The page's own kite is the accented bar, at 4.2 mph, from the low to the high edge of what was liked."""
    drawing = drawings(comfort.comfort_chart(KITE, BOOK))[0]
    x, y = across(drawing), upright(drawing)
    (bar,) = pens(drawing, "ks-accent", "kw-heavy")
    liked_range = KITE.wind.flown["MK"]
    assert x(bar.points[0][0]) == pytest.approx(4.2, abs=near(x))
    assert [y(p[1]) for p in bar.points] == pytest.approx(
        [liked_range.low / made.MPH, liked_range.high / made.MPH], abs=near(y)
    )
    (spread,) = pens(drawing, "ks-accent", "kw-fine")
    assert x(spread.points[1][0]) - x(spread.points[0][0]) == pytest.approx(2 * 2.1 * 0.04 / made.MPH, rel=0.05)


def test_a_predicted_range_is_dashed_and_says_so() -> None:
    """What nobody has flown must not look flown."""
    drawing = drawings(comfort.comfort_chart(BOOK.kites["leaf-8"], BOOK))[0]
    assert pens(drawing, "ks-accent", "kw-heavy", "kd-dash")
    assert any("predicted" in t for t in texts(drawing))


def test_the_band_follows_the_flyers_ratios_and_the_interval_of_a_new_kite() -> None:
    """The band's edges are ratio × flex wind; dotted ones the 95 % interval's ends, and wider."""
    drawing = drawings(comfort.flyer_chart(BOOK, "MK"))[0]
    x, y = across(drawing), upright(drawing)
    band = pens(drawing, "kf-zone")[1].points
    ratios = [min(y(p[1]) / x(p[0]) for p in band), max(y(p[1]) / x(p[0]) for p in band)]
    assert ratios == pytest.approx(list(made.RATIO), rel=0.01)
    dotted = sorted(y(p[0][1]) / x(p[0][0]) for e in pens(drawing, "ks-soft", "kw-fine", "kd-dot") for p in e.pieces)
    assert dotted == pytest.approx([made.RATIO[0] * made.INTERVAL[0], made.RATIO[1] * made.INTERVAL[1]], rel=0.01)
    assert "off by 9 %" in " ".join(texts(drawing)).replace("\u00a0", " ")


def test_too_few_kites_have_points_but_no_band() -> None:
    """Under three kites nothing is predicted, so nothing is drawn that looks like a prediction."""
    flyer = replace(BOOK.flyers["MK"], kites=2, ratio_low=None, ratio_high=None, points=BOOK.flyers["MK"].points[:2])
    few = replace(BOOK, flyers={"MK": flyer})
    drawing = drawings(comfort.flyer_chart(few, "MK"))[0]
    assert not pens(drawing, "kf-zone")
    assert "too few for a band" in " ".join(texts(drawing))


def compared(book: BookFindings) -> dict[str, Drawing | None]:
    """The charts that lead from points to pages."""
    return {
        "flyer": comfort.flyer_chart(book, "MK"),
        "loading": loading.loading_chart(book, "MK"),
        "halves": halves.halves_chart(book),
        "share": share.share_chart(book),
        "evening": evening.balance_chart(book),
    }


@pytest.fixture(scope="module")
def crowd() -> dict[str, Drawing | None]:
    """The same charts of three hundred kites."""
    return compared(made.book(300, unflown=0))


@pytest.mark.parametrize("name", compared(BOOK))
def test_every_point_of_a_comparison_leads_to_its_kite_and_names_it(name: str) -> None:
    """A link to kites/KEY/index.html around each point, its title beginning with the kite's name."""
    for drawing in drawings(compared(BOOK)[name]):
        links = {m.element.get("href"): m.title for m in marks(drawing) if m.element.tag.endswith("}a")}
        expected = set(BOOK.kites)
        assert set(links) == {f"kites/{k}/index.html" for k in expected}
        for key in expected:
            assert links[f"kites/{key}/index.html"].startswith(BOOK.kites[key].kite.name)


@pytest.mark.parametrize("name", compared(BOOK))
def test_a_crowd_is_drawn_without_links_and_names(name: str, crowd: dict[str, Drawing | None]) -> None:
    """Nobody could hit one point among hundreds: names and links are in the table; the drawing stays small."""
    for drawing in drawings(crowd[name]):
        assert not any(m.link for m in marks(drawing))
        assert not any(t.startswith("Leaf") for t in texts(drawing))
    assert len(inline(crowd[name])) < 60_000 if crowd[name] else None


def test_bows_stand_by_their_left_half_and_as_even_as_they_are() -> None:
    """Dots at left reading and difference, in percent of the halves' mean; the line is even."""
    drawing = drawings(halves.halves_chart(BOOK))[0]
    x, percent = across(drawing), in_percent(drawing)
    for key, f in BOOK.kites.items():
        (dot,) = [m for m in linked(marks(drawing), key) if m.element.tag.endswith("circle")]
        assert f.bow.left.press_N
        assert f.balance.difference
        assert x(dot.at[0]) == pytest.approx(f.bow.left.press_N.value / made.G, abs=near(x))
        assert percent(dot.at[1]) == pytest.approx(100 * f.balance.difference.value, abs=0.05)
    (even,) = pens(drawing, "ks-ok", "kw-fine")
    assert [percent(y) for _, y in even.points] == pytest.approx([0, 0], abs=0.05)


def in_percent(drawing: Element) -> Callable[[float], float]:
    """The upright axis of a difference: from px to percent, left above even."""
    ticks = {m.text: m.at[1] - 4 for m in marks(drawing) if "kt-tick" in m.classes}
    unit = next(float(t.split()[0]) / (ticks["even"] - y) for t, y in ticks.items() if t.endswith("left"))
    return lambda px: (ticks["even"] - px) * unit


def test_lines_of_equal_share_are_where_skin_over_total_is_that_share() -> None:
    """The line named 10 % joins points whose skin is a tenth of the whole, on logarithmic axes."""
    drawing = drawings(share.share_chart(BOOK))[0]
    x, y = across(drawing), upright(drawing)
    seen = []
    for ray in pens(drawing, "ks-soft", "kd-dash"):
        for first, last in ray.pieces:
            slope = [y(p[1]) / x(p[0]) for p in (first, last)]
            assert slope[0] == pytest.approx(slope[1], rel=0.02)
            seen.append(slope[0])
    named = sorted(
        float(t[:-2]) / 100 for t in texts(drawing) if t.endswith(" %") and t[:-2].replace(".", "").isdigit()
    )
    assert sorted(seen) == pytest.approx(named, rel=0.02)


def test_balance_runs_from_the_first_difference_to_the_last() -> None:
    """One line a kite, left above even and right below."""
    drawing = drawings(evening.balance_chart(BOOK))[0]
    percent = in_percent(drawing)
    for key, f in BOOK.kites.items():
        first, last = [m for m in linked(marks(drawing), key) if m.element.tag.endswith("circle")]
        judged = [r.difference for r in f.balance.rounds if r.difference]
        ends = [percent(dot.at[1]) for dot in (first, last)]
        assert ends == pytest.approx([100 * judged[0].value, 100 * judged[-1].value], abs=0.05)


def test_sails_side_by_side_share_one_scale() -> None:
    """A millimetre is as long across as down; each sail is as wide and tall as its outline."""
    kites = [BOOK.kites["leaf-0"], BOOK.kites["leaf-8"]]
    drawing = drawings(side_by_side.sails_beside(kites, BOOK))[0]
    x = across(drawing)
    for number, f in enumerate(kites):
        outline = pens(drawing, *side_by_side.pen(number).split())[0].pieces[0]
        wide = max(x(p[0]) for p in outline) - min(x(p[0]) for p in outline)
        tall = (max(p[1] for p in outline) - min(p[1] for p in outline)) * near(x)
        assert (wide, tall) == pytest.approx(
            (2000 * f.kite.sail.outline[1][0], 1000 * f.kite.sail.outline[2][1]), rel=0.005
        )


def test_ranges_side_by_side_are_dashed_where_only_predicted() -> None:
    """Flown solid, predicted dashed, each from its low edge to its high one."""
    kites = [BOOK.kites["leaf-0"], BOOK.kites["leaf-8"]]
    drawing = drawings(winds_beside.winds_beside(kites, BOOK))[1]
    x = across(drawing)
    dashed, solid = sorted(pens(drawing, "ks-ink", "kw-heavy"), key=lambda m: "kd-dash" not in m.classes)
    assert "kd-dash" not in solid.classes
    assert "kd-dash" in dashed.classes
    for bar, f in zip((solid, dashed), kites, strict=True):
        assert f.wind.range
        edges = [f.wind.range.low / made.MPH, f.wind.range.high / made.MPH]
        assert [x(p[0]) for p in bar.points] == pytest.approx(edges, abs=near(x))


def test_one_kite_alone_is_not_compared() -> None:
    """Side by side begins with two."""
    assert side_by_side.sails_beside([KITE], BOOK) is None
    assert side_by_side.bows_beside([KITE], BOOK) is None
    assert math.isfinite(KITE.shape.rise_m or math.nan)


def test_small_multiples_share_their_axis_across_and_say_their_finding() -> None:
    """Each mark has its panel with every marked kite; a line with its band only where it is sure.

    The marks are made so that pull grows with the flex wind by rule and track has no order in it.
    """
    marks = {
        key: {"MK": {"pull": 1.0 + min(4.0, f.wind.flex_m_s.value - 1), "track": (1.0, 5.0, 4.0, 2.0)[i % 4]}}
        for i, (key, f) in enumerate(BOOK.kites.items())
        if f.wind.flex_m_s
    }
    book = replace(BOOK, kites={key: replace(f, ratings=marks[key]) for key, f in BOOK.kites.items()})
    drawing = multiples.marks_chart(book, "MK")
    for drawn in drawings(drawing):
        said = " ".join(texts(drawn))
        assert "Pull grows with stiffness" in said
        assert "Track: no pattern seen" in said
        assert len(list(drawn.iter(f"{SVG}use"))) == 2 * len(BOOK.kites)
        assert len(pens(drawn, "kf-zone")) == len(pens(drawn, "ks-ink", "kw-line")) == 1
    assert multiples.marks_chart(BOOK, "MK") is None
