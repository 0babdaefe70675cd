"""The words of the trade that a page explains where it first uses them, each with its sentence."""

from __future__ import annotations

import re

from msgspec import Struct


class Term(Struct, frozen=True):
    """A word with its sentence; `said` matches how sentences and tables say it."""

    key: str
    sentence: str
    said: str


TERMS = (
    Term(
        "flex-wind",
        "Flex wind: the wind in which the tips bend back by a tenth of a half. The bow, the skin and the sail decide "
        "it; which winds around it are liked is up to the flyer.",
        r"[Ff]lex wind|(?:flexes|flex) (?:at|in)\b",
    ),
    Term(
        "hold",
        "Hold: how freely the far end of a bow could turn while it was pressed. 1 is a hinge; the firmer it is held, "
        "the smaller the number and the more the scale says.",
        r"\bHold\b|\b[Ff]ingers hold\b|\bhold factor\b|\bwere held\b",
    ),
    Term(
        "tow-point",
        "Tow point: where the legs of the bridle meet and the line is tied on.",
        r"\b[Tt]ow point\b",
    ),
    Term(
        "lower-bound",
        "Lower bound: it is at least this much. How much more, no reading says yet.",
        r"\b[Ll]ower bound\b|\bat(?: |\u00a0)least\b",
    ),
    Term(
        "tension",
        "Tension: how hard the strung bow pushes its tips apart, along the straight line between them.",
        r"\b[Tt]ension\b|\bpushes its tips apart\b|\b[Tt]hrust\b",
    ),
)

_ANY = re.compile("|".join(f"(?P<t{number}>{term.said})" for number, term in enumerate(TERMS)))


def with_terms_explained(html: str, used: set[str]) -> str:
    """The HTML with the first use of each term made into its explanation; `used` holds those met before, and grows.

    The sentence opens at the press of a key or a finger, by the browser's own popover, without any script.
    """

    def first(found: re.Match[str]) -> str:
        term = TERMS[int((found.lastgroup or "t0")[1:])]
        if term.key in used:
            return found[0]
        used.add(term.key)
        return (
            f'<dfn><button type="button" class="term" popovertarget="term-{term.key}">{found[0]}</button></dfn>'
            f'<span class="meaning" id="term-{term.key}" popover>{term.sentence}</span>'
        )

    return _ANY.sub(first, html)
