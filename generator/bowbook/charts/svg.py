"""What every SVG that is written here shares: short numbers and safe ids."""

from __future__ import annotations

import re


def number(value: float, places: int = 2) -> str:
    """A coordinate to a hundredth of a px or as many places as asked for, as short as it can be.

    >>> number(12.50), number(-0.001), number(3.14159, 1)
    ('12.5', '0', '3.1')
    """
    cut = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if cut == "-0" else cut


def identifier(text: str) -> str:
    """The text as part of an id: other texts give other ids.

    >>> identifier("Strandläufer 2")
    'Strandl_e4_ufer_20_2'
    """
    return re.sub(r"[^A-Za-z0-9-]", lambda found: f"_{ord(found[0]):x}_", text)
