"""The floor: what the libraries alone take to make given files of a site, with nothing of the program around them.

    python tests/speed/floors.py PLAN.json      (started by run.py, as a process of its own)

Nothing here imports bowbook. The plan says which of the book's files are new and which of the site's files are to be
made of them; the floor imports what reads a book (click, yaml, msgspec), looks at every file of book and site, parses
the new ones with the parser that the program uses, makes as many of the same library calls on data of the same size,
and writes as many bytes.
"""

from __future__ import annotations

import io
import itertools
import json
import os
import re
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any


def stat_all(folder: Path) -> None:
    """Looks at every file's size and times."""
    todo = [folder]
    while todo:
        with os.scandir(todo.pop()) as entries:
            for entry in entries:
                if entry.is_dir(follow_symlinks=False):
                    todo.append(Path(entry.path))
                else:
                    entry.stat()


def room_for(file: Path) -> Path:
    """The same path, its folder made."""
    file.parent.mkdir(parents=True, exist_ok=True)
    return file


def parse(files: Sequence[Path]) -> list[str]:
    """Every file's YAML as nodes (with their places), by the C parser; gives the stories behind it."""
    import yaml

    stories = []
    for file in files:
        _, front, story = ("---\n" + file.read_text(encoding="utf-8") + "---\n").rsplit("---\n", 3)[-3:]
        yaml.compose(front or story, Loader=yaml.CSafeLoader)
        stories.append(story)
    return stories


def font_file() -> Path:
    """The font that comes with matplotlib."""
    from importlib.util import find_spec

    home = find_spec("matplotlib")
    assert home is not None
    assert home.origin is not None
    return Path(home.origin).parent / "mpl-data" / "fonts" / "ttf" / "DejaVuSans.ttf"


def solve(kites: int) -> None:
    """The linear algebra of so many kites: two halves' and a whole bow's column loads, one bent bow."""
    import numpy as np

    for _ in range(kites):
        for size in (10, 10, 20):
            np.linalg.eigvals(np.eye(size) + 1.0 / size)
        for _ in range(4):
            np.linalg.solve(np.eye(26) + 1.0 / 26, np.ones(26))


def stories(texts: Sequence[str]) -> None:
    """Every story as HTML."""
    import markdown_it

    render = markdown_it.MarkdownIt("commonmark").enable("table").render
    for text in texts:
        render(text)


def pages(site: Path, addresses: Sequence[str], out: Path) -> None:
    """The same pages from one template: each text between two tags set in and escaped, then written."""
    import jinja2

    template = jinja2.Environment(autoescape=True).from_string(
        "{% for markup, text in pieces %}{{ markup | safe }}{{ text }}{% endfor %}"
    )
    for address in addresses:
        parts = re.split(r">([^<>]+)<", (site / address).read_text(encoding="utf-8"))
        pieces = [*zip(parts[::2], parts[1::2], strict=False), (parts[-1], "")]
        room_for(out / address).write_text(template.render(pieces=pieces), encoding="utf-8")


