"""Which files of a site came out different, and what the floor has to make of them."""

from __future__ import annotations

import hashlib
import itertools
import json
import re
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path

DRAWING = re.compile(rb'<svg [^>]*class="k k-.*?</svg>', re.S)
CHART_FILE = re.compile(r"(kites/[^/]+/chart-|charts/).+\.(svg|png)")
KITE_PAGE = re.compile(r"kites/[^/]+/index\.html")


def digests(folder: Path) -> dict[str, str]:
    """Every file below a folder, by its path with forward slashes, and the digest of its bytes."""
    files = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def different(before: Mapping[str, str], after: Mapping[str, str]) -> list[str]:
    """The paths whose bytes are new."""
    return [path for path, digest in after.items() if before.get(path) != digest]


def charts_of(page: Path) -> set[bytes]:
    """The charts of a page."""
    return set(DRAWING.findall(page.read_bytes()))


def new_charts(page: Path, before: Path) -> list[tuple[int, int]]:
    """The charts of a page that were not in the page as it was, each as its number of texts and of other marks."""
    new = charts_of(page) - (charts_of(before) if before.exists() else set())
    return sorted(texts_and_marks(drawing) for drawing in new)


def texts_and_marks(drawing: bytes) -> tuple[int, int]:
    """How many texts (and kites, each an element like a text) and how many lines are on a chart.

    All its points together count as one line: matplotlib draws them in one go.
    """
    return drawing.count(b"<text") + drawing.count(b"<use"), drawing.count(b"<path") + (b"<circle" in drawing)


def in_words_and_lines(sheet: Path) -> list[tuple[list[str], int]]:
    """The pages of a sheet, each as its lines of words and its number of strokes."""
    from pypdf import PdfReader

    leaves = []
    for leaf in PdfReader(sheet).pages:
        contents = leaf.get_contents()
        strokes = contents.get_data().split() if contents else []
        leaves.append((leaf.extract_text().splitlines(), sum(strokes.count(sign) for sign in (b"S", b"B", b"s", b"f"))))
    return leaves


def write_plan(plan: Path, book: Path, kept: Path, sources: Iterable[str], changed: Iterable[str]) -> None:
    """The plan of a floor: which of the book's files it parses and which of the site's it makes, by kind.

    `kept` is the site as it was before; the floor writes into a folder beside it.
    """
    site, out = book / "output", kept.with_name("floor")
    shutil.rmtree(out, ignore_errors=True)
    changed = sorted(changed)
    pages = [at for at in changed if at.endswith(".html")]
    charts = {at: new_charts(site / at, kept / at) for at in pages}
    sheets = [at for at in changed if at.endswith(".pdf")]
    cards = [at for at in changed if at.endswith("card.png")]
    on_files = {
        at: texts_and_marks((site / at).with_suffix(".svg").read_bytes()) for at in changed if CHART_FILE.fullmatch(at)
    }
    drawn = {at: marks for at, marks in on_files.items() if at.endswith(".png")}
    photos = [at for at in changed if re.search(r"-\d+\.(webp|jpg)$", at)]
    todo = {
        "book": str(book),
        "site": str(site),
        "out": str(out),
        "sources": [at for at in sources if at.endswith((".md", ".yaml"))],
        "kites": sum(1 for at, new in charts.items() if new and KITE_PAGE.fullmatch(at)),
        "pages": pages,
        "charts": [*itertools.chain(*charts.values()), *(on_files[at] for at in on_files if at.endswith(".svg"))],
        "sheets": sheets,
        "counted": [in_words_and_lines(site / at) for at in sheets[:6]],
        "cards": cards,
        "drawn": drawn,
        "photos": photos,
        "copies": sorted({*changed} - {*pages, *sheets, *cards, *drawn, *photos}),
    }
    plan.write_text(json.dumps(todo), encoding="utf-8")


def keep(kept: Path, site: Path, changed: Iterable[str]) -> None:
    """Brings the kept site up to date."""
    for address in changed:
        file = kept / address
        file.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(site / address, file)
