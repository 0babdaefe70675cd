"""A chart to take home: one SVG or PNG file of its own, with title, source line and colours that do not change."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.charts.board import HOLLOW, Board, SailsMark, Scene
from bowbook.charts.sails import definitions
from bowbook.charts.sheet import Drawing, Sheet, sheet_of
from bowbook.charts.style import Style, stylesheet
from bowbook.charts.svg import number
from bowbook.charts.words import wrapped

if TYPE_CHECKING:
    from PIL import ImageDraw

    from bowbook.charts.artists import TextArtist

EDGE = 24.0  # px of paper around the chart
SHARP = 144  # dots an inch of a PNG; a px of the drawing is 1/72 of an inch
OTHER_DASHES = {"kd-dash": (5.0, 4.0), "kd-dot": (1.2, 3.4), "kd-long": (11.0, 4.0)}
OTHER_WEIGHTS = {"kw-dot": 4.4, "kw-broad": 9.0}
SEE_THROUGH = {"kp-faint": (0.17, 0.34), "kp-half": (0.62, 0.62)}  # fills, strokes
_SOFT = {"kt-tick", "kt-axis", "kt-soft"}


class TakenHome(Struct, frozen=True):
    """A chart to take home with its title over it and its source under it; it has no links."""

    title: str
    description: str
    scene: Scene


def taken_home(drawing: Drawing, source: str, look: Style) -> TakenHome:
    """The chart at its largest with a title over it and the source under it."""
    easel, sheet = Board(), sheet_of(drawing.shapes[0], look)
    height = drawing.draw(easel, sheet)
    title, foot = wrapped(drawing.title, sheet.width, 1.4 * sheet.text), wrapped(source, sheet.width, sheet.small)
    for row, line in enumerate(title):
        easel.write(0, 24 * (row - len(title)) + 12, line, "kt-title")
    for row, line in enumerate(foot):
        easel.write(0, height + 24 + 16 * row, line, "kt-small kt-soft")
    down = EDGE + 24 * len(title)
    size = sheet.width + 2 * EDGE, down + height + 16 * len(foot) + 12 + EDGE
    easel.titles = {}
    return TakenHome(drawing.title, drawing.description, _on_paper(easel.scene(*size, EDGE, down)))


def _on_paper(scene: Scene) -> Scene:
    """The scene with hollow kites in pens that paper shows: a page's style sheet sets theirs, a file has none."""
    marks = (
        replace(mark, hung=[replace(one, sail=one.sail.bare()) for one in mark.hung])
        if isinstance(mark, SailsMark) and mark.inks == HOLLOW
        else mark
        for mark in scene.marks
    )
    return replace(scene, marks=tuple(marks))


def svg_file(chart: TakenHome, look: Style) -> bytes:
    """The chart as an SVG file, its texts still texts."""
    from bowbook.charts.artists import artists
    from bowbook.charts.translate import marks_of

    artists().show(chart.scene)
    width, height = chart.scene.size
    sails = f"<defs>{definitions(chart.scene.sails)}</defs>" if chart.scene.sails else ""
    inside = sails + marks_of(artists().svg(), {})
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="k" width="{number(width)}" height="{number(height)}"'
        f' viewBox="0 0 {number(width)} {number(height)}" direction="ltr">'
        f"<title>{escape(chart.title, quote=False)}</title><desc>{escape(chart.description, quote=False)}</desc>"
        f'<style>{_fixed(look)}</style><rect width="100%" height="100%" fill="{look.card["paper"]}"/>{inside}</svg>\n'
    ).encode()


def png_file(chart: TakenHome, look: Style) -> bytes:
    """The chart as a PNG file, twice as many dots as the drawing has px."""
    from PIL import ImageDraw

    from bowbook.charts.artists import SailsArtist, TextArtist, artists
    from bowbook.charts.pictures import png, png_with_sails

    easel = artists(SHARP)
    easel.show(chart.scene)
    for artist in easel.shown:
        if not isinstance(artist, TextArtist | SailsArtist):
            _colour(artist, look)
    picture = easel.picture(look.card["paper"])
    pen = ImageDraw.Draw(picture)
    for artist in easel.shown:
        if isinstance(artist, TextArtist):
            _write(pen, artist, look, picture.height)
    if not chart.scene.sails:
        return png(picture, _meeting(look))
    from bowbook.charts.paths import fills

    return png_with_sails(
        picture, [*look.card.values(), *(fill for s in chart.scene.sails for fill in fills(s.shapes))]
    )


