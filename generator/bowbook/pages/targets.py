"""What there is to make: a page as it is planned, and any file of the site with what it is made from."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from bowbook.book.values import Value, encoded, fingerprint

if TYPE_CHECKING:
    from bowbook.pages.chrome import Chrome


class Target(Struct, frozen=True):
    """One file to make. `kind` names what it is for the progress line: targets of a kind need the same preparation.

    A target is made in two steps: a model, such as what a page says, and the file's bytes from it. A target whose model
    is made from the very same things need not be made; where only something that does not show has changed, its model
    comes out the same, and the file that stands is kept. `shown` gives, of the model, what the file's bytes rest on;
    `beside` is what they rest on besides.
    """

    kind: str
    address: str
    model: Value[Any]
    render: Callable[[Any], bytes]
    beside: bytes = b""
    shown: Callable[[Any], object] | None = None

    @property
    def made_from(self) -> bytes:
        """A fingerprint of everything the file is made from."""
        return fingerprint(self.model.fingerprint + self.beside)

    def shows(self, model: object) -> bytes:
        """A fingerprint of what the file's bytes rest on."""
        return fingerprint(encoded(self.shown(model) if self.shown else model) + self.beside)


class PageSpec(Struct, frozen=True):
    """One page: its address, its template, what it is made from and the chrome around it."""

    address: str
    template: str
    chrome: Value[Chrome]
    model: Value[object]
    priority: float = 0.5  # for the sitemap
