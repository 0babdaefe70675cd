"""The command line's front door: which commands there are, found without loading any of them."""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any, NoReturn

import click

from bowbook import __version__

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

COMMANDS: dict[str, dict[str, str]] = {
    "Set up": {
        "begin": "Begin a book in a new folder.",
        "add": "Add a kite, from nothing, from one of yours or from a friend's.",
        "take": "Take old records over from a table of rows.",
    },
    "At the bench": {
        "bench": "Read a bow on the scale, even it out, keep the round.",
        "choose": "Choose the rod and the readings for a wind, or to repeat a favourite.",
        "sheet": "Print a kite's sheet and full-size pattern.",
    },
    "On the field": {
        "fly": "Write down a flight.",
        "change": "Write down what was changed on a kite, or where it went.",
    },
    "The book": {
        "check": "Name everything that is wrong in the book, or print its figures.",
        "publish": "Check the book and put its site in place.",
        "preview": "Look at the site while you write.",
        "undo": "Take back what the last command wrote.",
        "schema": "Print what may stand in a file, for editors that complete and check.",
    },
}


WRITING = frozenset({"add", "take", "bench", "choose", "fly", "change"})


class LightGroup(click.Group):
    """A group that imports a command's module only when that command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 click asks with a context
        """All names, in the order help shows them."""
        return [name for part in COMMANDS.values() for name in part]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now; None for a name that is none."""
        if cmd_name not in self.list_commands(ctx):
            return None
        found: click.Command = import_module(f"bowbook.commands.{cmd_name}").command
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command named first; a usage error with the nearest names where it is none."""
        if args and not args[0].startswith("-") and args[0] not in self.list_commands(ctx):
            from difflib import get_close_matches

            near = get_close_matches(args[0], self.list_commands(ctx))
            ctx.fail(f"There is no command {args[0]!r}." + (f" Did you mean {' or '.join(near)}?" if near else ""))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 click asks with a context
        """The commands under the part of the work they belong to."""
        for part, commands in COMMANDS.items():
            with formatter.section(part):
                formatter.write_dl(list(commands.items()))

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """Names of commands that begin so, with their one line."""
        from click.shell_completion import CompletionItem

        lines = {name: line for part in COMMANDS.values() for name, line in part.items()}
        options = click.Command.shell_complete(self, ctx, incomplete)
        return [
            CompletionItem(name, help=line) for name, line in lines.items() if name.startswith(incomplete)
        ] + options

    def _begin(self, args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
        """Have what a command writes noted as this command's, where it is one that writes."""
        words = kwargs.get("args", args[0] if args else None)
        words = sys.argv[1:] if words is None else list(words)
        if words and words[0] in WRITING:
            from bowbook.storage.journal import begin_command

            begin_command(words)

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run a command; what the machine refuses (a full disk, a locked folder) becomes a sentence."""
        for stream in (sys.stdout, sys.stderr):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="backslashreplace")
        self._begin(args, kwargs)
        try:
            return super().main(*args, **kwargs)
        except Exception as error:  # which ones there are is looked up then only: `--help` loads no records
            _say_why(error)


def _say_why(error: Exception) -> NoReturn:
    """Say what the machine refused, and end with status 1; any other error is a fault of the program, and raised."""
    from bowbook.storage.os_errors import StorageError
    from bowbook.terminal.output import tell

    if isinstance(error, OSError):
        where = f" {error.filename}" if error.filename else ""
        tell(f"The machine refused{where}: {error.strerror or error}.", err=True, fg="red")
    elif isinstance(error, StorageError):
        tell(f"{error.where}: {error.message} {error.hint}", err=True, fg="red")
    else:
        raise error
    sys.exit(1)


@click.group(
    cls=LightGroup,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="First time: bowbook begin my-kites",
)
@click.version_option(__version__, prog_name="bowbook")
@click.pass_context
def main(context: click.Context) -> None:
    """Keep a book of hand-made bowed kites, and publish it as a site.

    You write one text file per kite; the scale's readings in it become a verdict, a wind and a page.

    Exit status: 0 all is well, 1 something is wrong or was left unfinished, 2 the command was not understood.
    """
    if os.environ.get("NO_COLOR"):
        context.color = False
