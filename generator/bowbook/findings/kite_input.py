"""What is taken from each kite's record before anything is computed."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Flight, Kite
from bowbook.book.values import Given, Value
from bowbook.findings.readings import repeated
from bowbook.findings.results import Repeated
from bowbook.findings.states import newest, states_of
from bowbook.format.record_values import rod_keys, skin_keys


class KiteFacts(Struct, frozen=True):
    """What has to be known of a kite at once, before anything is computed."""

    key: str
    name: str
    file: str
    bow_rod: str | None = None
    spine_rod: str | None = None
    skin: str | None = None
    covered: bool = False
    flights: Mapping[str, int] = {}  # by flyer
    rods: tuple[str, ...] = ()  # every one it is or was made from
    skins: tuple[str, ...] = ()


class KiteInput(Struct, frozen=True):
    """One kite as `compute` takes it: its record, that as far as figures rest on it, and what its repeats say."""

    facts: KiteFacts
    record: Value[Kite]
    bench: Value[Kite]
    repeats: Value[Repeated]


def facts_of(kite: Kite) -> KiteFacts:
    """What has to be known of a kite before it is computed."""
    flights: dict[str, int] = {}
    for flight in kite.flights:
        if flight.flyer:
            flights[flight.flyer] = flights.get(flight.flyer, 0) + 1
    now = newest(states_of(kite)).kite
    return KiteFacts(
        key=kite.key,
        name=kite.name,
        file=kite.file,
        bow_rod=now.bow.rod,
        spine_rod=kite.spine.rod,
        skin=now.sail.skin,
        covered=kite.covered is not None or any(one.skin_on for one in kite.bench),
        flights=flights,
        rods=tuple(rod_keys(kite)),
        skins=tuple(skin_keys(kite)),
    )


def kite_input(kite: Kite) -> KiteInput:
    """One kite that is at hand, as `compute` takes it."""
    bench = for_figures(kite)
    return KiteInput(facts_of(kite), Given(kite), Given(bench), Given(repeated(bench)))


def for_figures(kite: Kite) -> Kite:
    """A kite as far as anything is computed from it: no words, no photos, its flights' best winds and taps."""
    told = (f for f in kite.flights if f.flyer is not None and (f.best is not None or f.taps))
    flights = tuple(
        Flight(on=f.on, flyer=f.flyer, best=f.best, height_m=f.height_m, bow=f.bow, taps=f.taps) for f in told
    )
    words = {"summary": None, "photos": (), "origin": None, "ancestors": (), "story": "", "story_line": 0}
    return replace(kite, stage=None, to=None, tags=(), flights=flights, **words)
