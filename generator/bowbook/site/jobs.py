"""Every file of the site as a job: its address, a digest of all it is made from, and how it is made.

A job whose digest is the one remembered for its address need not be done: its file is there already.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Literal, cast

from bowbook.book.quick import dataclass
from bowbook.book.reading import KITES
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings
from bowbook.site.digests import Digests
from bowbook.site.marks import Marks
from bowbook.site.pages import PageSpec
from bowbook.site.parts import Parts
from bowbook.site.theme import Theme

SCHEMAS: tuple[Literal["kite", "book", "rods", "skins"], ...] = ("kite", "book", "rods", "skins")


@dataclass(frozen=True, slots=True)
class Job:
    """One file to make. `kind` names what it is for the progress line: jobs of a kind need the same preparation."""

    kind: str
    address: str
    made_of: str
    make: Callable[[], bytes]


@dataclass(frozen=True, slots=True)
class Material:
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


def jobs(material: Material) -> list[Job]:
    """The jobs for every file of the site but its photos, its service worker and its own list, in a fixed order."""
    digests = Digests()
    material.parts.rests_on = _parts(material, digests)
    return [
        *_pages(material, digests),
        *_kite_files(material, digests),
        *_data(material, digests),
        *_assets(material),
    ]


def _parts(material: Material, digests: Digests) -> dict[str, str]:
    """For each kite, a digest of all that its parts of lists and data are made from."""
    shared = _shared(material, digests)
    return {key: _digest(shared, _of_kite(material, key, False, digests)) for key in material.findings.kites}


def _shared(material: Material, digests: Digests) -> str:
    """Of what every kite rests on: program and theme, settings, stock, how sure a reading is."""
    findings, book = material.findings, material.findings.book
    stock = digests.of(book.rods), digests.of(book.skins)
    return _digest(material.version, digests.of(book.settings), *stock, repr(findings.coverage))


def _digest(*parts: str) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()


def _pages(material: Material, digests: Digests) -> list[Job]:
    made = []
    for spec in material.specs:
        told = spec.view == "kite"
        facts = [part for name, fact in spec.facts for part in (name, _fact(material, name, fact, told, digests))]
        made_of = _digest("page", material.version, spec.address, spec.template, spec.view, *facts)
        made.append(Job("page", spec.address, made_of, partial(material.theme.render, spec)))
    return made


def _kite_files(material: Material, digests: Digests) -> list[Job]:
    """What stands beside each kite's page: the printable sheet, the picture for previews, the file to build from."""
    findings, style = material.findings, material.theme.style
    shared = _shared(material, digests)
    made = []
    for key in findings.kites:
        own = _of_kite(material, key, False, digests)
        folder, file = f"kites/{key}", f"{KITES}/{key}.md"
        made += [
            Job("sheet", f"{folder}/sheet.pdf", _digest("sheet", shared, own), partial(_sheet, findings, key)),
            Job("card", f"{folder}/card.png", _digest("card", shared, own), partial(_card, findings, key, style)),
            Job(
                "kite file",
                f"{folder}/kite.md",
                _digest("kite file", shared, own, material.sources.get(file, "")),
                partial(_to_share, material.root / file, findings, key),
            ),
        ]
    return made


def _data(material: Material, digests: Digests) -> list[Job]:
    """The data files, the schemas and the feed; the sitemap where the site's address is known."""
    findings = material.findings
    parts = [_of_kite(material, key, False, digests) for key in findings.kites]
    parts += [digests.of(flyer) for flyer in findings.flyers.values()]
    parts += [digests.of(part) for part in (findings.book.settings, findings.book.rods, findings.book.skins)]
    whole = _digest(material.version, *parts)
    made = [
        Job("data", f"data/{name}", _digest(name, whole), partial(_data_file, name, material))
        for name in ("kites.json", "kites.csv")
    ]
    made.append(Job("data", "feed.xml", _digest("feed", whole), partial(_data_file, "feed.xml", material)))
    made += [
        Job("schema", f"data/schema/{kind}.json", _digest("schema", material.version, kind), partial(_schema, kind))
        for kind in SCHEMAS
    ]
    address = findings.book.settings.address
    if address is not None:
        places = [f"{spec.address} {spec.priority}" for spec in material.specs]
        made_of = _digest("sitemap", material.version, address, *places)
        made.append(Job("data", "sitemap.xml", made_of, partial(_sitemap, address, material.specs)))
    return made


def _fact(material: Material, name: str, fact: object, told: bool, digests: Digests) -> str:
    """The digest of one fact of a page; `told` if the page tells a kite's story."""
    if name == "parts":
        return ""  # they say nothing that the kites do not say
    if name == "kites":
        return _digest(*(_of_kite(material, key, told, digests) for key in cast("Mapping[str, object]", fact)))
    if name in ("here", "links"):
        return repr(fact)  # a band or a key; keys of kites and pages: shorter than any digest
    return digests.of(fact)


def _of_kite(material: Material, key: str, told: bool, digests: Digests) -> str:
    """The digest of a kite, with or without its story and photos: its own marks, and the flyers that foretell it."""
    marks, findings = material.marks[key], material.findings
    foretold = digests.of(findings.flyers) if findings.told[key].flex_m_s is not None else ""
    return _digest(key, marks.whole if told else marks.untold, foretold)


def _assets(material: Material) -> list[Job]:
    """The theme's own files; they are at hand, so their bytes stand for themselves."""
    made = []
    for address, data in material.theme.assets(material.findings.book.settings.accent):
        made.append(Job("asset", address, hashlib.sha256(data).hexdigest(), partial(bytes, data)))
    return made


def _sheet(findings: BookFindings, key: str) -> bytes:
    from bowbook.site.sheet import sheet_pdf

    return sheet_pdf(findings, key, findings.book.settings.paper)


def _card(findings: BookFindings, key: str, style: Style) -> bytes:
    from bowbook.charts.card import card_png

    return card_png(findings.kites[key], findings, style)


def _to_share(path: Path, findings: BookFindings, key: str) -> bytes:
    from bowbook.site.sheets.sharing import copy_for_sharing

    return copy_for_sharing(path.read_bytes().decode("utf-8-sig"), findings.book, key).encode()


def _data_file(name: str, material: Material) -> bytes:
    from bowbook.site import feeds

    if name == "kites.json":
        return feeds.book_as_json(material.findings, material.parts).encode()
    if name == "kites.csv":
        return feeds.as_csv(material.findings, material.parts).encode()
    return feeds.as_atom(material.findings, material.parts).encode()


def _schema(kind: Literal["kite", "book", "rods", "skins"]) -> bytes:
    from bowbook.book.schema import json_schema
    from bowbook.site.feeds import json_text

    return json_text(json_schema(kind)).encode()


def _sitemap(address: str, specs: tuple[PageSpec, ...]) -> bytes:
    from bowbook.site.feeds import as_sitemap

    return as_sitemap(address, specs).encode()
