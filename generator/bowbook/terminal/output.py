"""What is printed on a terminal: made harmless, wrapped to its width, coloured only where colour is wanted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import click

from bowbook.book.problems import safe


def visible(text: str) -> str:
    r"""The text with every character that could steer a terminal written out; new lines stay.

    >>> visible("a\x1b[31mb")
    'a␛[31mb'
    """
    return "\n".join(safe(line) for line in text.split("\n"))


def say(text: str = "", *, fg: str | None = None, bold: bool | None = None, err: bool = False) -> None:
    """Print one line or block, made visible; colour is dropped where it is not wanted."""
    click.echo(click.style(visible(text), fg=fg, bold=bold) if fg or bold else visible(text), err=err)


def say_json(data: object) -> None:
    """Print data as JSON with keys in the order given, readable by any JSON parser."""
    import json

    click.echo(json.dumps(data, ensure_ascii=True, indent=2, allow_nan=False))


def text_columns() -> int:
    """The width to wrap at: the terminal's, but from 40 to 100."""
    import shutil

    return max(40, min(shutil.get_terminal_size((80, 24)).columns, 100))


def tell(text: str, indent: str = "", *, fg: str | None = None, bold: bool | None = None, err: bool = False) -> None:
    """Print a paragraph wrapped to the terminal, later lines set under the first's words."""
    import textwrap

    wrapped = textwrap.fill(
        visible(text).replace("\n", " "),
        text_columns() - 1,
        initial_indent=indent,
        subsequent_indent=" " * len(indent),
        break_long_words=False,
        break_on_hyphens=False,
    )
    say(wrapped, fg=fg, bold=bold, err=err)


def cells(text: str) -> int:
    """How many terminal cells the text takes: wide characters two, marks set over others none.

    >>> cells("Turnstone"), cells("凧")
    (9, 2)
    """
    import unicodedata

    wide = sum(2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
    return wide - sum(1 for c in text if unicodedata.category(c) in {"Mn", "Me", "Cf"})


def table(headings: Sequence[str], rows: Iterable[Sequence[str]], right: frozenset[int] = frozenset()) -> list[str]:
    """Lines of a plain table under its headings; columns named in `right` end flush right.

    >>> for line in table(("rod", "takes"), [("a", "1 mm"), ("bc", "20 mm")], frozenset({1})): print(line)
    rod  takes
    a     1 mm
    bc   20 mm
    """
    grid = [[visible(cell) for cell in row] for row in (headings, *rows)]
    widths = [max(cells(row[n]) for row in grid) for n in range(len(headings))]
    return ["  ".join(_pad(cell, widths[n], n in right) for n, cell in enumerate(row)).rstrip() for row in grid]


def _pad(cell: str, width: int, flush_right: bool) -> str:
    """One cell filled up to its column's width."""
    blank = " " * (width - cells(cell))
    return blank + cell if flush_right else cell + blank


def say_table(headings: Sequence[str], rows: Iterable[Sequence[str]], right: frozenset[int] = frozenset()) -> None:
    """Print a table, its headings in bold on a terminal."""
    head, *body = table(headings, rows, right)
    say(head, bold=True)
    for line in body:
        say(line)


def say_pairs(pairs: Mapping[str, str]) -> None:
    """Print names and what belongs to them, names in one column, long words wrapped beside them."""
    wide = max((cells(visible(name)) for name in pairs), default=0)
    for name, text in pairs.items():
        tell(text, f"  {_pad(visible(name), wide, False)}  ")
