"""The floors: what the libraries alone take for the same book, with nothing of the program around them.

    python tests/speed/floors.py WHAT BOOK …      (started by run.py, as a process of its own)

Nothing here imports bowbook. A floor reads the files the program reads, parses them with the same parser, makes as
many of the same library calls on data of the same size, and writes the same bytes.
"""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path


def kite_files(book: Path) -> list[Path]:
    """The book's kite files."""
    return sorted((book / "content" / "kites").glob("*.md"))


def parse(files: list[Path]) -> list[tuple[object, str]]:
    """Front matter as YAML nodes (with their places) and story, by the C parser."""
    import yaml

    parsed = []
    for file in files:
        _, front, story = file.read_bytes().decode().split("---\n", 2)
        parsed.append((yaml.compose(front, Loader=yaml.CSafeLoader), story))
    return parsed


def stat_all(folder: Path) -> int:
    """Looks at every file's size and times."""
    seen = 0
    todo = [folder]
    while todo:
        with os.scandir(todo.pop()) as entries:
            for entry in entries:
                if entry.is_dir(follow_symlinks=False):
                    todo.append(Path(entry.path))
                else:
                    entry.stat()
                    seen += 1
    return seen


def solve(kites: int) -> None:
    """The linear algebra of so many kites: two halves' and a whole bow's column loads, one bent bow."""
    import numpy as np

    for _ in range(kites):
        for size in (10, 10, 20):
            np.linalg.eigvals(np.eye(size) + 1.0 / size)
        for _ in range(4):
            np.linalg.solve(np.eye(26) + 1.0 / 26, np.ones(26))


def pages_again(site: Path, addresses: list[str], out: Path) -> None:
    """The same pages from one template: each text between two tags set in and escaped, then written."""
    import jinja2

    template = jinja2.Environment(autoescape=True).from_string(
        "{% for markup, text in pieces %}{{ markup | safe }}{{ text }}{% endfor %}"
    )
    for address in addresses:
        parts = re.split(r">([^<>]+)<", (site / address).read_text(encoding="utf-8"))
        pieces = [*zip(parts[::2], parts[1::2], strict=False), (parts[-1], "")]
        file = out / address
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(template.render(pieces=pieces), encoding="utf-8")


def stories(parsed: list[tuple[object, str]]) -> None:
    """Every story as HTML."""
    import markdown_it

    render = markdown_it.MarkdownIt("commonmark").enable("table").render
    for _, story in parsed:
        render(story)


