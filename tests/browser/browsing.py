"""What the browser tests share: the kinds of page, a page that is listened to, a large site put together in part."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Browser, Page

FLAGS = [
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-sandbox",  # the tests open only what they published themselves, often as root in a container
]
# One address of every kind of page there is; the demo book has them all.
KINDS = {
    "home": "index.html",
    "band": "bands/light-breeze.html",
    "empty band": "bands/strong-breeze.html",
    "kite": "kites/longhand/index.html",
    "half-filled kite": "kites/flyleaf/index.html",
    "kite in another script": "kites/suminagashi/index.html",
    "sheet": "kites/longhand/sheet.html",
    "compare": "compare.html",
    "pair": "compare/longhand-and-watermark.html",
    "stock": "stock.html",
    "flyers": "flyers.html",
    "field": "field.html",
    "days": "days.html",
    "how": "how.html",
    "free page": "pages/measuring.html",
    "lost": "404.html",
}


@dataclass
class WatchedPage:
    """A page with everything that was said on its console and asked of the network while it was looked at."""

    page: Page
    console: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Starts listening."""
        self.page.on("console", lambda message: self.console.append(f"{message.type}: {message.text}"))
        self.page.on("pageerror", lambda error: self.console.append(f"error: {error}"))
        self.page.on("request", lambda request: self.requests.append(request.url))


Look = Callable[..., WatchedPage]
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


INKS = ("color-contrast", "link-in-text-block")  # axe's rules that depend on colours, of those for LEVELS


def violations(page: Any, rules: tuple[str, ...] = ()) -> list[str]:
    """What axe finds against the page as it stands, by the rules named or else by all: rule, how grave, and where."""
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(AXE_SCRIPT)
    only = {"type": "rule", "values": rules} if rules else {"type": "tag", "values": LEVELS}
    options = {"runOnly": only, "resultTypes": ["violations"]}
    found = page.evaluate("options => axe.run(document, options).then(found => found.violations)", options)
    return [
        f"{v['id']} ({v['impact']}): {node['target']} {node['failureSummary']}" for v in found for node in v["nodes"]
    ]


PHONE = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 3, "is_mobile": True, "has_touch": True}


def first_load(browser: Browser, address: str) -> int:
    """Bytes of all bodies a phone receives when it opens a page for the first time, without compression."""
    context = browser.new_context(service_workers="block", **PHONE)
    page = context.new_page()
    sizes: list[int] = []
    page.on("requestfinished", lambda r: sizes.append(r.sizes()["responseBodySize"]))
    page.goto(address)
    page.wait_for_load_state("networkidle")
    context.close()
    return sum(sizes)


def partly_published(book: Path, every: int) -> Path:
    """The book's site with all its index pages, but only every so many-th kite's own; gives the folder of the site."""
    from bowbook.format.read_book import read_book
    from bowbook.pages.theme import load_theme
    from planned import planned

    read = read_book(book)
    wanted = set(list(read.kites)[::every])
    output = book / "output"
    theme = load_theme(read.settings.theme, book)
    pages = [s for s in planned(book) if not s.address.startswith("kites/") or s.address.split("/")[1] in wanted]
    files = [(spec.address, theme.render(spec, spec.model())) for spec in pages]
    for address, made in [*files, *theme.assets(read.settings.accent)]:
        file = output / address
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(made)
    return output
