"""`bowbook schema`: what may stand in a file, as JSON Schema."""

from __future__ import annotations

from typing import Literal

import click

from bowbook.terminal.output import say_json


@click.command("schema")
@click.argument("kind", type=click.Choice(["kite", "book", "rods", "skins", "strips", "session"]), default="kite")
def command(kind: Literal["kite", "book", "rods", "skins", "strips", "session"]) -> None:
    """Print the JSON Schema of a kite file's front matter, of book.yaml, of a list in stock,
    or of a session that the field page hands over.

    Editors that understand JSON Schema for YAML complete and check with it. Publishing puts the same files
    into output/data/schema/, and beginning a book or adding a kite into .bowbook/schema/, where the first line of a
    new file points.

    \b
    Example:
      bowbook schema kite > kite.schema.json
    """
    from bowbook.format.json_schema import json_schema

    say_json(json_schema(kind))
