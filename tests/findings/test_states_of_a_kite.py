"""A kite's states: what was measured and flown with which bow, skin and stringing, in the order of its days."""

from __future__ import annotations

from bowbook.book.records import Bow, Change, Covered, Flight, Kite, Press, Round, Shave, Tips
from bowbook.book.sail import Sail
from bowbook.findings.states import newest, states_of

FIRST, SECOND = Bow("carbon-1.5", 0.64, 0.60, crosses_m=0.11), Bow("glass-2", 0.64, 0.598)


def press(newton: float) -> Press:
    """One reading."""
    return Press((newton,))


def test_a_kite_without_changes_has_one_state() -> None:
    """Readings and flights as in the first version's files are all of one state."""
    kite = Kite("k", "K", bow=FIRST, bench=(Round("2026-05-01", press(2)),), flights=(Flight("2026-06-01"), Flight()))

    (state,) = states_of(kite)

    assert state.what == ("built",)
    assert state.told
    assert state.kite == kite


def test_each_shave_begins_a_state_and_a_flight_is_of_the_state_of_its_day() -> None:
    """Whatever order rounds and flights stand in: May's flight was with the bow before June's shave."""
    kite = Kite(
        "k",
        "K",
        bow=FIRST,
        bench=(
            Round("2026-06-02", press(1.9), press(1.9)),
            Round("2026-06-01", press(2.1), press(1.9), shaves=(Shave("left"),)),
            Round("2026-05-01", press(2.1), press(1.9)),
        ),
        flights=(Flight("2026-06-03"), Flight("2026-05-10"), Flight("2026-06-01"), Flight()),
    )

    before, after = states_of(kite)

    assert [one.on for one in before.kite.bench] == ["2026-05-01", "2026-06-01"]
    assert [one.on for one in after.kite.bench] == ["2026-05-01", "2026-06-01", "2026-06-02"]
    assert (after.since, after.what) == ("2026-06-01", ("shaved",))
    assert [flight.on for flight in before.kite.flights] == ["2026-05-10"]
    assert [flight.on for flight in after.kite.flights] == ["2026-06-03", "2026-06-01", None]
    assert after.filed["bench.2"] == "bench.0"


def test_a_shave_that_was_not_measured_leaves_a_state_that_cannot_tell() -> None:
    """What is said of the bow is then said of the state before, and later flights are of the new one."""
    kite = Kite(
        "k",
        "K",
        bow=FIRST,
        bench=(Round("2026-06-01", press(2.1), press(1.9), shaves=(Shave("left"),)),),
        flights=(Flight("2026-07-01"),),
    )

    before, after = states_of(kite)

    assert (before.told, after.told) == (True, False)
    assert newest((before, after)) == before
    assert after.kite.flights == kite.flights


def test_a_covered_press_is_of_its_own_state_only() -> None:
    """Covered in 2026 and bare in 2031 have a new skin and five years between them; they are never put together."""
    kite = Kite(
        "k",
        "K",
        sail=Sail("washi-30"),
        bow=FIRST,
        bench=(
            Round("2026-05-01", press(2.0), press(2.0)),
            Round("2026-05-03", press(2.2), press(2.2), skin_on=True),
            Round("2031-05-01", press(1.9), press(1.9)),
        ),
        changes=(Change("2031-04-01", skin="tissue-18"),),
    )

    old, new = states_of(kite)

    assert (old.kite.sail.skin, new.kite.sail.skin) == ("washi-30", "tissue-18")
    assert old.kite.covered == Covered(press(2.2), press(2.2), "2026-05-03")
    assert new.kite.covered is None
    assert [one.on for one in old.kite.bench] == ["2026-05-01"]
    assert [one.on for one in new.kite.bench] == ["2026-05-01", "2031-05-01"]
    assert new.told


def test_a_new_bow_forgets_the_old_one_s_readings_and_a_new_stringing_does_not() -> None:
    """The bow's stiffness goes with the bow; the span goes with the day."""
    kite = Kite(
        "k",
        "K",
        bow=FIRST,
        bench=(Round("2026-05-01", press(2.0)), Round("2027-06-03", press(3.0))),
        changes=(Change("2028-01-10", span_m=0.59), Change("2027-06-02", bow=SECOND)),
    )

    first, second, strung = states_of(kite)

    assert (first.kite.bow, second.kite.bow.rod, strung.kite.bow.span_m) == (FIRST, "glass-2", 0.59)
    assert second.kite.bow.crosses_m == 0.11
    assert (second.what, strung.what) == (("new bow",), ("restrung",))
    assert [[r.on for r in s.kite.bench] for s in (first, second, strung)] == [
        ["2026-05-01"],
        ["2027-06-03"],
        ["2027-06-03"],
    ]
    assert strung.told


def test_undated_rounds_are_of_the_newest_state_unless_a_dated_one_follows() -> None:
    """A first round without its day before a dated one was before it; the last one without a day is the newest."""
    kite = Kite(
        "k",
        "K",
        bow=FIRST,
        bench=(Round(None, press(2.0)), Round("2026-05-02", press(2.1)), Round(None, press(2.2))),
        covered=Covered(press(2.5)),
        changes=(Change("2027-01-01", skin="tissue-18"),),
    )

    old, new = states_of(kite)

    assert len(old.kite.bench) == 2
    assert len(new.kite.bench) == 3
    assert (old.kite.covered, new.kite.covered) == (None, Covered(press(2.5)))


def test_several_bows_have_their_own_rounds_and_flights() -> None:
    """What names no bow is the first one's; the kite is known by that."""
    kite = Kite(
        "k",
        "K",
        bows={"light": FIRST, "strong": SECOND},
        bench=(Round("2026-05-01", press(2.0)), Round("2026-05-01", press(3.0), bow="strong")),
        flights=(Flight("2026-06-01", bow="light"), Flight("2026-06-01", bow="strong"), Flight("2026-06-02")),
    )

    strong, light = states_of(kite)

    assert (strong.bow, light.bow) == ("strong", "light")
    assert [one.left for one in strong.kite.bench] == [press(3.0)]
    assert (strong.kite.bow, light.kite.bow) == (SECOND, FIRST)
    assert (len(strong.kite.flights), len(light.kite.flights)) == (1, 2)
    assert newest((strong, light)) == light


def test_a_tips_test_stands_with_its_state_and_makes_no_round_of_its_own() -> None:
    """It has all of the kite in it: the skin, the stringing and the bow of its day."""
    tips = Tips((0.14,), 0.03)
    kite = Kite(
        "k",
        "K",
        bow=FIRST,
        bench=(Round("2026-05-01", press(2.0)), Round("2026-05-03", tips=tips)),
        changes=(Change("2027-01-01", span_m=0.59),),
    )

    old, new = states_of(kite)

    assert [one.tips for one in old.kite.bench] == [tips]
    assert [one.tips for one in new.kite.bench] == [None]
    assert old.filed["bench.0.tips"] == "bench.1.tips"
