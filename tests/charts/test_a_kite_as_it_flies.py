"""The large drawing of a kite in the air is the flat sail, projected."""

from __future__ import annotations

import math
import re

import pytest

from bowbook.book.records import Kite
from bowbook.book.sail import Sail
from bowbook.charts.in_flight import ROLL_DEG, TURN_RAD, in_flight_svg
from bowbook.findings.results import Findings

KITE = Findings(
    Kite("knot", "Knot", sail=Sail("washi", ((0.0, 0.0), (0.3, 0.19), (0.0, 0.52)), ("#112233", "#445566")))
)


@pytest.mark.parametrize("fold", [0.0, 0.2, 0.5])
def test_each_wing_is_as_wide_as_a_turned_panel_is_seen(fold: float) -> None:
    """Seen along z, a point at the angle a about the spine stands at x cos a: rotation matrices, any textbook."""
    drawn = in_flight_svg(KITE, fold)
    left, right = (float(m) for m in re.findall(r"matrix\(([-.\d]+) 0 0 1 0 0\)", drawn))
    for seen, side in ((left, -1), (right, 1)):
        x, z = side * math.cos(fold), -math.sin(fold)  # the tip of a wing of length 1, folded back
        turned = x * math.cos(TURN_RAD) + z * math.sin(TURN_RAD)  # about the spine
        assert seen == pytest.approx(abs(turned), abs=1e-4)


def test_the_picture_holds_the_whole_kite() -> None:
    """Every corner of the projected and rolled outline lies inside the view box."""
    drawn = in_flight_svg(KITE, 0.2)
    x, y, width, height = (float(v) for v in re.search(r'viewBox="([^"]+)"', drawn)[1].split())
    scales = [float(m) for m in re.findall(r"matrix\(([-.\d]+)", drawn)]
    roll = math.radians(ROLL_DEG)
    for px, py in ((0.0, 0.0), (300 * scales[1], 190.0), (0.0, 520.0), (-300 * scales[0], 190.0)):
        tx, ty = px * math.cos(roll) - py * math.sin(roll), px * math.sin(roll) + py * math.cos(roll)
        assert x <= tx <= x + width
        assert y <= ty <= y + height


def test_a_kite_without_an_outline_is_drawn_as_not_known() -> None:
    """The plain diamond, with no colours of its own."""
    drawn = in_flight_svg(Findings(Kite("knot", "Knot")), None)
    assert 'class="k-unknown"' in drawn
