"""Links and pictures in stories: where each leads, and what is wrong with those that lead nowhere.

A kite is linked by its file, `[Turnstone](turnstone.md)`, as any viewer of Markdown understands it, or by
`kite:turnstone`. A picture is a file of the kite's own folder: `![on the beach](beach.jpg)`. This reads no Markdown
beyond that, so that checking a book stays quick.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from bisect import bisect_right
from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import accumulate
from pathlib import Path
from urllib.parse import unquote

from msgspec import Struct

from bowbook.book.file_names import folded
from bowbook.book.problems import Location, Problem
from bowbook.book.records import Book
from bowbook.book.suggest import nearest
from bowbook.charts.names import pair_name
from bowbook.format.build_records import slug
from bowbook.format.cross_checks import check_photo

WEB = ("http:", "https:", "mailto:")
"""What a link out of the site may start with."""

# Patterns are compiled when a story needs them: most have no link, and checking a small book should not wait.
_FENCE = r" {0,3}(`{3,}(?=[^`]*$)|~{3,})"
# What a bracket opens holds no further one of its kind: else a line of a thousand is gone through from each of them.
_INLINE = r"(?P<mark>!?)\[(?P<text>[^\[\]\n]*)\]\(\s*(?:<(?P<angled>[^<>\n]*)>|(?P<bare>[^\s)]+))"
_DEFINED = r"(?m)^ {0,3}\[(?P<text>[^\]\n^][^\]\n]*)\]:\s*(?:<(?P<angled>[^>\n]*)>|(?P<bare>\S+))"
_AUTOMATIC = r"<(?P<bare>kite:[^<>\s]+)>(?P<text>)(?P<angled>)"


class LinkSpot(Struct, frozen=True):
    """One link or picture: its target as written, its text, and where in the story it stands, from 1."""

    target: str
    text: str
    picture: bool
    line: int
    column: int
    end: int
    source: str


def link_spots(story: str) -> Iterator[LinkSpot]:
    """Every link and picture of a story, code left out."""
    if "](" not in story and "]:" not in story and "<kite:" not in story:
        return
    lines = story.split("\n")
    starts = list(accumulate((len(line) + 1 for line in lines), initial=0))
    blanked = _without_code(lines)
    for pattern in (_INLINE, _DEFINED, _AUTOMATIC):
        for found in re.finditer(pattern, blanked):
            start = found.start("angled") if found["angled"] else found.start("bare")
            row = bisect_right(starts, start) - 1
            column = start - starts[row] + 1
            target = found["angled"] or found["bare"] or ""
            yield LinkSpot(
                unquote(target),
                found["text"].strip(),
                pattern is _INLINE and found["mark"] == "!",
                row + 1,
                column,
                column + len(target),
                lines[row],
            )


def _without_code(lines: Sequence[str]) -> str:
    """The story with blanks in place of code, fenced or between backticks; one pass, whatever the story holds."""
    kept, fence = [], ""
    for line in lines:
        found = re.match(_FENCE, line)
        if fence:
            kept.append(" " * len(line))
            if line.strip() and set(line.strip()) == {fence[0]} and len(line.strip()) >= len(fence):
                fence = ""
        elif found:
            kept.append(" " * len(line))
            fence = found[1]
        else:
            kept.append(line)
    return _without_ticked("\n".join(kept))


def _without_ticked(text: str) -> str:
    """The text with blanks in place of what stands between two runs of equally many backticks."""
    runs = [found.span() for found in re.finditer("`+", text)]
    later: dict[int, list[int]] = {}
    for start, end in reversed(runs):
        later.setdefault(end - start, []).append(start)
    pieces, done = [], 0
    for start, end in runs:
        others = later[end - start]
        others.pop()
        if start >= done and others:
            close = others[-1] + end - start
            pieces += [text[done:start], re.sub(r"[^\n]", " ", text[start:close])]
            done = close
    return "".join([*pieces, text[done:]])


def pictures(story: str, file: str) -> list[tuple[str, str]]:
    """File names, in the kite's own folder, and texts of the pictures in a kite's story, each file once."""
    found: dict[str, str] = {}
    for spot in link_spots(story):
        name = own_picture(spot.target, file) if spot.picture else None
        if name is not None:
            found.setdefault(name, spot.text)
    return list(found.items())


def own_picture(target: str, file: str) -> str | None:
    """The file name of a picture in the own folder of the kite whose file this is; None if it is none."""
    folder = posixpath.basename(file).removesuffix(".md")
    name = target.removeprefix("./").removeprefix(f"{folder}/")
    return None if "/" in name or "\\" in name or ":" in name or name in ("", "..", ".") else name


def address_of(target: str, file: str, kites: Collection[str], pages: Collection[str]) -> str | None:
    """The address on the site that a link in a story leads to; None if it leads to nothing on it.

    >>> address_of("turnstone.md", "content/kites/knot.md", {"turnstone"}, ())
    'kites/turnstone/index.html'
    >>> address_of("../kites/turnstone.md#bow", "content/pages/how.md", {"turnstone"}, ())
    'kites/turnstone/index.html#bow'
    """
    room, key = _meant(target, file)
    _, mark, fragment = target.partition("#")
    if room == "kites" and key in kites:
        return f"kites/{key}/index.html{mark}{fragment}"
    if room == "pages" and key in pages:
        return f"pages/{key}.html{mark}{fragment}"
    return None


def pair_address(keys: Sequence[str]) -> str:
    """The address of the page that shows some kites side by side; no two rows of kites share one.

    >>> pair_address(("knot", "tern"))
    'compare/knot-and-tern.html'
    """
    return f"compare/{pair_name(keys)}.html"


def batch_address(name: str) -> str:
    """Where the page of the kites stands that were built together under this name, in any letters, small or capital.

    >>> batch_address("Plover"), batch_address("Plover, light")
    ('batches/plover.html', 'batches/plover-light-3d14b1f2.html')
    """
    name = folded(name)
    plain = slug(name)[:60].strip("-")
    if plain != name or re.search(r"\b[0-9a-f]{8}$", plain):  # no name may look like another's with its digest
        plain = f"{plain}-{hashlib.sha256(name.encode()).hexdigest()[:8]}".lstrip("-")
    return f"batches/{plain}.html"


def linked(story: str, file: str) -> tuple[str, ...]:
    """What a story's links mean, there or not, in order: "kites/turnstone", "pages/how"."""
    meant = {_meant(spot.target, file) for spot in link_spots(story)}
    return tuple(sorted(f"{room}/{key}" for room, key in meant if room))


