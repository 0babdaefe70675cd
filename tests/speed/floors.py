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
from collections.abc import Sequence
from pathlib import Path


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


def charts(number: int) -> None:
    """So many charts by matplotlib as lean as it goes: one figure, its lines, points and texts given new data."""
    import matplotlib
    import numpy as np
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.collections import LineCollection
    from matplotlib.figure import Figure

    with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "x", "path.simplify": False}):
        figure = Figure(figsize=(6, 3.5))
        canvas = FigureCanvasSVG(figure)
        axes = figure.add_axes((0.1, 0.1, 0.85, 0.85), xlim=(0, 1), ylim=(0, 3))
        axes.set_axis_off()
        axes.add_collection(LineCollection([[(0, i / 2), (1, i / 2)] for i in range(6)], linewidths=0.5))
        (points,) = axes.plot([], [], "o")
        lines = [axes.plot([], [])[0] for _ in range(2)]
        texts = [axes.text(i / 12, i / 6, "") for i in range(12)]
        x = np.linspace(0, 1, 60)
        for turn in range(number):
            points.set_data(x[::6], 1 + np.sin(x[::6] + turn))
            for i, line in enumerate(lines):
                line.set_data(x, 1 + i / 2 + np.sin(x + turn))
            for i, text in enumerate(texts):
                text.set_text(f"{turn % 90 + i} g")
            canvas.print_svg(io.BytesIO(), metadata={"Date": None})


def pictures(site: Path, addresses: Sequence[str], out: Path) -> None:
    """As many charts in dots, as large, by matplotlib's Agg with new data each and written by Pillow in few."""
    import numpy as np
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.collections import LineCollection
    from matplotlib.figure import Figure
    from PIL import Image

    figure = Figure(dpi=100)
    canvas = FigureCanvasAgg(figure)
    axes = figure.add_axes((0.1, 0.1, 0.85, 0.85), xlim=(0, 1), ylim=(0, 3))
    axes.set_axis_off()
    axes.add_collection(LineCollection([[(0, i / 2), (1, i / 2)] for i in range(6)], linewidths=0.5))
    lines = [axes.plot([], [])[0] for _ in range(3)]
    texts = [axes.text(i / 12, i / 6, "") for i in range(12)]
    x = np.linspace(0, 1, 60)
    for turn, address in enumerate(addresses):
        with Image.open(site / address) as made:
            size = made.size
        figure.set_size_inches(size[0] / 100, size[1] / 100)
        for i, line in enumerate(lines):
            line.set_data(x, 1 + i / 2 + np.sin(x + turn))
        for i, text in enumerate(texts):
            text.set_text(f"{turn % 90 + i} g")
        canvas.draw()
        dots = Image.frombuffer("RGBA", canvas.get_width_height(), canvas.buffer_rgba(), "raw", "RGBA", 0, 1)
        dots.convert("RGB").quantize(64, Image.Quantize.FASTOCTREE).save(room_for(out / address))


def sheets(counted: Sequence[Sequence[tuple[list[str], int]]], addresses: Sequence[str], out: Path) -> None:
    """As many PDF pages with as many lines and words as the site's sheets have, drawn straight by reportlab."""
    from importlib.util import find_spec

    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    home = find_spec("matplotlib")
    assert home is not None
    assert home.origin is not None
    pdfmetrics.registerFont(TTFont("face", Path(home.origin).parent / "mpl-data" / "fonts" / "ttf" / "DejaVuSans.ttf"))
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
