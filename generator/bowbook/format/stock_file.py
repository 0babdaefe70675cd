"""The file of the loose strips, checked on its own."""

from __future__ import annotations

from bowbook.book.quantities import HasUnits
from bowbook.book.records import Units
from bowbook.format import book_schema
from bowbook.format.source_file import Source, read_text
from bowbook.format.validate import Walk, is_empty, walk
from bowbook.format.yaml_nodes import compose

STRIPS = "content/stock/strips.yaml"


def read_strips(data: bytes, units: HasUnits | None = None) -> Source:
    """The text of strips.yaml with every problem found in it."""
    source = read_text(data, STRIPS)
    if not source.problems:
        node = compose(source, 0, len(source.lines))
        if node is not None and not is_empty(node):
            walk(node, book_schema.STRIPS, Walk(source, units or Units(), 0))
    return source
