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

from collections.abc import Mapping
from dataclasses import dataclass

from bowbook.findings.results import BookFindings


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


@dataclass(frozen=True, slots=True)
class PageSpec:
    """One page: its address, its template, the view that words it and the facts that view is given, by name."""

    address: str
    template: str
    view: str
    facts: tuple[tuple[str, object], ...]
    priority: float = 0.5  # for the sitemap


def plan(findings: BookFindings, photos: Mapping[str, tuple[PhotoView, ...]] | None = None) -> tuple[PageSpec, ...]:
    """Every page of the site, home first."""
    raise NotImplementedError
