"""A mapping whose values are fetched when they are first asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

T = TypeVar("T")


def at_hand(value: T) -> Callable[[], T]:
    """A fetch of what is there already."""
    return lambda: value


class WhenAsked(Mapping[str, T]):
    """Keys are there at once, in their order; each value is fetched once, when somebody looks at it."""

    def __init__(self, fetch: Mapping[str, Callable[[], T]]) -> None:
        self._fetch = fetch
        self._there: dict[str, T] = {}

    def __getitem__(self, key: str) -> T:
        if key not in self._there:
            self._there[key] = self._fetch[key]()
        return self._there[key]

    def __contains__(self, key: object) -> bool:
        return key in self._fetch  # asking whether a key is there fetches nothing

    def __iter__(self) -> Iterator[str]:
        return iter(self._fetch)

    def __len__(self) -> int:
        return len(self._fetch)
