"""Every file of the site as a job: its address, a digest of all it is made from, and how it is made.

A job whose digest is the one remembered for its address need not be done: its file is there already.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import cast, get_args

from msgspec import Struct

from bowbook.book.records import Book
from bowbook.build.digests import Digests
from bowbook.build.marks import Marks
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings
from bowbook.format.json_schema import SchemaName
from bowbook.pages.parts import Parts
from bowbook.pages.plan import PageSpec, pairs_of
from bowbook.pages.take_home import ENDINGS, of_book, of_kite, of_pair
from bowbook.pages.theme import Theme

SCHEMAS: tuple[SchemaName, ...] = get_args(SchemaName)


class Target(Struct, frozen=True):
    """One file to make. `kind` names what it is for the progress line: jobs of a kind need the same preparation."""

    kind: str
    address: str
    made_of: str
    make: Callable[[], bytes]


class BuildContext(Struct, frozen=True):
    """All that jobs are made from. `version` stands for program and themes; `sources` are digests of kite files, by
    name, and `marks` those of kites, by key."""

    root: Path
    version: str
    findings: BookFindings
    theme: Theme
    specs: tuple[PageSpec, ...]
    sources: Mapping[str, str]
    marks: Mapping[str, Marks]
    parts: Parts


def jobs(material: BuildContext) -> list[Target]:
    """The jobs for every file of the site but its photos, its service worker and its own list, in a fixed order."""
    digests = Digests()
    known = _Known(material, digests)
    material.parts.rests_on = known.parts
    return [
        *_pages(material, known, digests),
        *_kite_files(material, known),
        *_charts(material, known, digests),
        *_data(material, known, digests),
        *_assets(material),
    ]


class _Known:
    """What the kites are made from, by key: each `whole`, each `untold` of its story and photos; and its `parts` of
    lists and data, which rest on what all kites rest on too."""

    def __init__(self, material: BuildContext, digests: Digests) -> None:
        findings, book = material.findings, material.findings.book
        flyers = digests.of(findings.flyers)
        foretold = {key: flyers if told.flex_m_s is not None else "" for key, told in findings.told.items()}
        self.whole = {key: f"{key} {material.marks[key].whole} {foretold[key]}" for key in findings.kites}
        self.untold = {key: f"{key} {material.marks[key].untold} {foretold[key]}" for key in findings.kites}
        named = repr([*findings.flyers])  # a row names its flyer by the place in this list
        shared = (
            material.version,
            repr(findings.coverage),
            named,
            *map(digests.of, (book.settings, book.rods, book.skins)),
        )
        self.parts = {key: _digest(*shared, untold) for key, untold in self.untold.items()}


def _digest(*parts: str) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()


def _pages(material: BuildContext, known: _Known, digests: Digests) -> list[Target]:
    made = []
    rest = _digest(material.version, *(digests.of(fact) for _, fact in material.specs[0].shared))
    for spec in material.specs:
        kites = known.whole if spec.view == "kite_page" else known.untold
        facts = [part for name, fact in spec.facts for part in (name, _fact(name, fact, kites, digests))]
        made_of = _digest("page", rest, spec.address, spec.template, spec.view, *facts)
        made.append(Target("page", spec.address, made_of, partial(material.theme.render, spec)))
    return made


def _kite_files(material: BuildContext, known: _Known) -> list[Target]:
    """What stands beside each kite's page: the printable sheet, the picture for previews, the file to build from."""
    findings, style = material.findings, material.theme.style
    made = []
    for key, own in known.parts.items():
        folder, book = f"kites/{key}", findings.book
        made += [
            Target("sheet", f"{folder}/sheet.pdf", f"sheet {own}", partial(_sheet, findings, key)),
            Target("card", f"{folder}/card.png", f"card {own}", partial(_card, findings, key, style)),
            Target("kite file", f"{folder}/kite.md", f"file {known.whole[key]} {own}", partial(_to_share, book, key)),
        ]
    return made