def _meeting(look: Style) -> list[tuple[str, str]]:
    """The pairs of colours that meet in a chart."""
    paper, sky = look.card["paper"], look.card["sky"]
    on_paper = [(paper, look.card[ink]) for ink in ("sky", "ink", "soft", "accent", "ok", "rule")]
    return on_paper + [(sky, look.card[ink]) for ink in ("ink", "soft", "accent", "rule")]


def nothing_yet() -> Drawing:
    """What stands in place of a chart that there are no figures for."""
    said = "Nothing to draw yet: the readings for this chart are still to come."

    def draw(board: Board, sheet: Sheet) -> float:
        for row, line in enumerate(lines := wrapped(said, sheet.width, sheet.text)):
            board.write(0, 20 + 18 * row, line, "kt-soft")
        return 20.0 + 18 * len(lines)

    return Drawing("", "", "Nothing to draw yet", said, draw)


def _colour(artist: Any, look: Style) -> None:
    """Give a line, a shape or points the colours and weights that their inks name."""
    from matplotlib.colors import to_rgba

    inks = artist.get_gid().split()
    named = {ink[:2]: ink for ink in inks}
    fill, stroke = (look.card.get(named.get(kind, "")[3:]) for kind in ("kf", "ks"))
    see = SEE_THROUGH.get(named.get("kp", ""), (1.0, 1.0))
    weight = named.get("kw", "")
    artist.set_facecolor(to_rgba(fill, see[0]) if fill else "none")
    artist.set_edgecolor(to_rgba(stroke, see[1]) if stroke else "none")
    width = OTHER_WEIGHTS.get(weight) or look.lines.get(weight[3:], 1.0)
    dashes = OTHER_DASHES.get(named.get("kd", ""))
    artist.set_linewidth(width)
    artist.set_linestyle((0, tuple(dash / width for dash in dashes)) if dashes else "solid")
    artist.set_capstyle("round" if {"kd-dot", "k-round"} & {*inks} else "butt")


def _write(pen: ImageDraw.ImageDraw, words: TextArtist, look: Style, height: int) -> None:
    """Write a text in its colour and size, in a font that has its signs; one without a font is left out."""
    from bowbook.charts.fonts import BOLD, ITALIC, SANS, SERIF, file_for
    from bowbook.charts.pictures import font

    inks = {*str(words.get_gid()).split()}
    faces = {"kt-name": ITALIC, "kt-title": SERIF, "kt-bold": BOLD}
    first = next((face for ink, face in faces.items() if ink in inks), SANS)
    file = file_for(words.get_text(), first)
    if file is None:
        return
    ink = "accent" if "kt-accent" in inks else "ok" if "kt-ok" in inks else "soft" if inks & _SOFT else "ink"
    size = look.sizes["small" if inks & {"kt-tick", "kt-small"} else "text"] * (1.4 if "kt-title" in inks else 1)
    x, y = words.get_transform().transform(words.get_unitless_position())
    anchor = {"left": "ls", "center": "ms", "right": "rs"}[words.get_horizontalalignment()]
    face, halo = font(file, size * SHARP / 72), 4 if "kt-halo" in inks else 0
    around = look.card["paper"] if halo else None
    place = (x, height - y)
    pen.text(place, words.get_text(), look.card[ink], face, anchor, stroke_width=halo, stroke_fill=around)


def _fixed(look: Style) -> str:
    """The rules for the chart's classes with colours in place of a page's own."""
    sheet = stylesheet(look)
    rules = sheet[sheet.index(":where(svg.k path") : sheet.index("svg.k a {")]
    for ink, prop in look.inks.items():
        rules = rules.replace(f"var({prop})", look.card[ink])
    rules = rules.replace(f"var({look.fonts['label']}, ", "").replace(f"var({look.fonts['text']}, ", "")
    rules = re.sub(r"var\(--(?:hem|pen|hollow-pen), (#\w+)\)", r"\1", rules)
    return re.sub(r"(sans-serif|serif)\)", r"\1", rules)
