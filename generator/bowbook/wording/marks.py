"""What is said of how a flyer marked the kites: the finding as a title, and what the marks mean."""

from __future__ import annotations

from bowbook.findings.ratings import Marks

MEANT = {
    "pull": "1 light to 5 hard",
    "speed": "1 slow to 5 fast",
    "turn": "1 lazy to 5 quick",
    "control": "1 wild to 5 obeys",
    "track": "1 wanders to 5 holds",
}
GOES_WITH = {"flex": "stiffness", "loading": "loading", "share": "the skin’s part"}


def finding(marks: Marks, along: str, per_si: float) -> str:
    """What the line says: "Pull grows with stiffness", "Control is highest near 6", "Track: no pattern seen".

    `per_si` turns the figure that the marks stand against into the unit shown.
    """
    name, line = marks.mark.capitalize(), marks.line
    if line is None:
        return f"{name}: no pattern seen"
    figures = [figure for _, figure, _ in marks.points]
    turn = line.turns_at
    if turn is not None and min(figures) < turn < max(figures):
        return f"{name} is {'highest' if line.coefficients[2] < 0 else 'lowest'} near {turn * per_si:.2g}"
    return f"{name} {'grows' if line.coefficients[1] > 0 else 'falls'} with {GOES_WITH[along]}"
