"""The file of the loose strips, checked on its own."""

from __future__ import annotations

from bowbook.book.quantities import HasUnits
from bowbook.book.records import Units
from bowbook.format import book_schema
from bowbook.format.source_file import read_text
from bowbook.format.validate import walk
from bowbook.format.validate_values import Walk, is_empty
from bowbook.format.yaml_nodes import compose

STRIPS = "content/stock/strips.yaml"


def read_strips(data: bytes, units: HasUnits | None = None) -> Walk:
    """The walk over the text of strips.yaml: every problem found in it, and where its values stand."""
    source = read_text(data, STRIPS)
    at = Walk(source, units or Units(), 0)
    if not source.problems:
        node = compose(source, 0, len(source.lines))
        if node is not None and not is_empty(node):
            walk(node, book_schema.STRIPS, at)
    return at
