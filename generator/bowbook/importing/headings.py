"""What a heading says: which field it names, in which unit, and whether anything else may be meant."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from msgspec import Struct

from bowbook.book.unit_tables import FACTORS, find_unit
from bowbook.importing.columns import FIELDS


class Heading(Struct, frozen=True):
    """What a heading says: the field, the unit, and what else may be meant; "" for what it does not say."""

    field: str
    unit: str = ""
    doubt: str = ""


# Headings that more than one thing answers to: which, and why it is not settled.
_DOUBTFUL: Final = {
    "length": ("bow.length", "it may be the bow's length or the spine's"),
    "länge": ("bow.length", "it may be the bow's length or the spine's"),
    "lengte": ("bow.length", "it may be the bow's length or the spine's"),
    "longueur": ("bow.length", "it may be the bow's length or the spine's"),
    "bow": ("bow.length", "it may be the bow's length, its span or its rod"),
    "bogen": ("bow.length", "it may be the bow's length, its span or its rod"),
    "boog": ("bow.length", "it may be the bow's length, its span or its rod"),
    "arc": ("bow.length", "it may be the bow's length, its span or its rod"),
    "spine": ("spine.length", "it may be the spine's length or its rod"),
    "height meter": ("meter height", "it may be the wind meter's height, or the sail's in metres"),
    "l": ("left", "it may be the left half or a length"),
    "r": ("right", "it may be the right half or something else"),
    "by": ("flyer", "it may be who built it or who flew it"),
    "von": ("flyer", "it may be who built it or who flew it"),
    "material": ("bow.rod", "it may be the rod or the skin"),
    "year": ("made", "it may be the year it was made or flown"),
    "jahr": ("made", "it may be the year it was made or flown"),
    "jaar": ("made", "it may be the year it was made or flown"),
    "press left right": ("left/right", "which half comes first is not said"),
}
_SAIL: Final = re.compile(r"(?:sail |kite )?(?:height|höhe|hoogte|hauteur|altura)")
_IN_BRACKETS: Final = re.compile(r"^(.*?)[\s_]*[(\[]([^)\]]*)[)\]]\s*$")


def plain_words(words: str) -> str:
    """The words in small letters without accents, marks and a number behind them."""
    small = unicodedata.normalize("NFKD", words.casefold())
    bare = "".join(c for c in small if not unicodedata.combining(c))
    bare = " ".join(re.sub(r"[^\w]+", " ", bare.replace("_", " ")).split())
    return re.sub(r"(?: no)? ?\d+$", "", bare).strip() or bare


_BY_HEADING: Final = {plain_words(words): name for name, field in FIELDS.items() for words in field.headings.split(",")}
_BY_DOUBT: Final = {plain_words(words): meant for words, meant in _DOUBTFUL.items()}


def understand(heading: str) -> Heading:
    """What a heading says.

    >>> understand("Left (g)")
    Heading(field='left', unit='g', doubt='')
    >>> understand("Height in"), understand("Meter height (m)").field
    (Heading(field='', unit='in', doubt=''), 'meter height')
    """
    words, unit = _with_unit(heading)
    plain = plain_words(words)
    if plain in _BY_DOUBT:
        field, doubt = _BY_DOUBT[plain]
        return Heading(field, _unit_of(unit, field), doubt)
    if plain in _BY_HEADING:
        field = _BY_HEADING[plain]
        return Heading(field, _unit_of(unit, field))
    return Heading("", unit)


def is_understood(heading: str) -> bool:
    """Whether a heading names a field, with or without doubt."""
    return len(heading) <= 200 and bool(understand(heading).field)


def words_of(heading: str) -> str:
    """The words of a heading without its unit, in small letters."""
    return plain_words(_with_unit(heading)[0])


def why_words(heading: str) -> str:
    """Why a heading that names no field is kept as words."""
    if _SAIL.fullmatch(" ".join(_with_unit(heading)[0].casefold().split())):
        return "a height is the sail's unless it says meter, anemometer or wind; a kite's file has no key for it"
    return "not known"


def _with_unit(heading: str) -> tuple[str, str]:
    """The words of a heading and its unit, in brackets or behind them."""
    text = " ".join(heading.replace("_", " ").split()).strip(" :.*")
    bracketed = _IN_BRACKETS.match(text)
    if bracketed:
        inside = bracketed[2].strip()
        return bracketed[1], inside if _any_unit(inside) else ""
    if _known(text):
        return text, ""
    before, _, last = text.rpartition(" ")
    before, slash, behind = (before, "", last) if before and _any_unit(last) else text.rpartition("/")
    if not before or not _any_unit(behind):
        before, slash, behind = text.rpartition(",")
    if before and _any_unit(behind.strip()):
        bare = re.sub(r"[\s,/–-]+$", "", before)
        if not slash and not _known(bare):
            bare = re.sub(r"\s(?:in|en|im)$", "", bare)
        return bare, behind.strip()
    return text, ""


def _known(words: str) -> bool:
    plain = plain_words(words)
    return plain in _BY_HEADING or plain in _BY_DOUBT


def _any_unit(text: str) -> bool:
    """Whether a text is a unit that a column of old notes may have, or names the Beaufort scale."""
    kinds = ("length", "force", "mass", "wind")
    return bool(text) and (_is_beaufort(text) or any(find_unit(text, kind) for kind in kinds))


def _is_beaufort(text: str) -> bool:
    return text.casefold().strip(" .") in ("bft", "bf", "beaufort")


def _unit_of(unit: str, field: str) -> str:
    """The unit by its usual short name, as the field has it; "" where it is none of the field's."""
    kind = FIELDS[field].kind
    if kind == "wind" and _is_beaufort(unit):
        return "Bft"
    found = find_unit(unit, kind) if kind and unit else None
    return found if found in FACTORS.get(kind, {}) and found else ""
