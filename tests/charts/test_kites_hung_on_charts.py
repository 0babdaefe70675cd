"""Kites on charts and preview pictures: the same silhouettes as on the pages, whatever their sail holds.

Transforms: Scalable Vector Graphics 2, 8.5 (the last of a list is done first); an error in path data ends the path
where it stands: 9.5.4. Colour names: CSS Color 4.
"""

from __future__ import annotations

import io
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace
from PIL import Image

from bowbook.book.sail import Panels, SailDrawing
from bowbook.charts import comfort, takeaway
from bowbook.charts.board import Board, LineMark, SailsMark, TextMark
from bowbook.charts.card import card_png
from bowbook.charts.labels import wide
from bowbook.charts.paths import shapes_in
from bowbook.charts.sheet import sheet_of
from bowbook.charts.style import default_style
from bowbook.findings.compute import compute_findings
from bowbook.format.read_book import read_book
from charts import made
from charts.looking import SVG, drawings
from helpers import ROOT

BOOK = made.book(9)
KITE = BOOK.kites["leaf-0"]


def box(markup: str) -> list[float]:
    (shape,) = shapes_in(markup)
    return [float(v) for v in shape.path.get_extents().extents]


def test_a_list_of_transforms_is_done_from_its_end() -> None:
    """Scaled first, then moved; turned by 90° a square right of the origin lies below it; groups add to it."""
    square = '<rect x="1" y="2" width="3" height="4"{}/>'
    assert box(square.format("")) == [1, 2, 4, 6]
    assert box(square.format(' transform="translate(10 20) scale(2)"')) == [12, 24, 18, 32]
    assert box(square.format(' transform="rotate(90)"')) == pytest.approx([-6, 1, -2, 4])
    assert box(f'<g transform="translate(1,1)"><g transform="scale(2 3)">{square.format("")}</g></g>') == [3, 7, 9, 19]
    assert box('<defs><path id="a" d="M0 0H2V2Z"/></defs><use href="#a" x="5" y="6"/>') == [5, 6, 7, 8]


def test_paints_are_handed_down_and_see_through() -> None:
    """A group's paint is its shapes'; "none" paints nothing; opacities multiply; a gradient gives its middle stop."""
    first, second = shapes_in('<g fill="#ff0000" opacity="0.5"><path d="M0 0H1V1Z"/><path fill="none" d="M0 0H1"/></g>')
    assert first.fill == (1, 0, 0, 0.5)
    assert second.fill is None
    (shape,) = shapes_in(
        '<linearGradient id="g"><stop stop-color="red"/><stop stop-color="lime"/><stop stop-color="blue"/>'
        '</linearGradient><circle r="3" fill="url(#g)" stroke="rgb(0, 50%, 255)"/>'
    )
    assert shape.fill == (0, 1, 0, 1)
    assert shape.stroke == pytest.approx((0, 0.5, 1, 1), abs=0.003)


@pytest.mark.parametrize("data", ["M0 0L4 4L5", "M0 0 L", "L1 1", "", "M1", "M0 0A0 0 0 0 1 3 3", "M0 0C1 1 2 2", "Z"])
def test_broken_path_data_never_fails(data: str) -> None:
    """What checking passes is drawn; a path is drawn as far as it is well written."""
    assert len(shapes_in(f'<path d="{data}"/>')) <= 1


def test_every_kite_with_an_outline_hangs_on_the_flyers_chart() -> None:
    """Flown ones in their colours, predicted ones hollow; each in every shape of the chart, and in the PNG."""
    chart = comfort.flyer_chart(BOOK, "MK")
    assert chart is not None
    kites = {f"#k-{key}" for key in BOOK.kites}
    for drawing in drawings(chart):
        uses = list(drawing.iter(f"{SVG}use"))
        assert {use.get("href") for use in uses} == kites
        hollow = {use.get("href") for use in uses if use.get("class") == "k-hollow"}
        assert hollow == {f"#k-{key}" for key, f in BOOK.kites.items() if "MK" not in f.wind.flown}
    picture = Image.open(
        io.BytesIO(takeaway.png_file(takeaway.taken_home(chart, "", default_style()), default_style()))
    ).convert("RGB")
    assert (0xB2, 0x3A, 0x48) in {colour for _, colour in picture.getcolors(1_000_000) or ()}


