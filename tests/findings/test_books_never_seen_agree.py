"""Books of chance against a calculation that shares no code with the program: a bow's figures and its wind to 2e-5.

Tapers, holds of every kind, short lengths, a noted rise, sags, droops, tips, lower bounds, and hands learnt as a
factor (even seeds) and as a spring (odd ones).
"""

import json
from pathlib import Path
from statistics import mean

import pytest
from click.testing import CliRunner

from findings.books_of_chance import BOOK, RODS, SIDES, SKINS, Figures, bend, book_of_chance, kite_text
from helpers import small_book

AGREE = 2e-5
pytestmark = pytest.mark.long


@pytest.fixture(scope="module", params=[2, 3])
def worked(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    """A book of chance, what the other calculation makes of it, and what the command prints."""
    from bowbook.cli import main

    book = book_of_chance(request.param)
    texts = {name: kite_text(name, k) for name, k in book.items()}
    root: Path = small_book(tmp_path_factory.mktemp("chance"), texts, BOOK, RODS, SKINS)
    result = CliRunner().invoke(main, ["check", "--json", "--book", str(root)])
    assert result.exit_code == 0, result.output
    return Figures(book), json.loads(result.stdout)


def test_the_hand_agrees(worked) -> None:
    """Learnt from three bows pressed whole, one of them tapered."""
    figures, data = worked
    kind, size = figures.hand
    assert data["hold"]["kind"] == kind
    assert data["hold"]["factor" if kind == "K" else "spring_Nm_rad"] == pytest.approx(size, rel=AGREE)
    assert data["hold"]["bows"] == 3


@pytest.mark.parametrize("n", range(9))
def test_bow_skin_and_wind_agree(worked, n: int) -> None:
    """Stiffness of both halves, their difference, the strung shape, the skin, the flex wind."""
    figures, data = worked
    name = f"kite-{n}"
    k, found = figures.book[name], data["kites"][name]
    EI = {side: figures.rigidity(k, side)[0] for side in SIDES}
    for side in SIDES:
        assert found["bow"][side]["EI_Nm2"]["value"] == pytest.approx(EI[side], rel=AGREE)
    d = (EI["left"] - EI["right"]) / mean(EI.values())
    assert found["balance"]["difference"]["value"] == pytest.approx(d, rel=AGREE, abs=AGREE)

    thrust, rise, left, right = bend(figures.bow(k), k.length / 1000, k.span / 1000)
    shape = found["shape"]
    assert shape["thrust_N"] == pytest.approx(thrust, rel=AGREE)
    assert shape["rise_m"] == pytest.approx(rise, rel=AGREE)
    assert shape["tip_slope_left_rad"] == pytest.approx(left, rel=AGREE)
    assert shape["tip_slope_right_rad"] == pytest.approx(right, rel=AGREE)

    skin, how = figures.skin(k)
    assert found["skin"]["how"] == how
    assert found["skin"]["EI_Nm2"]["value"] == pytest.approx(skin, rel=AGREE)
    assert found["total"]["EI_Nm2"]["value"] == pytest.approx(mean(EI.values()) + skin, rel=AGREE)
    by_tips = found["wind"]["flex_how"] == "tips"
    assert not by_tips or k.tips
    wind = figures.flex_by_tips(k) if by_tips else figures.flex(k)
    assert found["wind"]["flex_m_s"]["value"] == pytest.approx(wind, rel=AGREE)
    if k.tips:
        stiffness = mean(k.tips[0]) * 1e-3 * 9.80665 / (2 * k.tips[1] / 1000)
        assert found["tips"]["stiffness_N_m"]["value"] == pytest.approx(stiffness, rel=AGREE)
        assert found["tips"]["flex_m_s"]["value"] == pytest.approx(figures.flex_by_tips(k), rel=AGREE)