def _charts(material: BuildContext, known: _Known, digests: Digests) -> list[Target]:
    """The charts to take home, two files each: every kite's, and those that hold kites against each other."""
    findings, style = material.findings, material.theme.style
    book = _digest(digests.of(findings.flyers), *known.parts.values())
    of_kites = [(take, own) for key, own in known.parts.items() for take in of_kite(key)]
    of_all = [*of_book(findings.flyers), *(take for pair in pairs_of(findings) for take in of_pair(pair))]
    made = []
    for take, own in [*of_kites, *((take, book) for take in of_all)]:
        for ending in ENDINGS:
            make = partial(take.file, ending, findings, style)
            made.append(Target("chart", take.stem + ending, f"chart {own}", make))
    return made


def _data(material: BuildContext, known: _Known, digests: Digests) -> list[Target]:
    """The data files, the schemas and the feed; the sitemap where the site's address is known."""
    findings = material.findings
    book = findings.book
    shared = [digests.of(part) for part in (findings.flyers, book.settings, book.rods, book.skins)]
    whole = _digest(material.version, *shared, *known.untold.values())
    made = [
        Target("data", f"data/{name}", _digest(name, whole), partial(_data_file, name, material))
        for name in ("kites.json", "kites.csv")
    ]
    made.append(Target("data", "feed.xml", _digest("feed", whole), partial(_data_file, "feed.xml", material)))
    made += [
        Target("schema", f"data/schema/{kind}.json", _digest("schema", material.version, kind), partial(_schema, kind))
        for kind in SCHEMAS
    ]
    address = book.settings.address
    if address is not None:
        places = [f"{spec.address} {spec.priority}" for spec in material.specs]
        made_of = _digest("sitemap", material.version, address, *places)
        made.append(Target("data", "sitemap.xml", made_of, partial(_sitemap, address, material.specs)))
    return made


def _fact(name: str, fact: object, kites: Mapping[str, str], digests: Digests) -> str:
    """What one fact of a page is, `kites` being what each kite is to that page."""
    if name == "parts":
        return ""  # they say nothing that the kites do not say
    if name == "kites":
        return " ".join([kites[key] for key in cast("Mapping[str, object]", fact)])
    if name in ("here", "links"):
        return repr(fact)  # a band or a key; keys of kites and pages: shorter than any digest
    return digests.of(fact)


def _assets(material: BuildContext) -> list[Target]:
    """The theme's own files; they are at hand, so their bytes stand for themselves."""
    made = []
    for address, data in material.theme.assets(material.findings.book.settings.accent):
        made.append(Target("asset", address, hashlib.sha256(data).hexdigest(), partial(bytes, data)))
    return made


def _sheet(findings: BookFindings, key: str) -> bytes:
    from bowbook.sheets.sheet import sheet_pdf

    return sheet_pdf(findings, key, findings.book.settings.paper)


def _card(findings: BookFindings, key: str, style: Style) -> bytes:
    from bowbook.charts.card import card_png

    return card_png(findings.kites[key], findings, style)


def _to_share(book: Book, key: str) -> bytes:
    from bowbook.format.share import kite_to_share

    return kite_to_share(book, key).encode()


def _data_file(name: str, material: BuildContext) -> bytes:
    from bowbook.pages import data_files

    if name == "kites.json":
        return data_files.book_as_json(material.findings, material.parts).encode()
    if name == "kites.csv":
        return data_files.as_csv(material.findings, material.parts).encode()
    return data_files.as_atom(material.findings, material.parts).encode()


def _schema(kind: SchemaName) -> bytes:
    from bowbook.format.json_schema import json_schema
    from bowbook.pages.data_files import json_text

    return json_text(json_schema(kind)).encode()


def _sitemap(address: str, specs: tuple[PageSpec, ...]) -> bytes:
    from bowbook.pages.data_files import as_sitemap

    return as_sitemap(address, specs).encode()
