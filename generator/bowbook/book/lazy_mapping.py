"""A mapping whose values are fetched at their first use."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

T = TypeVar("T")
HELD = 200  # values a mapping keeps: a page or a list uses one kite for a while, then the next


class LazyMapping(Mapping[str, T]):
    """Keys are there at once, in their order; each value is fetched at its first use.

    The last `HELD` fetched stay at hand; what was fetched before them is fetched again.
    """

    def __init__(self, fetch: Mapping[str, Callable[[], T]]) -> None:
        self._fetch = fetch
        self._there: dict[str, T] = {}

    def __getitem__(self, key: str) -> T:
        if key not in self._there:
            self._there[key] = self._fetch[key]()
            if len(self._there) > HELD:
                del self._there[next(iter(self._there))]
        return self._there[key]

    def __contains__(self, key: object) -> bool:
        return key in self._fetch  # fetches nothing

    def __iter__(self) -> Iterator[str]:
        return iter(self._fetch)

    def __len__(self) -> int:
        return len(self._fetch)
