"""The frame around every page: what all pages of one book share, and relative links between addresses."""

from __future__ import annotations

import posixpath
from urllib.parse import quote

from msgspec import Struct

from bowbook.book.records import Book, Units


class NavItem(Struct, frozen=True):
    """One entry of the site's navigation."""

    address: str
    title: str


class Chrome(Struct, frozen=True):
    """What every page shows around its own part: names, language, navigation, units. Numbers as in the settings."""

    title: str
    maker: str | None
    about: str | None
    demonstration: str | None
    language: str
    direction: str
    address: str | None  # ends in a slash
    units: Units
    tolerance: float
    flyer: str | None
    nav: tuple[NavItem, ...]
    bands: tuple[NavItem, ...]

    def absolute(self, address: str) -> str | None:
        """The full address of a page, where the book says where it will stand; home is the folder itself."""
        if self.address is None:
            return None
        return self.address + ("" if address == "index.html" else address)


def chrome_of(book: Book) -> Chrome:
    """What is around this book's pages: of the book, only settings and free pages are looked at."""
    settings = book.settings
    nav = [
        NavItem("index.html", "Wind shelf"),
        NavItem("field.html", "Field"),
        NavItem("compare.html", "Compare"),
        NavItem("stock.html", "Stock"),
        NavItem("flyers.html", "Flyers"),
        NavItem("days.html", "Days"),
        NavItem("how.html", "How it is worked out"),
    ]
    nav += [NavItem(f"pages/{page.key}.html", page.title) for page in book.pages.values()]
    return Chrome(
        title=settings.title,
        maker=settings.maker,
        about=settings.about,
        demonstration=settings.demonstration,
        language=settings.language,
        direction=settings.direction,
        address=settings.address.rstrip("/") + "/" if settings.address else None,
        units=settings.units,
        tolerance=settings.tolerance,
        flyer=settings.flyer,
        nav=tuple(nav),
        bands=tuple(NavItem(f"bands/{band.key}.html", band.name) for band in settings.bands),
    )


def relative(here: str, address: str) -> str:
    """The link from the page at `here` to `address`; a fragment is kept, full addresses are left alone.

    >>> relative("kites/knot/index.html", "bands/light-breeze.html")
    '../../bands/light-breeze.html'
    >>> relative("index.html", "how.html#skin")
    'how.html#skin'
    >>> relative("how.html", "#skin")
    '#skin'
    """
    if address.startswith(("http:", "https:", "#")):
        return address
    path, mark, fragment = address.partition("#")
    top, depth = here.partition("/")[0], here.count("/")
    apart = not depth or not path.startswith(f"{top}/")
    if path and apart and "./" not in path and "//" not in path and not path.endswith(("/", ".")):
        return f"{'../' * depth}{address}"  # as most are: the general way takes twenty times as long
    return posixpath.relpath(path, posixpath.dirname(here) or ".") + mark + fragment


def link(here: str, address: str) -> str:
    """The same, as it stands in an attribute: signs that an address may not hold are percent-encoded.

    >>> link("index.html", "kites/knot 2/index.html")
    'kites/knot%202/index.html'
    """
    return quote(relative(here, address), safe="/#.-_~:?&=%+,;@")


def kite_address(key: str) -> str:
    """Where a kite's page stands."""
    return f"kites/{key}/index.html"
