"""Pictures and stories as a template takes them: made only where the template shows them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Drawn:
    """HTML or SVG that is safe as it stands, made when it is first shown."""

    make: Callable[[], str | None]

    def __html__(self) -> str:
        return self.make() or ""


@dataclass(frozen=True, slots=True)
class Safe:
    """HTML or SVG already made, safe as it stands."""

    text: str

    def __html__(self) -> str:
        return self.text

    def __str__(self) -> str:
        return self.text
