"""Numbers as makers write them: fractions, decimal commas, feet and inches; a sentence for what is no number."""

from __future__ import annotations

import re
from typing import Final

from bowbook.book.problems import HintedError
from bowbook.book.unit_tables import CALLED, FACTORS, WRITTEN, find_unit


class QuantityError(HintedError):
    """A quantity that cannot be read."""


# What stands between the two ends of a range, as makers of several languages write it.
BETWEEN: Final = r"(?:-|–|—|\.\.+|…|\b(?:to|tot|bis)\b)"
# What says that a figure is a guess; its standard uncertainty is then a twentieth of it at least.
ABOUT: Final = re.compile(
    r"(?i)\s*(?:(?:about|around|roughly|approximately|approx\b\.?|circa|ca\b\.?|etwa|ungefähr|ongeveer)\s*|[~≈]\s*)(?=[0-9.½¼¾⅓⅔⅛⅜⅝⅞])"
)
ABOUT_U: Final = 0.05

_FRACTIONS: Final = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_PLAIN = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,9})?"
# Patterns are compiled when a text needs them: checking a small book should not wait for all of them.
_NUMBER = (
    rf"(?s)\s*(?P<sign>[+\-−]?)\s*(?:(?:(?P<whole>[0-9]{{1,9}})[ -]+)?(?P<top>[0-9]{{1,9}})/(?P<under>[0-9]{{1,9}})"
    rf"|(?P<plain>{_PLAIN}))(?![0-9.,:_/])\s*(?P<unit>.*)$"
)
_TWO_UNITS = r"\s*(?P<first>[0-9]+(?:[.,][0-9]+)?)\s*(?P<large>[a-zA-Z]+|['’′])\.?,?\s*(?P<second>[0-9½¼¾⅓⅔⅛⅜⅝⅞].*)$"
_WORDS = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null", "none", "~"})
DATE: Final = r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}"
LONGEST: Final = 2000


def is_about(text: str) -> bool:
    """Whether a quantity, or one of several, is written as a guess: `about 300 g`.

    >>> is_about("ca. 300 g"), is_about("300 g")
    (True, False)
    """
    return any(ABOUT.match(part) for part in re.split(r"[,;]", text[:LONGEST]))


def without_about(text: str) -> str:
    """The quantity without what says that it is a guess."""
    found = ABOUT.match(text)
    return text[found.end() :] if found else text


def zone_ends(text: str) -> tuple[str, str] | None:
    """The two ends of a stretch written as a range, each as it stands: `100-200 mm`; None for anything else."""
    found = re.fullmatch(rf"([0-9.½¼¾].*?) ?{BETWEEN} ?([0-9.½¼¾].*)", squeezed_blanks(text[:100]))
    return (found[1], found[2]) if found else None


def squeezed_blanks(text: str) -> str:
    """The text with single blanks: a pattern may try every way to share out a thousand of them."""
    return " ".join(text.split())


def short(text: str) -> str:
    """The text as a sentence may repeat it."""
    return text if len(text) <= 40 else text[:37] + "…"


def number_and_unit(text: str, kind: str) -> tuple[float, str]:
    """The number of a text and what is written after it. Raises QuantityError where there is no number."""
    _refuse_traps(text, kind)
    text = with_points(text)
    joined = _in_two_units(text, kind)
    if joined is not None:
        return joined
    plain = text
    for sign, fraction in _FRACTIONS.items():
        plain = plain.replace(sign, " " + fraction)
    if re.match(rf"[0-9.]+(?![eE]-) ?[^0-9\s]*? ?{BETWEEN} ?[0-9.]+(?![0-9./])", plain):
        raise QuantityError(
            f"`{short(text)}` is a range, but this should be {CALLED[kind]}",
            f"Write one figure, such as {WRITTEN[kind]}; a guess is written about {_middle(plain)}.",
        )
    found = re.match(_NUMBER, plain)
    if not found:
        raise QuantityError(f"`{short(text)}` is not {CALLED[kind]}", f"Write a number and its unit: {WRITTEN[kind]}.")
    return _number(found, text), found["unit"].strip()


def _middle(text: str) -> str:
    """The middle of a range, with its unit."""
    found = re.match(rf"([0-9.]+)\s*([^0-9\s]*?)\s*{BETWEEN}\s*([0-9.]+)\s*(.*)$", text)
    try:
        low, high = (float(found[1]), float(found[3])) if found else (0.0, 0.0)
    except ValueError:
        low = high = 0.0
    return short(f"{(low + high) / 2:g} {found[4] or found[2]}".strip()) if found and high else "5"


