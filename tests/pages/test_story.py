"""Stories become HTML that is safe, that links where it should, and that a page can hold without mending.

The hostile strings follow the XSS corner of OWASP's Cheat Sheet Series ("XSS Filter Evasion"), written here from
memory; what HTML may contain is the WHATWG HTML standard's, read by the standard library's own parser.
"""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from msgspec.structs import replace

from bowbook.book.problems import Location, Problem
from bowbook.book.records import Book, Kite, Page
from bowbook.pages.links import address_of, link_problems, pictures
from bowbook.pages.photo_view import PhotoView
from bowbook.pages.story import Setting, to_html

# fmt: off
ALLOWED = {
    "p", "h2", "h3", "h4", "h5", "h6", "em", "strong", "a", "ul", "ol", "li", "blockquote", "pre", "code",
    "hr", "br", "table", "thead", "tbody", "tr", "th", "td", "sup", "section", "div", "picture", "source",
    "img",
}
# fmt: on


class Reader(HTMLParser):
    """Collects every element with its attributes, and the text."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data


def read(html: str) -> Reader:
    """The elements and the text of some HTML."""
    reader = Reader()
    reader.feed(html)
    reader.close()
    return reader


def links(html: str) -> list[str | None]:
    """Where every link of some HTML leads."""
    return [attributes.get("href") for tag, attributes in read(html).elements if tag == "a"]


HERE = Setting("kites/knot/index.html", "content/kites/knot.md", {"knot", "turnstone"}, {"how"})

HOSTILE = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "<svg/onload=alert(1)>",
    "<iframe srcdoc='<script>alert(1)</script>'>",
    "[x](javascript:alert(1))",
    "[x](JaVaScRiPt:alert(1))",
    "[x](&#106;avascript:alert(1))",
    "[x](java%0ascript:alert(1))",
    "[x](  javascript:alert(1))",
    "[x](vbscript:msgbox(1))",
    "[x](data:text/html;base64,PHNjcmlwdD5hbGVydCgxKTwvc2NyaXB0Pg==)",
    "[x](file:///etc/passwd)",
    "[x](//example.org/x)",
    "[x](\\\\example.org\\x)",
    "[x](<javascript:alert(1)>)",
    "<javascript:alert(1)>",
    "[x]: javascript:alert(1)\n\n[x]",
    "![x](javascript:alert(1))",
    "![x](https://example.org/spy.gif)",
    '![x](x.jpg "\\" onerror=alert(1)")',
    '[x](https://example.org "\\" onmouseover=alert(1)")',
    '!["><script>alert(1)</script>](x.jpg)',
    '``` "><script>alert(1)</script>\nx\n```',
    "[^x]\n\n[^x]: <script>alert(1)</script>",
    '[^"><script>]\n\n[^"><script>]: note',
    "|a|\n|:-:|\n|<script>alert(1)</script>|",
    "# <script>alert(1)</script>\n",
    "<a href=javascript:alert(1)>x</a>",
    "<!--[if gte IE 4]><script>alert(1)</script><![endif]-->",
    "<style>@import 'https://example.org'</style>",
    "<base href=https://example.org/>",
    "<meta http-equiv=refresh content='0;url=https://example.org'>",
    '[a](kite:../../x) [b](kite:"><script>alert(1)</script>)',
]


@pytest.mark.parametrize("story", HOSTILE)
def test_nothing_in_a_story_can_run_or_call_out(story: str) -> None:
    """Whatever a story says, only plain elements come of it, none with a handler, and links of three schemes."""
    found = read(to_html(story, HERE))
    for tag, attributes in found.elements:
        assert tag in ALLOWED
        assert not [name for name in attributes if name.startswith("on") or name in ("style", "srcdoc")]
        target = attributes.get("href") or ""
        assert target.startswith(("#", "https://", "http://", "mailto:", "../", "index.html")) or not target
        assert tag != "img"


def test_headings_start_under_the_pages_own() -> None:
    """The page has the first heading; a story's highest becomes the second, and none is left out below it."""
    html = to_html("# Making\n\n### Shaving\n\n# Flying", HERE)
    assert [tag for tag, _ in read(html).elements if tag.startswith("h")] == ["h2", "h3", "h2"]


def test_a_heading_can_be_linked_within_the_story() -> None:
    """A link to a heading of the same story finds it; one to a heading that isn't there is only its text."""
    html = to_html("# The bow\n\n[see](#the-bow) [not](#wind)", HERE)
    assert links(html) == ["#story-the-bow"]
    assert ("h2", {"id": "story-the-bow"}) in read(html).elements


@pytest.mark.parametrize(
    ("written", "leads"),
    [
        ("[T](turnstone.md)", "../turnstone/index.html"),
        ("[T](./turnstone.md#story-bow)", "../turnstone/index.html#story-bow"),
        ("[T](kite:turnstone)", "../turnstone/index.html"),
        ("<kite:turnstone>", "../turnstone/index.html"),
        ("[T]\n\n[T]: turnstone.md", "../turnstone/index.html"),
        ("[how](../pages/how.md)", "../../pages/how.html"),
        ("[out](https://example.org/a?b=1&c=2)", "https://example.org/a?b=1&c=2"),
        ("[write](mailto:a@example.org)", "mailto:a@example.org"),
    ],
)
def test_links_lead_where_they_say_from_the_pages_own_depth(written: str, leads: str) -> None:
    """A kite is linked by its file, as a viewer of Markdown does, and reached from wherever the page stands."""
    assert links(to_html(written, HERE)) == [leads]


