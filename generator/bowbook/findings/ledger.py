"""What is said about one kite while it is worked out: wanting, assumed, warnings, problems."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field

from bowbook.book.records import Kite
from bowbook.findings.results import KiteProblem


class Ledger(Struct):
    """Collects sentences in the order they are found; each is written where its reason is discovered."""

    kite: Kite
    wanting: dict[str, str] = field(default_factory=dict)
    assumed: list[str] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)
    problems: list[KiteProblem] = field(default_factory=list)

    def want(self, path: str, sentence: str) -> None:
        """Record what would give the figure at `path`; the first sentence stands, being nearest the cause."""
        self.wanting.setdefault(path, sentence)

    def assume(self, sentence: str) -> None:
        """Record an assumption once."""
        if sentence not in self.assumed:
            self.assumed.append(sentence)

    def warn(self, sentence: str) -> None:
        """Record something to heed once."""
        if sentence not in self.warnings:
            self.warnings.append(sentence)

    def problem(self, path: str, error: ValueError, instead: str) -> None:
        """Turn an error of the mechanics into a problem of the value that caused it."""
        problem = KiteProblem(path, str(error), instead)
        if problem not in self.problems:
            self.problems.append(problem)
            self.warn(f"{problem.message[:1].upper()}{problem.message[1:]}. {instead}")


def wanted_sentence(wanted: Sequence[str]) -> str:
    """Several things as one sentence: "The bow's length, its span and readings of both halves."."""
    joined = wanted[0] if len(wanted) == 1 else ", ".join(wanted[:-1]) + " and " + wanted[-1]
    return joined[0].upper() + joined[1:] + "."
