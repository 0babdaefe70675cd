"""Records are made by a decorator of the house's own: to everything else they are the library's frozen dataclasses."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Mapping
from typing import Any

import pytest

from bowbook.book.quick import dataclass as quick


class Plain:
    """Stands for a record: one value that is needed, one with a default, one made anew each time."""

    name: str
    mass: float | None = None
    places: Mapping[str, int] = dataclasses.field(default_factory=dict, compare=False, repr=False)


def made_by(decorator: Any) -> Any:
    """The same class by either decorator."""
    body = {
        "__annotations__": dict(Plain.__annotations__),
        "__doc__": "A record.",
        "__module__": __name__,
        "mass": None,
        "places": dataclasses.field(default_factory=dict, compare=False, repr=False),
    }
    return decorator(type("Plain", (), body))


OURS = made_by(quick(frozen=True, slots=True))
THEIRS = made_by(dataclasses.dataclass(frozen=True, slots=True))


@quick(frozen=True, slots=True)
class Kept:
    """A record that pickle can find by its name."""

    name: str
    rods: Mapping[str, int] = dataclasses.field(default_factory=dict)


@pytest.mark.parametrize("made", [OURS, THEIRS], ids=["ours", "the library's"])
def test_a_record_behaves_as_the_library_says(made: Any) -> None:
    """Compares and is written without what is left out of both, has its defaults, and every one its own mapping."""
    one, other = made("a", places={"x": 1}), made(name="a")
    assert (one, hash(one), repr(one)) == (other, hash(other), "Plain(name='a', mass=None)")
    assert one != made("a", 0.1)
    assert one != "a"
    assert made("a").places == {}
    assert made("a").places is not made("a").places
    assert dataclasses.replace(one, mass=2.0).mass == 2.0
    assert dataclasses.replace(one, mass=2.0).places == {"x": 1}
    assert dataclasses.asdict(one) == {"name": "a", "mass": None, "places": {"x": 1}}
    assert [field.name for field in dataclasses.fields(made)] == ["name", "mass", "places"]
    assert dataclasses.is_dataclass(made)
    assert copy.deepcopy(one) == one
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.name = "b"
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.name
    with pytest.raises((AttributeError, TypeError)):
        one.other = 1
    for wrong in ((), ("a", None, {}, 1)):
        with pytest.raises(TypeError):
            made(*wrong)


def test_fields_may_be_asked_for_before_the_first_record_is_made() -> None:
    """Neither order leaves a class without its defaults."""
    made = made_by(quick(frozen=True, slots=True))
    assert [field.name for field in dataclasses.fields(made)] == ["name", "mass", "places"]
    assert made("a").places == {}


def test_a_record_comes_back_from_pickle() -> None:
    """Also into a class of which none was made yet: equal, and still frozen."""
    kept = pickle.loads(pickle.dumps(Kept("a", {"b": 1})))
    assert kept == Kept("a", {"b": 1})
    with pytest.raises(dataclasses.FrozenInstanceError):
        kept.name = "b"