def test_a_link_out_of_the_site_tells_the_other_side_nothing() -> None:
    """Links to elsewhere carry rel="noopener noreferrer"."""
    (element,) = [
        attributes for tag, attributes in read(to_html("[x](https://example.org)", HERE)).elements if tag == "a"
    ]
    assert element["rel"] == "noopener noreferrer"


def test_a_name_in_any_script_can_be_linked() -> None:
    """A kite's file may be named in any script; its address is written as RFC 3986 wants it."""
    setting = Setting("kites/knot/index.html", "content/kites/knot.md", {"しぎ"})
    assert links(to_html("[しぎ](しぎ.md)", setting)) == ["../%E3%81%97%E3%81%8E/index.html"]
    assert address_of("しぎ.md", "content/kites/knot.md", {"しぎ"}, ()) == "kites/しぎ/index.html"


def test_tables_and_footnotes_work_without_a_style_attribute() -> None:
    """Alignment is said by a class, which a Content-Security-Policy allows; footnotes lead there and back."""
    found = read(to_html("|a|b|\n|-:|:-|\n|1|2|\n\nSo.[^1]\n\n[^1]: Because.", HERE))
    assert ("th", {"class": "to-right"}) in found.elements
    assert ("td", {"class": "to-left"}) in found.elements
    anchors = {attributes["id"] for _, attributes in found.elements if "id" in attributes}
    targets = {str(attributes["href"])[1:] for tag, attributes in found.elements if tag == "a"}
    assert targets == anchors
    assert "Because." in found.text


def test_a_picture_of_the_kites_own_comes_in_its_sizes() -> None:
    """A picture is shown by the files made from it, keeps its place while loading, and has the text it was given."""
    photo = PhotoView(
        "listed",
        960,
        640,
        (("image/webp", (("beach-480.webp", 480), ("beach-960.webp", 960))),),
        "beach-960.jpg",
        file="beach.jpg",
    )
    setting = Setting("kites/knot/index.html", "content/kites/knot.md", photos=(photo,))
    found = dict(read(to_html('![On the "beach"](beach.jpg)', setting)).elements)
    assert found["source"]["srcset"] == "beach-480.webp 480w, beach-960.webp 960w"
    assert found["img"] | {} == {
        "src": "beach-960.jpg",
        "width": "960",
        "height": "640",
        "alt": 'On the "beach"',
        "loading": "lazy",
        "decoding": "async",
    }


def book(**stories: str) -> Book:
    """A book of kites with these stories, and one free page."""
    kites = {
        key: Kite(key, key.title(), story=story, story_line=5, file=f"content/kites/{key}.md")
        for key, story in stories.items()
    }
    page = Page("how", "How", "[x](../kites/knto.md)", 1, "content/pages/how.md")
    return Book("", kites=kites, pages={"how": page} if "knot" in stories else {})


def test_a_link_to_no_kite_is_a_problem_at_its_line() -> None:
    """A broken link is named with file, line and column, and the nearest kite there is."""
    (problem, other) = link_problems(book(knot="One.\n\nSee [it](turnstoen.md).", turnstone=""))
    assert (problem.location.file, problem.location.line, problem.location.column) == ("content/kites/knot.md", 7, 10)
    assert problem.message == "there is no kite turnstoen to link to"
    assert problem.hint == "Did you mean turnstone.md?"
    assert problem.source == "See [it](turnstoen.md)."
    assert (other.location.file, other.location.line) == ("content/pages/how.md", 1)


def test_a_link_to_a_kite_with_problems_is_no_problem_of_its_own() -> None:
    """A kite that can't be read yet is there all the same: its own problems are enough to say."""
    wrong = Problem(Location("content/kites/turnstone.md", 2), "the name is missing")
    linked = replace(book(plain="[it](turnstone.md)"), problems=(wrong,))
    assert link_problems(linked) == []
    assert len(link_problems(replace(linked, problems=()))) == 1


@pytest.mark.parametrize(
    ("story", "what"),
    [
        ("![x](https://example.org/x.jpg)", "`https://example.org/x.jpg` is not a photo of this kite"),
        ("![x](../turnstone/x.jpg)", "`../turnstone/x.jpg` is not a photo of this kite"),
        ("![](x.jpg)", "this picture says nothing to those who can't see it"),
        ("[x](notes.txt)", "`notes.txt` leads nowhere on the site"),
        ("[x](kite:nobody)", "there is no kite nobody to link to"),
    ],
)
def test_what_a_story_cannot_show_is_a_problem(story: str, what: str) -> None:
    """Pictures from elsewhere, pictures without a text and links to nothing are each said."""
    assert [problem.message for problem in link_problems(book(turnstone=story))] == [what]


def test_what_is_in_code_is_no_link() -> None:
    """A story may write about links."""
    assert link_problems(book(turnstone="`[x](nobody.md)`\n\n```\n[x](nobody.md)\n```\n")) == []


def test_pictures_of_a_story_are_found_once_each() -> None:
    """A picture may be named alone or within the kite's folder, as a viewer of Markdown needs it."""
    story = "![a](one.jpg) ![b](turnstone/two.jpg) ![c](one.jpg)"
    assert pictures(story, "content/kites/turnstone.md") == [("one.jpg", "a"), ("two.jpg", "b")]
