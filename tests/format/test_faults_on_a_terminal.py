"""A problem as a terminal shows it: the mark stands under the spot, and no file commands the terminal."""

from __future__ import annotations

import pytest

from bowbook.book.problems import Location, Problem, render, safe

PLACE = Location("content/kites/tern.md", 4, 7, 13)


def test_the_mark_stands_under_the_spot() -> None:
    """Location and sentence, the line, a mark from column to end, what to write."""
    problem = Problem(PLACE, "`inn` is not a unit of a length", "Did you mean in?", "span: 24 inn")

    assert render(problem).split("\n") == [
        "content/kites/tern.md:4:7: `inn` is not a unit of a length",
        "  span: 24 inn",
        "        ^^^^^^",
        "  Did you mean in?",
    ]


@pytest.mark.parametrize(
    ("source", "column", "end", "mark"),
    [
        ("name: 千鳥 x", 10, 11, "           ^"),
        ("name: 千鳥 x", 7, 9, "      ^^^^"),
        ("\tmass: x", 2, 6, "    ^^^^"),
        ("a\u0308: x", 5, 6, "   ^"),
        ("mass:", 6, 7, "     ^"),
        ("", 1, 2, None),
    ],
)
def test_the_mark_minds_how_wide_letters_are(source: str, column: int, end: int, mark: str | None) -> None:
    """Wide letters take two columns, combining ones none, a tab four; past the end one mark is left."""
    lines = render(Problem(Location("x.md", 1, column, end), "what", "", source)).split("\n")

    assert (lines[2] if len(lines) > 2 else None) == (None if mark is None else "  " + mark)


def test_a_long_line_is_cut_around_the_spot() -> None:
    """A line of a thousand letters still fits a terminal, and the mark is on it."""
    source = "a" * 500 + "X" + "b" * 500
    lines = render(Problem(Location("x.md", 1, 501, 502), "what", "", source)).split("\n")

    assert len(lines[1]) < 110
    assert lines[1][lines[2].index("^")] == "X"


@pytest.mark.parametrize("evil", ["\x1b[2J", "\x1b]0;title\x07", "\x9b31m", "a\u202eb", "a\rb", "a\nb", "\x00"])
def test_no_file_commands_the_terminal(evil: str) -> None:
    """Escape sequences, direction marks and line ends in a file are written out, wherever they are shown."""
    shown = render(Problem(Location(f"{evil}.md", 1, 1, 2), f"`{evil}`", f"Write {evil}.", f"x {evil}"))

    assert len(shown.split("\n")) == 4
    assert all(line.isprintable() for line in shown.split("\n"))
    assert safe(evil).isprintable()


def test_colour_changes_nothing_but_colour() -> None:
    """With colour, the same letters stand between the colour's own sequences."""
    problem = Problem(PLACE, "what", "instead", "span: 24 inn")
    coloured = render(problem, colour=True)

    for sequence in ("\x1b[0m", "\x1b[1m", "\x1b[31m"):
        assert sequence in coloured
        coloured = coloured.replace(sequence, "")
    assert coloured == render(problem)


def test_a_problem_without_a_line_names_the_file_alone() -> None:
    """A file that could not be read has no line to show."""
    assert render(Problem(Location("content/book.yaml"), "it is gone", "Put it back.")) == (
        "content/book.yaml: it is gone\n  Put it back."
    )