def _in_two_units(text: str, kind: str) -> tuple[float, str] | None:
    """`2 ft 1/2 in` as a number of the smaller unit; None for anything else."""
    found = re.match(_TWO_UNITS, text)
    if not found:
        return None
    mark = found["large"] in "'’′"
    large = "ft" if mark and kind in ("length", "thin", "altitude") else find_unit(found["large"], kind)
    if large is None:
        return None
    second = number_and_unit(found["second"], kind)
    small = find_unit(second[1], kind) if second[1] else ("in" if mark else None)
    if small is None:
        return None
    ratio = FACTORS[kind][large] / FACTORS[kind][small]
    if abs(ratio - round(ratio)) < 1e-9 * ratio:
        ratio = round(ratio)
    if ratio <= 1 or not 0 <= second[0] < ratio:
        raise QuantityError(
            f"`{short(text)}` has more {small} than a {large} holds", "Write it in one unit, or look at both figures."
        )
    return float(found["first"].replace(",", ".")) * ratio + second[0], small


def _number(found: re.Match[str], text: str) -> float:
    if found["plain"]:
        value = float(found["plain"])
    elif int(found["under"]) == 0:
        raise QuantityError(f"`{short(text)}` divides by nothing", "Write the fraction with a number below the stroke.")
    else:
        value = int(found["whole"] or 0) + int(found["top"]) / int(found["under"])
    if value == float("inf"):
        raise QuantityError(f"`{short(text)}` is too large to be a number", "Write the number as you measured it.")
    return -value if found["sign"] in ("-", "−") else value


def with_points(text: str) -> str:
    """The text with a point for each decimal comma, where nothing else can be meant. Raises QuantityError.

    >>> with_points("10,5 oz")
    '10.5 oz'
    """
    found = re.search(r"[0-9][0-9.,]*,[0-9][0-9.,]*", text)
    if not found:
        return text
    figures = found[0].rstrip(".,")
    whole = "".join(c for c in figures if c.isdigit())
    if "." in figures:
        last = max(figures.rindex("."), figures.rindex(","))
        plain = re.sub(r"[.,]", "", figures[:last]) + "." + figures[last + 1 :]
        raise QuantityError(
            f"`{short(text)}` has both a point and a comma in its figures",
            f"Write {short(text.replace(figures, plain))}.",
        )
    if figures.count(",") > 1:
        raise QuantityError(
            f"`{short(text)}` has commas in its figures",
            f"Write {short(text.replace(figures, whole))} if it is one number; a list is parted by comma and blank.",
        )
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", figures):
        point = figures.replace(",", ".")
        raise QuantityError(
            f"the comma in `{short(text)}` may part thousands or decimals",
            f"Write {short(text.replace(figures, whole))} or {short(text.replace(figures, point))}.",
        )
    text = text.replace(figures, figures.replace(",", "."), 1)
    return with_points(text) if re.search(r"[0-9],[0-9]", text) else text


_LETTER_FOR_ONE = r"(?:(?<=[0-9])[lI](?=[0-9.]|\s|$)|(?<![0-9a-zA-Z])[lI](?=[0-9]))"
_LETTER_FOR_NOUGHT = r"(?:(?<=[0-9])(?:[oO](?=[0-9.])|O(?=\s|$))|(?<![0-9a-zA-Z])O(?=[0-9]))"


def _refuse_traps(text: str, kind: str) -> None:
    """Raises QuantityError for what looks like something else than a number: a date, a time, yes, 0x1F, 1_000."""
    called, written = CALLED[kind], WRITTEN[kind]
    if not text:
        raise QuantityError("there is no number here", f"Write {written}.")
    if text.lower() in _WORDS:
        raise QuantityError(f"`{text}` is a yes-or-no word, but this should be {called}", f"Write {written}.")
    if re.match(DATE, text):
        raise QuantityError(f"`{short(text)}` is a date, but this should be {called}", f"Write {written}.")
    if re.match(r"[0-9]+:[0-9]", text):
        raise QuantityError(f"`{short(text)}` is a time of day, but this should be {called}", f"Write {written}.")
    if re.match(r"[+-]?0[xXoObB]", text):
        raise QuantityError(f"`{short(text)}` is not a plain number", "Write it in ordinary figures, such as 31.")
    if re.search(r"[0-9]_[0-9]", text):
        raise QuantityError(f"`{short(text)}` has a _ in its figures", f"Write {short(text.replace('_', ''))}.")
    if text.lower().lstrip("+-.").split(" ")[0] in ("nan", "inf", "infinity"):
        raise QuantityError(f"`{short(text)}` is not a number that can be measured", f"Write {written}.")
    if re.match(rf"[0-9.]*({_LETTER_FOR_ONE}|{_LETTER_FOR_NOUGHT})", text):
        figures = re.sub(_LETTER_FOR_NOUGHT, "0", re.sub(_LETTER_FOR_ONE, "1", text))
        raise QuantityError(f"`{short(text)}` has a letter among its figures", f"Write {short(figures)}.")
    if re.match(r"[0-9]+[  '’][0-9]{3}(?![0-9/])", text):
        joined = re.sub(r"(?<=[0-9])[  '’](?=[0-9])", "", text)
        raise QuantityError(f"`{short(text)}` has a gap in its figures", f"Write {short(joined)}.")