def sheets(site: Path, out: Path, only: str = "") -> None:
    """As many PDF pages with as many lines and words as the site's sheets have, drawn straight by matplotlib."""
    import io

    import matplotlib
    from matplotlib.artist import Artist
    from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties
    from matplotlib.path import Path as Line
    from matplotlib.transforms import IdentityTransform

    class Drawn(Artist):
        def __init__(self, words: list[str], lines: int) -> None:
            super().__init__()
            self.words, self.lines = words, lines

        def draw(self, renderer: object) -> None:
            face = FontProperties(size=8)
            for i, word in enumerate(self.words):
                gc = renderer.new_gc()  # type: ignore[attr-defined]
                renderer.draw_text(gc, 40 + i % 7 * 60, 40 + i // 7 * 9, word, face, 0)  # type: ignore[attr-defined]
                gc.restore()
            for i in range(self.lines):
                gc = renderer.new_gc()  # type: ignore[attr-defined]
                renderer.draw_path(gc, Line([(9, i), (200, i)]), IdentityTransform(), None)  # type: ignore[attr-defined]
                gc.restore()

    for pages, address in read_plan(site):
        if not address.startswith(only):
            continue
        stream = io.BytesIO()
        with matplotlib.rc_context({"pdf.fonttype": 42, "pdf.compression": 6}):
            book = PdfPages(stream, metadata={"CreationDate": None})
            for words, lines in pages:
                figure = Figure(figsize=(210 / 25.4, 297 / 25.4), frameon=False)
                figure.add_artist(Drawn(words, lines))
                FigureCanvasPdf(figure).print_pdf(book)
            book.close()
        file = out / address
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(stream.getvalue())


def read_plan(site: Path) -> list[tuple[list[tuple[list[str], int]], str]]:
    """What run.py counted in the site's sheets: for each, its pages as (words, number of lines), and its address."""
    import json

    plan: list[tuple[list[tuple[list[str], int]], str]] = json.loads((site.parent / "sheets.json").read_text())
    return plan


def cards(site: Path, out: Path, only: str = "*") -> None:
    """The preview pictures again: as many pixels, drawn on and written by Pillow alone."""
    from PIL import Image, ImageDraw

    for file in site.glob(f"kites/{only}/card.png"):
        with Image.open(file) as made:
            size, mode = made.size, made.mode
        blank = Image.new(mode, size)
        ImageDraw.Draw(blank).line([(0, 0), size], width=3)
        there = out / file.relative_to(site)
        there.parent.mkdir(parents=True, exist_ok=True)
        blank.save(there)


def copies(site: Path, out: Path) -> None:
    """Everything else, written as it is."""
    for file in site.rglob("*"):
        if file.is_file() and file.suffix not in (".html", ".pdf") and file.name != "card.png":
            there = out / file.relative_to(site)
            there.parent.mkdir(parents=True, exist_ok=True)
            there.write_bytes(file.read_bytes())


def cold(book: Path, site: Path, out: Path) -> None:
    """A whole publish: parse, solve, stories, pages, sheets, pictures, everything else."""
    import click  # noqa: F401 (a command line has to be read)

    parsed = parse(kite_files(book))
    solve(len(parsed))
    stories(parsed)
    pages_again(site, [p.relative_to(site).as_posix() for p in site.rglob("*.html")], out)
    sheets(site, out)
    cards(site, out)
    copies(site, out)


def one(book: Path, site: Path, out: Path, key: str) -> None:
    """One kite's story changed: stat all, parse its file, solve it, its story as HTML, its page and its file."""
    import click  # noqa: F401

    stat_all(book / "content")
    stat_all(site)
    parsed = parse([book / "content" / "kites" / f"{key}.md"])
    solve(1)
    stories(parsed)
    pages_again(site, [f"kites/{key}/index.html"], out)
    (out / "kites" / key / "kite.md").write_bytes((site / "kites" / key / "kite.md").read_bytes())


def lists(book: Path, site: Path, out: Path, key: str) -> None:
    """One kite's figures changed: the same, the pages that list it, its sheet and its picture, and the data files."""
    one(book, site, out, key)
    shared = [p.name for p in site.glob("*.html")] + [f"bands/{p.name}" for p in site.glob("bands/*.html")]
    pages_again(site, [*shared, f"kites/{key}/sheet.html"], out)
    for data in (*site.glob("data/*.*"), site / "feed.xml", site / "sw.js"):
        there = out / data.relative_to(site)
        there.parent.mkdir(exist_ok=True)
        there.write_bytes(data.read_bytes())
    sheets(site, out, f"kites/{key}/")
    cards(site, out, key)


def nothing(book: Path, site: Path) -> None:
    """Nothing changed: the reader's imports, and a look at every file."""
    import click
    import yaml  # noqa: F401

    stat_all(book / "content")
    stat_all(site)
    click.echo("")


def check(book: Path) -> None:
    """Reading and parsing every file."""
    import click

    parse(kite_files(book))
    click.echo("")


def figures(book: Path) -> None:
    """Reading, parsing and the linear algebra of every kite."""
    check(book)
    solve(len(kite_files(book)))


def photo(file: Path, out: Path) -> None:
    """One photo upright in three widths, by Pillow alone: reduced while decoding, each width from the one above."""
    from PIL import Image, ImageOps

    with Image.open(file) as opened:
        opened.draft("RGB", (1440, round(1440 * opened.height / opened.width)))
        picture = ImageOps.exif_transpose(opened).convert("RGB")
    for width in (1440, 960, 480):
        picture = picture.resize((width, round(picture.height * width / picture.width)), Image.Resampling.LANCZOS)
        picture.save(out / f"{width}.webp", quality=78, method=2)
        picture.save(out / f"{width}.jpg", quality=78)


if __name__ == "__main__":
    what, *rest = sys.argv[1:]
    globals()[what](*(Path(word) if os.sep in word else word for word in rest))
