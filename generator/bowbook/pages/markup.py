"""Pictures, stories and data that are safe as they stand in a page."""

from __future__ import annotations

import base64
import hashlib
import json

from msgspec import Struct


class SafeHtml(Struct, frozen=True):
    """HTML or SVG already made, safe as it stands."""

    text: str

    def __html__(self) -> str:
        return self.text

    def __str__(self) -> str:
        return self.text


class Data(Struct, frozen=True):
    """A block of data for machines, and the digest by which a Content-Security-Policy lets it stand."""

    text: SafeHtml
    digest: str


def data_block(value: object) -> Data:
    """A value as JSON that may stand inside a script element of data."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    text = text.replace("<", "\\u003c").replace("&", "\\u0026")
    return Data(SafeHtml(text), "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode())
