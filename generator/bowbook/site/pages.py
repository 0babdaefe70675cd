"""Which pages a site has, where each stands, and what each is given.

How the publisher uses this room
--------------------------------
``plan(findings, photos)`` gives every HTML page of the site as a `PageSpec`, in a fixed order; making the plan is
cheap: it formats no number and draws nothing. A spec names its *facts*: the frozen records and results the page is
made from. A fact's name stands for one and the same object throughout a plan, so its digest needs taking once,
by `repr` (which is the same for equal records) or any cheaper sure way the publisher has. A page whose facts,
template folder and program version are unchanged has unchanged bytes and need not be rendered.

``theme.render(spec) -> bytes`` (see `bowbook.site.theme`) calls the page's view with the facts, in order, and puts
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
from dataclasses import dataclass
from importlib import import_module

from bowbook.findings.results import BookFindings, Findings
from bowbook.site.frame import Frame, frame_of, kite_address


@dataclass(frozen=True, slots=True)
class PhotoView:
    """One photo as it will stand on its page. File names are relative to the kite's folder, `kites/KEY/`.

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


@dataclass(frozen=True, slots=True)
class Pooled:
    """What the whole book's readings say about any one of them."""

    repeatability: float | None
    freedom: int
    coverage: float
    air_kg_m3: float


@dataclass(frozen=True, slots=True)
class PageSpec:
    """One page: its address, its template, the view that words it and the facts that view is given, by name."""

    address: str
    template: str
    view: str  # module of bowbook.site.views whose `view(facts)` gives what the template shows
    facts: tuple[tuple[str, object], ...]
    priority: float = 0.5  # for the sitemap


Facts = Mapping[str, object]
Photos = Mapping[str, tuple[PhotoView, ...]]
Named = tuple[tuple[str, object], ...]


def given(spec: PageSpec) -> object:
    """What the page's template is given: worded from the spec's facts, and only now."""
    view: Callable[[Facts], object] = import_module(f"bowbook.site.views.{spec.view}").view
    return view(dict(spec.facts))


def plan(findings: BookFindings, photos: Photos | None = None) -> tuple[PageSpec, ...]:
    """Every page of the site, home first."""
    book = findings.book
    frame: Named = (("frame", frame_of(findings)),)
    bands: Named = (("bands", findings.bands),)
    pooled: Named = (("pooled", _pooled(findings)),)
    kites: Named = tuple((f"kite:{key}", found) for key, found in findings.kites.items())
    flyers: Named = tuple((f"flyer:{name}", found) for name, found in findings.flyers.items())
    rods: Named = tuple((f"rod:{key}", found) for key, found in findings.rods.items())
    skins: Named = tuple((f"skin:{key}", found) for key, found in findings.skins.items())
    stock: Named = (("stock", (dict(book.rods), dict(book.skins))),)
    whole = frame + bands + kites + flyers
    names: Named = (("names", tuple((key, found.kite.name) for key, found in findings.kites.items())),)
    return (
        PageSpec("index.html", "home.html", "home", whole + stock, 1.0),
        *(
            PageSpec(f"bands/{band.key}.html", "band.html", "band", (*whole, ("here", band)), 0.7)
            for band in findings.bands
        ),
        *_kite_pages(findings, frame + bands + pooled + flyers + stock, names, photos or {}),
        PageSpec("compare.html", "compare.html", "compare", whole + stock, 0.7),
        *_side_by_side(findings, frame + bands + flyers + stock),
        PageSpec("stock.html", "stock.html", "stock", frame + pooled + rods + skins + names),
        PageSpec("flyers.html", "flyers.html", "flyers", frame + flyers + kites),
        PageSpec("how.html", "how.html", "how", frame + bands + pooled),
        *(
            PageSpec(f"pages/{page.key}.html", "page.html", "free", (*frame, *names, ("page", page)))
            for page in book.pages.values()
        ),
        PageSpec("404.html", "404.html", "lost", frame, 0.0),
    )


def _pooled(findings: BookFindings) -> Pooled:
    return Pooled(findings.repeatability, findings.freedom, findings.coverage, findings.air_kg_m3)


def _kite_pages(findings: BookFindings, shared: Named, names: Named, photos: Photos) -> list[PageSpec]:
    """Each kite's own page and its sheet."""
    pages = []
    for key, found in findings.kites.items():
        own: Named = ((f"kite:{key}", found), ("here", key))
        shown: Named = ((f"photos:{key}", photos.get(key, ())),)
        pages.append(PageSpec(kite_address(key), "kite.html", "kite", shared + names + own + shown, 0.8))
        # The sheet reads the book's settings and stock as well, so it is handed the book itself, which is only as
        # large as its files; the findings of other kites are none of its business.
        pages.append(
            PageSpec(f"kites/{key}/sheet.html", "sheet.html", "sheet", (*shared, *own, ("book", findings.book)))
        )
    return pages


def _side_by_side(findings: BookFindings, shared: Named) -> list[PageSpec]:
    """The pairs (and threes, and fours) that the book asks for by name, where all of them are known."""
    return [
        PageSpec(
            f"compare/{'-and-'.join(keys)}.html",
            "pair.html",
            "pair",
            (*shared, *((f"kite:{key}", findings.kites[key]) for key in keys)),
        )
        for keys in findings.book.settings.compare
        if all(key in findings.kites for key in keys)
    ]


def kites_of(facts: Facts) -> dict[str, Findings]:
    """The kites among a page's facts, by key, in the book's order."""
    return {name[5:]: fact for name, fact in facts.items() if name.startswith("kite:") and isinstance(fact, Findings)}


def frame_from(facts: Facts) -> Frame:
    """The frame among a page's facts."""
    frame = facts["frame"]
    assert isinstance(frame, Frame)
    return frame