class Plot:
    """One figure of matplotlib as lean as it goes, its lines and texts kept and given new data for each chart.

    A text is handed to the renderer as it is: laying it out would take longer than writing it.
    """

    def __init__(self, dpi: int = 72) -> None:
        from matplotlib.figure import Figure
        from matplotlib.text import Text

        class Words(Text):
            def draw(self, renderer: Any) -> None:
                if self.get_visible():
                    x, y = self.get_transform().transform(self.get_position())
                    renderer.draw_text(renderer.new_gc(), x, y, self.get_text(), self.get_fontproperties(), 0)

        self.words = Words
        self.figure = Figure(figsize=(6, 3.5), dpi=dpi)
        self.axes = self.figure.add_axes((0, 0, 1, 1), xlim=(0, 1), ylim=(0, 1))
        self.axes.set_axis_off()
        self.lines: list[Any] = []
        self.texts: list[Any] = []

    def show(self, turn: int, texts: int, marks: int) -> None:
        """So many texts and so many lines: one of sixty points in five, the others of two."""
        while len(self.lines) < marks:
            self.lines.append(self.axes.plot([], [])[0])
        while len(self.texts) < texts:
            self.texts.append(self.axes.add_artist(self.words(0, 0, "")))
        for number, line in enumerate(self.lines):
            points = 2 if number % 5 else 60
            line.set_data(
                [i / points for i in range(points)], [(number + turn + i % 3) % 90 / 90 for i in range(points)]
            )
            line.set_visible(number < marks)
        for number, text in enumerate(self.texts):
            text.set(position=(number % 7 / 7, number // 7 % 9 / 9), text=f"{turn % 90 + number} g")
            text.set_visible(number < texts)


def charts(counted: Sequence[Sequence[int]]) -> None:
    """As many charts by matplotlib, each with as many texts and other marks."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "x", "path.simplify": False}):
        plot = Plot()
        canvas = FigureCanvasSVG(plot.figure)
        for turn, (texts, marks) in enumerate(counted):
            plot.show(turn, texts, marks)
            canvas.print_svg(io.BytesIO(), metadata={"Date": None})


def pictures(site: Path, counted: Mapping[str, Sequence[int]], out: Path) -> None:
    """As many charts in dots, as large, with as many marks by matplotlib's Agg and texts by Pillow, in few colours."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from PIL import Image, ImageDraw, ImageFont

    plot = Plot(dpi=100)
    canvas = FigureCanvasAgg(plot.figure)
    face = ImageFont.truetype(font_file(), 22)
    for turn, (address, (texts, marks)) in enumerate(counted.items()):
        with Image.open(site / address) as made:
            size = made.size
        plot.figure.set_size_inches(size[0] / 100, size[1] / 100)
        plot.show(turn, 0, marks)
        canvas.draw()
        dots = Image.frombuffer("RGBA", canvas.get_width_height(), canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
        picture = dots.convert("RGB")
        pen = ImageDraw.Draw(picture)
        for number in range(texts):
            pen.text((number * 37 % size[0], number * 53 % size[1]), f"{turn % 90 + number} g", (0, 0, 0), face)
        picture.quantize(64, Image.Quantize.FASTOCTREE).save(room_for(out / address))


def sheets(counted: Sequence[Sequence[tuple[list[str], int]]], addresses: Sequence[str], out: Path) -> None:
    """As many PDF pages with as many lines and words as the site's sheets have, drawn straight by reportlab."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    pdfmetrics.registerFont(TTFont("face", font_file()))
    for leaves, address in zip(itertools.cycle(counted), addresses, strict=False):
        canvas = Canvas(str(room_for(out / address)), pagesize=(595, 842), invariant=True, pageCompression=1)
        for words, lines in leaves:
            canvas.setFont("face", 8)
            for i, word in enumerate(words):
                canvas.drawString(40 + i % 7 * 60, 40 + i // 7 * 9, word)
            for i in range(lines):
                canvas.line(9, i % 800, 200, i % 800)
            canvas.showPage()
        canvas.save()


def cards(site: Path, addresses: Sequence[str], out: Path) -> None:
    """The preview pictures again: as many pixels, drawn on and written by Pillow alone."""
    from PIL import Image, ImageDraw

    for address in addresses:
        with Image.open(site / address) as made:
            blank = Image.new(made.mode, made.size)
        ImageDraw.Draw(blank).line([(0, 0), blank.size], width=3)
        blank.save(room_for(out / address))


def photos(book: Path, addresses: Sequence[str], out: Path) -> None:
    """Photos upright in their widths, by Pillow alone: each decoded once, each width from the one above."""
    from PIL import Image, ImageOps

    def taken(address: str) -> str:
        return address.rpartition("-")[0]

    def width(address: str) -> int:
        return int(re.findall(r"\d+", address)[-1])

    for source, made in itertools.groupby(sorted(addresses), taken):
        widest_first = sorted(made, key=width, reverse=True)
        with Image.open(next((book / "content").glob(f"{source}.*"))) as opened:
            opened.draft("RGB", (width(widest_first[0]), opened.height * width(widest_first[0]) // opened.width))
            picture = ImageOps.exif_transpose(opened).convert("RGB")
        for address in widest_first:
            size = (width(address), round(picture.height * width(address) / picture.width))
            picture = picture.resize(size, Image.Resampling.LANCZOS)
            picture.save(room_for(out / address), quality=78, **({"method": 2} if address.endswith("webp") else {}))


def copies(site: Path, addresses: Sequence[str], out: Path) -> None:
    """Everything else, written as it is."""
    for address in addresses:
        room_for(out / address).write_bytes((site / address).read_bytes())


def main(plan: Path) -> None:
    """Makes what the plan says, each kind by the library for it, which is imported only then."""
    import click
    import msgspec  # noqa: F401 every record of a book is one of its structs
    import yaml  # noqa: F401 the reader's, whatever there is to read

    todo = json.loads(plan.read_text(encoding="utf-8"))
    book, site, out = Path(todo["book"]), Path(todo["site"]), Path(todo["out"])
    stat_all(book / "content")
    if site.exists():
        stat_all(site)
    if todo["sources"]:
        stories(parse([book / source for source in todo["sources"]]))
    if todo["kites"]:
        solve(todo["kites"])
    if todo["pages"]:
        pages(site, todo["pages"], out)
    if todo["charts"]:
        charts(todo["charts"])
    if todo["sheets"]:
        sheets(todo["counted"], todo["sheets"], out)
    if todo["cards"]:
        cards(site, todo["cards"], out)
    if todo["drawn"]:
        pictures(site, todo["drawn"], out)
    if todo["photos"]:
        photos(book, todo["photos"], out)
    copies(site, todo["copies"], out)
    click.echo("")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
