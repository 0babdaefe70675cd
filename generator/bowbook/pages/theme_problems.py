"""What is wrong with a theme, said with the template's file and line instead of a traceback."""

from __future__ import annotations

import traceback
from pathlib import Path

import bowbook
from bowbook.book.problems import Location, Problem


class ThemeProblem(Exception):  # noqa: N818 - it carries problems, and is caught by that name
    """A theme that cannot be used; carries what is wrong and where."""

    def __init__(self, *problems: Problem) -> None:
        super().__init__("; ".join(problem.message for problem in problems))
        self.problems = problems


def blame(error: Exception, theme: str, folders: tuple[Path, ...]) -> Problem | None:
    """The problem of a template behind an error while rendering; None where the error is the program's own."""
    import jinja2

    at = _template_line(error, folders)
    if isinstance(error, jinja2.TemplateNotFound):
        what = f"the theme {theme!r} has no template {error.name}"
        return _problem(at or (folders[0] / "templates", 0), what, "Add it, or extend a theme that has it.")
    if isinstance(error, jinja2.TemplateSyntaxError) and error.filename:
        return _problem(
            (Path(error.filename), error.lineno), f"this template cannot be read: {error.message}", "Mend this line."
        )
    if at is None:
        return None
    if isinstance(error, jinja2.UndefinedError):
        what = f"this template asks for something it is not given: {error.message}"
        return _problem(at, what, "Use a name the page is given, or ask 'is defined' first.")
    if isinstance(error, jinja2.TemplateError) or not _in_the_program(error, at[0]):
        return _problem(at, f"this line of the template fails: {error}", "Mend this line.")
    return None


def _in_the_program(error: Exception, template: Path) -> bool:
    """Whether a template's line called into the program, and the error came up there."""
    program = Path(bowbook.__file__).parent
    for entry in reversed(traceback.extract_tb(error.__traceback__)):
        path = Path(entry.filename)
        if path == template:
            return False
        if program in path.parents and program / "themes" not in path.parents and path.name != "theme_sandbox.py":
            return True
    return True


def from_themes(path: Path) -> str:
    """A theme file's path as its maker knows it: themes/NAME/…"""
    parts = path.parts
    return "/".join(parts[len(parts) - 1 - parts[::-1].index("themes") :]) if "themes" in parts else str(path)


def _template_line(error: Exception, folders: tuple[Path, ...]) -> tuple[Path, int] | None:
    """The innermost template line in an error's trace."""
    homes = [folder / "templates" for folder in folders]
    for entry in reversed(traceback.extract_tb(error.__traceback__)):
        path = Path(entry.filename)
        if any(home in path.parents for home in homes):
            return path, entry.lineno or 1
    return None


def _problem(at: tuple[Path, int], what: str, instead: str) -> Problem:
    """The problem at a line of a template, with the line's own text."""
    path, line = at
    lines = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    source = lines[line - 1] if 0 < line <= len(lines) else ""
    return Problem(
        Location(from_themes(path), line, 1 if source else 0, len(source) + 1 if source else 0), what, instead, source
    )