def test_a_hollow_kite_taken_home_has_spars_that_paper_shows() -> None:
    """A black sail has pale spars where it hangs in its colours, dark ones where it is hollow."""
    black = {
        key: replace(one, kite=replace(one.kite, sail=replace(one.kite.sail, colours=("#10141a", "#10141a"))))
        for key, one in BOOK.kites.items()
    }
    chart = comfort.flyer_chart(replace(BOOK, kites=black), "MK")
    assert chart is not None
    look = default_style()
    root = ElementTree.fromstring(takeaway.svg_file(takeaway.taken_home(chart, "", look), look))
    shapes = {f"#{group.get('id')}": group for group in root.iter(f"{SVG}g") if group.get("id")}
    seen = set()
    for use in root.iter(f"{SVG}use"):
        hollow = use.get("class") == "k-hollow"
        spars = {p.get("class") for p in shapes[use.get("href") or ""] if "k-spar" in p.get("class", "")}
        assert spars == ({"k-spar"} if hollow else {"k-spar k-pale"})
        seen.add(hollow)
    assert seen == {True, False}


def test_the_demonstrations_large_charts_name_nearly_every_kite() -> None:
    """A name without room beside its kite stands further off, at the end of a line; lines run through no name."""
    demo = compute_findings(read_book(ROOT))
    for flyer in demo.flyers:
        chart = comfort.flyer_chart(demo, flyer)
        assert chart is not None
        board, sheet = Board(), sheet_of("broad", default_style())
        chart.draw(board, sheet)
        marks = board.scene(sheet.width, 600).marks
        hung = {one.sail.id for mark in marks if isinstance(mark, SailsMark) for one in mark.hung}
        names = [mark for mark in marks if isinstance(mark, TextMark) and "kt-name" in mark.inks]
        assert len(names) >= 0.9 * len(hung)
        lines = [m.points for m in marks if isinstance(m, LineMark) and m.inks == "ks-soft kw-hair"]
        for (x0, y0), (x1, y1) in lines:
            for name in names:
                start = name.x - {"start": 0, "middle": 0.5, "end": 1}[name.anchor] * wide(name.text, 13)
                for part in (n / 40 for n in range(40)):
                    x, y = x0 + (x1 - x0) * part, y0 + (y1 - y0) * part
                    assert not (start < x < start + wide(name.text, 13) and name.y - 9 < y < name.y)


def test_the_phone_has_a_row_for_each_kite_softest_first() -> None:
    """Names stand under one another in the order of the winds that the bows flex in, and none runs into its figure."""
    narrow = drawings(comfort.flyer_chart(BOOK, "MK"))[2]
    names = [t.text or "" for t in narrow.iter(f"{SVG}text") if "kt-name" in t.get("class", "")]
    order = sorted(BOOK.kites.values(), key=lambda f: f.wind.flex_m_s.value if f.wind.flex_m_s else 0)
    assert names == [f.kite.name for f in order]


def test_the_preview_picture_shows_panels_and_the_makers_drawing() -> None:
    """A sail in three colours and a disc painted on it: as on the page, not two plain halves."""
    panels = Panels("quarters", ("#ff8800", "#008855", "#2244cc"))
    disc = SailDrawing((0.0, 0.0, 10.0, 10.0), '<circle cx="5" cy="4" r="1.5" fill="#00ffff"/>')
    kite = replace(KITE, kite=replace(KITE.kite, sail=replace(KITE.kite.sail, panels=panels, drawing=disc)))
    picture = Image.open(io.BytesIO(card_png(kite, BOOK))).convert("RGB")
    seen = {colour for _, colour in picture.getcolors(1_000_000) or ()}
    assert {(0xFF, 0x88, 0), (0, 0x88, 0x55), (0x22, 0x44, 0xCC), (0, 0xFF, 0xFF)} <= seen
