"""Questions at the terminal: asked again until the answer can be understood, left at any time."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import IO, Any, TypeVar

import click

from bowbook.terminal.output import say, tell, visible

Answer = TypeVar("Answer")


class LeftError(click.ClickException):
    """The maker left in the middle of the questions (Ctrl-C, Ctrl-D, or the answers ran out): the command ends."""

    def __init__(self) -> None:
        super().__init__("Nothing was written.")

    def show(self, file: IO[Any] | None = None) -> None:  # noqa: ARG002 as click calls it
        """Say it as everything else is said."""
        tell(self.message)


def ask(question: str, understand: Callable[[str], Answer], help_text: str = "") -> Answer:
    """The first answer that `understand` accepts.

    `understand` gets the answer without its outer blanks ("" for Enter alone) and raises ValueError, with a
    sentence, for what it cannot use. `?` shows `help_text`. Raises LeftError where the maker leaves.
    """
    while True:
        answer = _line(question)
        if answer == "?" and help_text:
            tell(help_text, "  ")
            continue
        try:
            return understand(answer)
        except ValueError as wrong:
            tell(str(wrong), "  ! ", fg="yellow")


def _line(question: str) -> str:
    """One line from the maker, without its outer blanks."""
    while True:
        try:
            answer = str(click.prompt(visible(question), default="", show_default=False, prompt_suffix=" ")).strip()
            if sys.stdin is sys.__stdin__ and not at_terminal():
                say(answer)  # it came from a pipe, so nothing has shown it yet
            return answer
        except (click.Abort, RuntimeError):  # the latter where standard input is closed
            say()
            raise LeftError from None
        except UnicodeDecodeError:
            tell("That was not readable text; type it again.", "  ! ", fg="yellow")


def at_terminal() -> bool:
    """Whether answers are typed at a terminal."""
    return sys.stdin is not None and not sys.stdin.closed and sys.stdin.isatty()


def one_of(choices: dict[str, Answer], otherwise: str) -> Callable[[str], Answer]:
    """An `understand` for a few words, or their beginnings where these are clear; `otherwise` names them.

    >>> one_of({"left": 1, "right": 2, "": 0}, "left or right")("LE")
    1
    """

    def understand(answer: str) -> Answer:
        word = answer.casefold()
        if word in choices:
            return choices[word]
        found = {id(value): value for name, value in choices.items() if word and name.startswith(word)}
        if len(found) == 1:
            return next(iter(found.values()))
        raise ValueError(f"Write {otherwise}.")

    return understand


def whole_number(low: int, high: int, what: str) -> Callable[[str], int | None]:
    """An `understand` for a whole number from `low` to `high`; Enter alone gives None.

    >>> whole_number(1, 5, "control")("4")
    4
    """

    def understand(answer: str) -> int | None:
        if not answer:
            return None
        if not (answer.isascii() and answer.isdigit() and len(answer) < 7 and low <= int(answer) <= high):
            raise ValueError(f"Write a whole number from {low} to {high} for {what}, or press Enter to leave it out.")
        return int(answer)

    return understand
