"""Where templates run: they see the records a page is given, and reach nothing else of the program or the machine."""

from __future__ import annotations

from collections.abc import Sized
from typing import Any

import jinja2
from jinja2.environment import TemplateModule
from jinja2.exceptions import SecurityError
from jinja2.runtime import LoopContext, Macro
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.utils import Cycler, Namespace
from markupsafe import Markup

_LONGEST = 100_000  # letters or items that one product may give
_MOST_BITS = 1000  # of a whole number that a product may give

_TEXT = frozenset([
    "capitalize", "count", "endswith", "find", "isalpha", "isdigit", "join", "lower", "lstrip", "partition",
    "removeprefix", "removesuffix", "replace", "rpartition", "rsplit", "rstrip", "split", "splitlines", "startswith",
    "strip", "title", "upper",
])  # fmt: skip
_LOOP = frozenset([
    "changed", "cycle", "depth", "depth0", "first", "index", "index0", "last", "length", "nextitem", "previtem",
    "revindex", "revindex0",
])  # fmt: skip
_NAMES: dict[type, frozenset[str]] = {
    str: _TEXT,
    Markup: _TEXT | {"striptags", "unescape"},
    dict: frozenset({"get", "items", "keys", "values"}),
    list: frozenset({"count", "index"}),
    tuple: frozenset({"count", "index"}),
    LoopContext: _LOOP,
    Macro: frozenset({"name", "arguments", "caller"}),
    Cycler: frozenset({"current", "next", "reset"}),
}
_FILTERS = frozenset([
    "abs", "batch", "capitalize", "count", "d", "default", "dictsort", "e", "escape", "first", "float",
    "forceescape", "groupby", "int", "items", "join", "last", "length", "list", "lower", "map", "max", "min",
    "quiet", "reject", "rejectattr", "replace", "reverse", "round", "safe", "select", "selectattr", "slice", "sort",
    "string", "striptags", "sum", "title", "tojson", "trim", "truncate", "unique", "upper", "urlencode", "wordcount",
])  # fmt: skip
_GLOBALS = frozenset({"range", "dict", "cycler", "joiner", "namespace"})


class Sandbox(ImmutableSandboxedEnvironment):
    """An environment in which an attribute is reached only if it is one of a record's, or on the lists above."""

    intercepted_binops = frozenset({"*", "**", "%"})

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.filters = {name: found for name, found in self.filters.items() if name in _FILTERS}
        self.globals = {name: found for name, found in self.globals.items() if name in _GLOBALS}

    def compile(
        self, source: Any, name: str | None = None, filename: str | None = None, *args: Any, **said: Any
    ) -> Any:
        """A template's code. What is nested deeper than Python can follow is the template's fault."""
        try:
            return super().compile(source, name, filename, *args, **said)
        except (RecursionError, MemoryError, SyntaxError, ValueError, OverflowError) as error:
            raise jinja2.TemplateSyntaxError("it is nested too deep, or holds too much", 1, name, filename) from error

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Whether a template may read an attribute: public ones of our records, a few of texts, lists and loops."""
        if attr.startswith("_") or isinstance(obj, type):
            return False
        if type(obj).__module__.startswith("bowbook."):
            return True
        if isinstance(obj, TemplateModule):
            return isinstance(value, Macro | str)  # what a template that was imported defines
        if isinstance(obj, Namespace):
            return True
        known = _NAMES.get(type(obj))
        return known is not None and attr in known

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Products and remainders, but for those that would fill the memory: numbers only, or a short text repeated."""
        if operator == "**" or (operator == "%" and isinstance(left, str | bytes)):
            raise SecurityError(f"a template cannot use {operator} here")
        if isinstance(left, int) and isinstance(right, int) and left.bit_length() + right.bit_length() > _MOST_BITS:
            raise SecurityError("a template cannot reckon with numbers so large")
        for many, times in ((left, right), (right, left)):
            if isinstance(many, Sized) and isinstance(times, int) and len(many) * times > _LONGEST:
                raise SecurityError("a template cannot repeat a text so often")
        return super().call_binop(context, operator, left, right)


def sandbox(loader: jinja2.BaseLoader) -> Sandbox:
    """A strict sandbox over a loader's templates: an undefined name stops, every text is escaped."""
    return Sandbox(
        loader=loader, autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
