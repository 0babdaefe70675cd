"""Which pages a site has, where each stands, and what each is given.

How the publisher uses this room
--------------------------------
``plan(findings, photos, links)`` gives every HTML page of the site as a `PageSpec`, in a fixed order; making the plan
is cheap: it formats no number and draws nothing. A spec names its *facts*: the frozen records and results the page is
made from. The fact "kites" is a mapping that fetches a kite's findings when a view asks for them: the publisher knows
their digests without looking. A page whose facts, template folder and program version are unchanged has unchanged
bytes and need not be rendered.

``theme.render(spec) -> bytes`` (see `bowbook.pages.theme`) calls the page's view with the facts, in order, and puts
the result into the theme's template. Charts and stories are drawn only then, and only where the template asks.
Nothing in a spec is a function or an open file: specs and facts can be pickled for a worker process.

``Theme.assets()`` gives the files to copy as (address, bytes), among them ``assets/…``, ``favicon.svg`` in the
book's accent; ``service_worker(addresses_and_digests)`` gives ``sw.js``, versioned by what it holds.

Links in pages are relative and end in a file name. The one page that cannot know its depth is ``404.html``: it uses
the site's address where the book gives one.

Photos are the publisher's to make; it hands in, for each kite's key, what it made as `PhotoView`s.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import cast

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.lazy_mapping import Subset
from bowbook.book.records import Book, Kite
from bowbook.findings.results import BookFindings, Findings, WindFindings
from bowbook.pages.chrome import Chrome, frame_of, kite_address
from bowbook.pages.links import linked, pair_address
from bowbook.pages.parts import Parts


class PhotoView(Struct, frozen=True):
    """One photo as it will stand on its page. File names are relative to the kite's folder, `kites/KEY/`.

    `file` is the maker's own file name, by which a story shows it; `listed` tells a photo of the kite file's own list
    from one that only the story shows.
    `sources`: for each format, best first, its media type and its (file name, width in px), narrow to wide.
    `width`, `height`: of the widest, upright, so that the page keeps its place while loading.
    """

    alt: str
    width: int
    height: int
    sources: tuple[tuple[str, tuple[tuple[str, int], ...]], ...]
    fallback: str
    caption: str | None = None
    file: str = ""  # as the maker names it: how a story shows it
    in_story: bool = False  # shown by the story alone, not listed among the kite's photos


class PageSpec(Struct, frozen=True):
    """One page: its address, its template, the view that words it and the facts that view is given, by name.

    `shared` are facts that every page of the site is given, `facts` those of this page.
    """

    address: str
    template: str
    view: str  # module of bowbook.pages whose `view(facts)` gives what the template shows
    shared: tuple[tuple[str, object], ...] = ()
    facts: tuple[tuple[str, object], ...] = ()
    priority: float = 0.5  # for the sitemap


Facts = Mapping[str, object]
Photos = Mapping[str, tuple[PhotoView, ...]]
Named = tuple[tuple[str, object], ...]


def given(spec: PageSpec, style: object = None) -> object:
    """What the page's template is given: worded from the spec's facts, drawn in the theme's chart style, only now."""
    view: Callable[[Facts], object] = import_module(f"bowbook.pages.{spec.view}").view
    return view({**dict(spec.shared), **dict(spec.facts), "style": style})


