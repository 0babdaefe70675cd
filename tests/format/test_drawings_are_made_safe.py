"""A maker's drawing brings shapes and colours into a page, and nothing else."""

from __future__ import annotations

import contextlib
import re
import time
from xml.etree import ElementTree

import pytest
from hostile_drawings import ELEMENTS, HEAD
from hypothesis import given
from hypothesis import strategies as st

from bowbook.format.drawing import MOST_BYTES, MOST_SHAPES, DrawingError, read_drawing, standalone


def inside(text: str) -> str:
    """What stays of some elements."""
    return read_drawing(f"{HEAD}{text}</svg>".encode()).markup


@pytest.mark.parametrize("hostile", ELEMENTS)
def test_nothing_stays_that_runs_loads_or_refers_elsewhere(hostile: str) -> None:
    """Such a drawing is refused, or only its shapes are left, each with plain values."""
    left = ""
    with contextlib.suppress(DrawingError):
        left = inside(ELEMENTS[hostile])
    assert not re.search(
        r"script|https?:|data:|javascript|foreign|image|style|class|alert|import|\bon\w+=|words|SECRET", left
    )
    ElementTree.fromstring(f"{HEAD}{left}</svg>")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("<text>a</text>", "the drawing holds letters"),
        ('<image href="x.png"/>', "the drawing holds a picture"),
        ("<style>a {}</style>", "the drawing holds a style sheet"),
        ("<script/>", "the drawing holds script"),
        ("<foreignObject/>", "the drawing holds foreignObject"),
        ("<g><svg/></g>", "the drawing holds svg"),
        ('<path d="M0 0" onload="x()"/>', "the drawing holds onload"),
        ('<path d="M0 0" fill="url(x.svg#y)"/>', "the drawing holds fill"),
        ('<use href="x.svg#a"/>', "the drawing holds href"),
    ],
)
def test_what_a_drawing_may_not_hold_is_named_with_its_line(text: str, said: str) -> None:
    """Nothing vanishes from a picture without a sentence that says what, where, and what to do."""
    with pytest.raises(DrawingError) as refused:
        inside(f"\n\n{text}")
    assert (refused.value.message, refused.value.line) == (said, 3)
    assert refused.value.hint.endswith(".")


def test_what_other_programs_note_for_themselves_goes_without_a_word() -> None:
    """Titles, metadata and elements of foreign namespaces draw nothing and are not missed."""
    own = '<x:view xmlns:x="urn:x"><x:guide/></x:view>'
    assert inside(f"<title>A crane</title><metadata><r/></metadata>{own}<path d='M0 0'/>") == '<path d="M0 0"/>'


def test_shapes_colours_groups_and_own_references_stay() -> None:
    """A drawing as programs save it keeps its look: style attributes become plain ones, local references hold."""
    left = inside(
        '<defs><linearGradient id="g"><stop offset="0%" stop-color="#abc"/></linearGradient>'
        '<clipPath id="c"><rect width="9" height="9"/></clipPath></defs>'
        '<g transform="translate(3 4) rotate(-12.5)" clip-path="url(#c)">'
        '<path style="fill:#102030;stroke-width:2px" d="M0,0 C1-2 3e1.5 4 5 6z"/><circle r="3" fill="url(#g)"/></g>'
        '<use xlink:href="#c" x="4"/>'
    )
    assert 'fill="#102030" stroke-width="2px"' in left
    assert 'fill="url(#g)"' in left
    assert '<use href="#c" x="4"/>' in left
    assert 'transform="translate(3 4) rotate(-12.5)" clip-path="url(#c)"' in left


def test_of_two_parts_of_one_name_the_first_is_drawn_and_kept() -> None:
    """As browsers do (SVG 2, 5.3.2): else what was counted would not be what is drawn."""
    left = inside('<g id="a"><path d="M0 0"/></g><rect id="a" width="9"/><use href="#a"/>')
    assert left == '<g id="a"><path d="M0 0"/></g><rect width="9"/><use href="#a"/>'


def test_ids_carry_the_prefix_everywhere() -> None:
    """Two drawings in one page do not meet in an id."""
    text = f'{HEAD}<g id="a"/><use href="#a"/><path fill="url(#a)" d="M0 0"/><use href="#gone"/></svg>'
    assert read_drawing(text.encode(), "k1-").markup == (
        '<g id="k1-a"/><use href="#k1-a"/><path fill="url(#k1-a)" d="M0 0"/><use/>'
    )


DOCTYPE = "<!DOCTYPE svg [{}]>" + HEAD


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (b"", "not well-formed"),
        (b"GIF89a", "not well-formed"),
        (b"<html/>", "not an SVG"),
        (b"<svg viewBox='0 0 1 1'/>", "not an SVG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "how large"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 nan 1e999'/>", "how large"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><g>", "not well-formed"),
        (DOCTYPE.format('<!ENTITY a "b">').encode() + b"<g/></svg>", "declares entities"),
        (DOCTYPE.format('<!ENTITY % a SYSTEM "file:///etc/passwd"> %a;').encode() + b"<g/></svg>", "declares entities"),
        (b" " * (MOST_BYTES + 1), "larger than"),
        ((HEAD + "<g>" * 50 + "</g>" * 50 + "</svg>").encode(), "nested too deep"),
        ((HEAD + "<path/>" * (MOST_SHAPES + 1) + "</svg>").encode(), "more than"),
        ((HEAD + '<g id="a"><use href="#a"/></g></svg>').encode(), "without end"),
        ((HEAD + '<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></svg>').encode(), "without end"),
        (b'<?xml version="1.0" encoding="x-unknown"?><svg/>', "encoding"),
    ],
)
def test_what_cannot_be_used_is_answered_with_a_sentence(text: bytes, said: str) -> None:
    """Broken, foreign, empty, endless and oversized files are refused, each with its reason and what to do."""
    with pytest.raises(DrawingError) as refused:
        read_drawing(text)
    assert said in refused.value.message
    assert refused.value.hint.endswith(".")


def test_a_bomb_of_repeated_parts_is_refused_at_once() -> None:
    """Forty groups that each draw the one before ten times would be 10^40 shapes; counting them takes no time."""
    groups = "".join(f'<g id="g{i + 1}">' + f'<use href="#g{i}"/>' * 10 + "</g>" for i in range(40))
    began = time.process_time()
    with pytest.raises(DrawingError, match="more than"):
        read_drawing(f'{HEAD}<path id="g0" d="M0 0"/>{groups}</svg>'.encode())
    assert time.process_time() - began < 2


@given(st.binary(max_size=400) | st.text(max_size=300).map(lambda t: f"{HEAD}{t}</svg>".encode("utf-8", "ignore")))
def test_any_bytes_give_a_drawing_or_a_sentence(data: bytes) -> None:
    """Nothing else comes out, whatever goes in."""
    with contextlib.suppress(DrawingError):
        ElementTree.fromstring(standalone(read_drawing(data), 30, 20))