def _meant(target: str, file: str) -> tuple[str, str]:
    """The room and the key that a link to a kite or a page means; two empty texts for any other link."""
    path = target.partition("#")[0]
    if path.startswith("kite:"):
        return "kites", path[5:]
    if not path.endswith(".md"):
        return "", ""
    room, _, name = posixpath.normpath(posixpath.join(posixpath.dirname(file), path)).rpartition("/")
    return room.removeprefix("content/") if room.startswith("content/") else "elsewhere", name.removesuffix(".md")


def sound(story: str, file: str) -> bool:
    """Whether nothing in a kite's story can be wrong but that a kite or a page it links to is not there."""
    for spot in link_spots(story):
        if spot.picture:
            if _picture(spot, file, True) is not None:
                return False
        elif not _apart(spot.target) and not _meant(spot.target, file)[0]:
            return False
    return True


def _apart(target: str) -> bool:
    """Whether a link stays on its page or leaves the site."""
    return target.startswith("#") or target.lower().startswith(WEB)


def link_problems(book: Book, known: Mapping[str, Collection[str]] | None = None) -> list[Problem]:
    """A problem for every link in a story that leads nowhere, and every picture that cannot be shown.

    `known`: of kites whose stories are sound, what their links mean. Their stories are only looked at where some of
    that is not there.
    """
    there = {*(f"kites/{key}" for key in book.kites), *(f"pages/{key}" for key in book.pages)}
    still = {key for key, links in (known or {}).items() if there.issuperset(links)}
    kites = [*(book.kites[key] for key in book.kites if key not in still), *book.drafts]
    stories = [(kite.story, kite.story_line, kite.file, True) for kite in kites]
    stories += [(page.story, page.story_line, page.file, False) for page in book.pages.values()]
    problems = []
    for story, first, file, of_kite in stories:
        for spot in link_spots(story):
            place = Location(file, first + spot.line - 1, spot.column, spot.end)
            wrong = _picture(spot, file, of_kite) if spot.picture else _link(spot, file, book)
            if wrong is not None:
                problems.append(Problem(place, *wrong, spot.source))
            elif spot.picture:
                name, folder = own_picture(spot.target, file) or "", file.removesuffix(".md")
                problems += check_photo(place, name, Path(book.root), folder)
    return problems


def _picture(spot: LinkSpot, file: str, of_kite: bool) -> tuple[str, str] | None:
    if not of_kite:
        return "only a kite's story can show a picture", "Put it into the kite's folder and show it there."
    if own_picture(spot.target, file) is None:
        folder = file.removesuffix(".md")
        return f"`{spot.target[:60]}` is not a photo of this kite", f"Put it into {folder}/ and write its name alone."
    if not spot.text:
        return "this picture says nothing to those who can't see it", "Write what it shows between the brackets."
    return None


def _link(spot: LinkSpot, file: str, book: Book) -> tuple[str, str] | None:
    target = spot.target
    if _apart(target):
        return None
    if address_of(target, file, book.kites, book.pages) is not None:
        return None
    key = posixpath.basename(target.partition("#")[0].removeprefix("kite:")).removesuffix(".md")
    if any(problem.location.file.endswith(f"/{key}.md") for problem in book.problems):
        return None  # that kite is there, and has problems of its own to mend first
    near = nearest(key, book.kites)
    hint = f"Did you mean {near[0]}.md?" if near else "Link a kite by its file's name, such as (turnstone.md)."
    if target.startswith("kite:") or target.endswith(".md") or ".md#" in target:
        return f"there is no kite {key[:60]} to link to", hint
    return (
        f"`{target[:60]}` leads nowhere on the site",
        "Link a kite or a page by its file, or write https://… in full.",
    )