def plan(
    findings: BookFindings,
    photos: Photos | None = None,
    links: Mapping[str, tuple[str, ...]] | None = None,
    parts: Parts | None = None,
) -> tuple[PageSpec, ...]:
    """Every page of the site, home first.

    `links`: what each kite's story links to, where that is known. `parts`: those of lists that are at hand.
    """
    book = findings.book
    shared: Named = (
        ("frame", frame_of(findings)),
        ("book", _what_all_share(findings)),
        ("flyers", findings.flyers),
    )
    kites: Named = (("kites", findings.kites), ("parts", parts or Parts()))
    names = ("names", {key: told.name for key, told in findings.told.items()})
    return (
        PageSpec("index.html", "home.html", "home_page", shared, kites, 1.0),
        *(
            PageSpec(f"bands/{band.key}.html", "band.html", "band_page", shared, (*kites, ("here", band)), 0.7)
            for band in findings.bands
        ),
        *_kite_pages(findings, shared, photos or {}, links, parts or Parts()),
        PageSpec("compare.html", "compare.html", "compare_page", shared, kites, 0.7),
        *_side_by_side(findings, shared),
        PageSpec(
            "stock.html",
            "stock.html",
            "stock_page",
            shared,
            (names, ("rods", findings.rods), ("skins", findings.skins)),
        ),
        PageSpec("flyers.html", "flyers.html", "flyers_page", shared),
        PageSpec("field.html", "field.html", "field_page", shared, kites, 0.7),
        PageSpec("days.html", "days.html", "days_page", shared, kites, 0.6),
        PageSpec("how.html", "how.html", "how_page", shared),
        *(
            PageSpec(
                f"pages/{page.key}.html",
                "page.html",
                "free_page",
                shared,
                (("page", page), _links(linked(page.story, page.file), findings)),
            )
            for page in book.pages.values()
        ),
        PageSpec("404.html", "404.html", "not_found", shared, priority=0.0),
    )


def _what_all_share(findings: BookFindings) -> BookFindings:
    """The book as far as every page may ask for it: settings, stock, and of the flown kites only the wind they flex in.

    A kite's own page stays as it is when another kite's story, photos or readings change, as long as these do not
    move a flyer's records or the book's pooled repeatability.
    """
    book = findings.book
    named = {point.kite for flyer in findings.flyers.values() for point in flyer.points}
    winds = {
        key: Findings(Kite(key, told.name), wind=WindFindings(told.flex_m_s))
        for key, told in findings.told.items()
        if key in named
    }
    slim = Book("", book.settings, book.rods, book.skins)
    return replace(findings, book=slim, kites=winds, flyers={}, rods={}, skins={}, problems=(), told={})


def _links(named: tuple[str, ...], findings: BookFindings) -> tuple[str, object]:
    """Which of the kites and pages a story's links mean are there, so that it can tell them from what is not."""
    book = findings.book
    kites = (name.removeprefix("kites/") for name in named if name.startswith("kites/"))
    pages = (name.removeprefix("pages/") for name in named if name.startswith("pages/"))
    return "links", (tuple(key for key in kites if key in book.kites), tuple(key for key in pages if key in book.pages))


def _kite_pages(
    findings: BookFindings,
    shared: Named,
    photos: Photos,
    links: Mapping[str, tuple[str, ...]] | None,
    parts: Parts,
) -> list[PageSpec]:
    """Each kite's own page and its sheet."""
    pages = []
    for key in findings.kites:
        own: Named = (("kites", Subset(findings.kites, [key])), ("here", key))
        named = linked((kite := findings.kites[key].kite).story, kite.file) if links is None else links[key]
        shown: Named = (("photos", photos.get(key, ())), _links(named, findings), ("parts", parts))
        pages.append(PageSpec(kite_address(key), "kite.html", "kite_page", shared, own + shown, 0.8))
        pages.append(PageSpec(f"kites/{key}/sheet.html", "sheet.html", "sheet_page", shared, own))
    return pages


def _side_by_side(findings: BookFindings, shared: Named) -> list[PageSpec]:
    """The pages of pairs (and threes, and fours) that the book asks for by name."""
    return [
        PageSpec(
            pair_address(keys),
            "pair.html",
            "pair_page",
            shared,
            (("kites", Subset(findings.kites, keys)),),
        )
        for keys in pairs_of(findings)
    ]


def pairs_of(findings: BookFindings) -> list[tuple[str, ...]]:
    """The keys of the kites that stand side by side, where all of them are known."""
    return [keys for keys in findings.book.settings.compare if all(key in findings.kites for key in keys)]


def kites_of(facts: Facts) -> Mapping[str, Findings]:
    """The kites among a page's facts, by key, in the book's order."""
    return cast("Mapping[str, Findings]", facts.get("kites", {}))


def frame_from(facts: Facts) -> Chrome:
    """The frame among a page's facts."""
    frame = facts["frame"]
    assert isinstance(frame, Chrome)
    return frame
