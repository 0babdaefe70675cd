"""The small drawings of a kite's page: the answer to "is it even?", and the strip of its years."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from bowbook.book.records import Flight, Kite, Units, Wind
from bowbook.charts.answers import even_chart
from bowbook.charts.board import BarsMark, Board, TextMark
from bowbook.charts.sheet import sheet_of
from bowbook.charts.style import default_style
from bowbook.charts.years import StateSpan, years_chart
from charts import made
from charts.looking import SVG, drawings

BOOK = made.book(9)


def test_halves_that_read_alike_are_no_tiny_number_apart() -> None:
    """The last bit of a calculation is no difference: 1.5e-16 is 0 %."""
    kite = BOOK.kites["leaf-0"]
    rounds = tuple(
        replace(one, difference=replace(one.difference, value=1.5e-16)) if one.difference else one
        for one in kite.balance.rounds
    )
    chart = even_chart(replace(kite, balance=replace(kite.balance, rounds=rounds)), BOOK)
    assert chart is not None
    said = [text.text or "" for text in drawings(chart)[0].iter(f"{SVG}text")]
    assert any(text.startswith("0\u00a0%") for text in said)


def test_no_flyers_name_stands_on_a_bar_of_the_same_day() -> None:
    """Two flew on one day, in winds that overlap: both names stand over or under both bars, and apart."""
    flights = tuple(
        Flight(on=on, flyer=flyer, best=Wind(low_m_s=low, high_m_s=high))
        for on, flyer, low, high in (
            ("2026-03-20", "Ansa", 1.7, 2.8),
            ("2026-09-12", "Oda", 1.7, 3.4),
            ("2026-09-12", "Ansa", 1.4, 2.4),
        )
    )
    stretches = (StateSpan(date(2026, 3, 9), "The bow, bare", "bare"),)
    chart = years_chart(Kite("knot", "Knot", flights=flights), stretches, Units(), "Ansa")
    assert chart is not None
    for shape in chart.shapes:
        board, sheet = Board(), sheet_of(shape, default_style())
        chart.draw(board, sheet)
        marks = board.scene(sheet.width, 200).marks
        names = [mark for mark in marks if isinstance(mark, TextMark) and mark.text in ("Oda", "Ansa")]
        assert len(names) == 2
        assert abs(names[0].y - names[1].y) >= sheet.text
        bars = [ends for mark in marks if isinstance(mark, BarsMark) and "kw-dot" in mark.inks for ends in mark.ends]
        for name in names:
            for ends in bars:
                x, high, low = ends[0][0], *sorted(y for _, y in ends)
                assert abs(x - name.x) > 1 or name.y <= high or name.y - sheet.text >= low
