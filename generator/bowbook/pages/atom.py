"""The feed of kites and flights (Atom, RFC 4287) and the sitemap (sitemaps.org protocol 0.9)."""

from __future__ import annotations

import datetime
import os
import re
import uuid
from collections.abc import Iterable
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.days import days_of
from bowbook.book.records import Flight, Kite, Settings, Units
from bowbook.book.units import show_range
from bowbook.wording.numbers import stopped

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

LONGEST = 200  # entries: a feed is for what is new, and whoever reads it fetches all of it each time
_ATOM = "http://www.w3.org/2005/Atom"
_SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
# Compiled when a feed is made: that takes longer than a story's edit should wait. XML 1.0, production 2.
_NOT_XML = "[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"


class SitemapPage(Struct, frozen=True):
    """A page as the sitemap lists it."""

    address: str
    priority: float


class FeedEntry(Struct, frozen=True):
    """One entry; `key` stays its own for ever, `date` is ISO or empty."""

    key: str
    date: str
    title: str
    address: str
    summary: str


def as_atom(settings: Settings, kites: Iterable[tuple[FeedEntry, ...]]) -> str:
    """The feed of every kite's entries, newest first. Its dates are the records' own; none is taken from the clock."""
    address = f"{settings.address.rstrip('/')}/" if settings.address else ""
    feed_id = uuid.uuid5(uuid.NAMESPACE_URL, f"bowbook {address or settings.title}")
    every = [entry for entries in kites for entry in entries]
    entries = sorted(every, key=lambda entry: (entry.date, entry.key), reverse=True)[:LONGEST]
    feed = _top("feed", {"xmlns": _ATOM, "xml:lang": re.sub(_NOT_XML, "", settings.language)})
    _add(feed, "id", f"urn:uuid:{feed_id}")
    _add(feed, "title", settings.title)
    if settings.about:
        _add(feed, "subtitle", settings.about)
    _add(feed, "updated", _moment(max((entry.date for entry in entries), default="")))
    _add(_add(feed, "author"), "name", settings.maker or settings.title)
    _add(feed, "generator", "bowbook")
    _add(feed, "link", rel="alternate", type="text/html", href=address or "index.html")
    if address:
        _add(feed, "link", rel="self", type="application/atom+xml", href=f"{address}feed.xml")
    for entry in entries:
        node = _add(feed, "entry")
        _add(node, "id", f"urn:uuid:{uuid.uuid5(feed_id, entry.key)}")
        _add(node, "title", entry.title)
        _add(node, "updated", _moment(entry.date))
        _add(node, "link", rel="alternate", type="text/html", href=f"{address}{entry.address}")
        _add(node, "summary", entry.summary)
    return _text(feed)


def as_sitemap(address: str, pages: Iterable[SitemapPage]) -> str:
    """The sitemap of a site that will stand at `address`; pages of no importance are left out."""
    base = f"{address.rstrip('/')}/"
    top = _top("urlset", {"xmlns": _SITEMAP})
    for page in pages:
        if page.priority > 0:
            node = _add(top, "url")
            _add(node, "loc", base + ("" if page.address == "index.html" else page.address))
            _add(node, "priority", f"{page.priority:.1f}")
    return _text(top)


def entries_of(kite: Kite, units: Units) -> tuple[FeedEntry, ...]:
    """A kite's own entry and its flights'."""
    page, summary = f"kites/{kite.key}/index.html", kite.summary or stopped(f"The build page of {kite.name}")
    entries = [FeedEntry(f"kites/{kite.key}", _newest(kite), kite.name, page, summary)]
    for number, flight in enumerate(kite.flights, 1):
        # Two flights of one day are told apart by their order in the file, which only grows.
        name = f"kites/{kite.key}/flights/{flight.on or ''}/{number}"
        title = _flight_title(kite, flight, units)
        day = _first_day(flight.on) if flight.on else ""
        entries.append(FeedEntry(name, day, title, page, flight.note or title))
    return tuple(entries)


def _newest(kite: Kite) -> str:
    """When the kite itself last changed: the day it was made, or the last bench round."""
    days = [kite.made, *(r.on for r in kite.bench), kite.covered.on if kite.covered else None]
    return max((_first_day(day) for day in days if day), default="")


def _first_day(on: str) -> str:
    """A day, or the first of those that a vague one may mean, as an ISO day."""
    return days_of(on).first.isoformat()


def _flight_title(kite: Kite, flight: Flight, units: Units) -> str:
    wind = flight.best or flight.wind
    blew = f" in {show_range(wind.low_m_s, wind.high_m_s, 'wind', units)}" if wind else ""
    by = f" by {flight.flyer}" if flight.flyer else ""
    return f"{kite.name} flown{blew}{by}"


def _moment(day: str) -> str:
    """Midnight of an ISO day in UTC; without a day, SOURCE_DATE_EPOCH if it is set, else the start of 1970."""
    if day:
        return f"{day}T00:00:00Z"
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "0")
    seconds = min(int(epoch), 253402300799) if epoch.isascii() and epoch.isdigit() else 0  # the end of year 9999
    return f"{datetime.datetime.fromtimestamp(seconds, datetime.UTC):%Y-%m-%dT%H:%M:%SZ}"


def _top(tag: str, attributes: dict[str, str]) -> Element:
    from xml.etree.ElementTree import Element

    return Element(tag, attributes)


def _add(parent: Element, tag: str, text: str = "", **attributes: str) -> Element:
    """A child element; characters XML cannot hold are left out."""
    child = parent.makeelement(tag, {name: re.sub(_NOT_XML, "", value) for name, value in attributes.items()})
    parent.append(child)
    child.text = re.sub(_NOT_XML, "", text) or None
    return child


def _text(top: Element) -> str:
    from xml.etree.ElementTree import indent, tostring

    indent(top, " ")
    return f'<?xml version="1.0" encoding="utf-8"?>\n{tostring(top, encoding="unicode")}\n'
