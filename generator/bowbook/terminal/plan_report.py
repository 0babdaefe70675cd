"""A plan in words for the bench, and as plain data for a script."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import to_builtins

from bowbook.book.units import show, show_range
from bowbook.findings.strips import matching_strips
from bowbook.terminal.output import say, say_table, tell

if TYPE_CHECKING:
    from bowbook.book.records import Book, Units
    from bowbook.findings.flyers import Estimate
    from bowbook.planner.next_bow import BowPlan
    from bowbook.planner.rod_choice import RodChoice

_HOW = {
    "covered": "measured with the skin on",
    "same skin": "judged by other kites in the same skin",
    "lower bound": "at the least, reckoned from the cloth alone",
}


def say_bow_plan(plan: BowPlan, units: Units, like: bool) -> None:
    """Print what the scale must say, then every rod against it; `like` is for the plan that repeats a kite."""
    wind = show_range(plan.wind.low, plan.wind.high, "wind", units) if plan.wind else "any wind"
    name, whose = plan.kite.name, f", as {plan.flyer} likes it" if plan.flyer else ""
    say(f"Another {name}" if like else f"{name} for {wind}{whose}", bold=True)
    for sentence in plan.heed:
        tell(sentence, "! ", fg="yellow")
    if not like:
        tell(f"Its tips should flex at {_figure(plan.flex_m_s, 'wind', units)}.", "  ")
    tell(_stiffness(plan, units), "  ")
    tell(f"Each half of the bow should read {_figure(plan.press_N, 'force', units)} on the scale.", "  ", bold=True)
    tell(_band(plan, units, like), "  ")
    say()
    if plan.rods:
        say_table(
            ("rod", "half reads as is", "what to do", "strain"),
            [(r.rod, _reads(r, units), _work(r, units, like), _strung(r)) for r in plan.rods],
        )
    else:
        tell("No rods in stock: write what you have in content/stock/rods.yaml, and each is judged here.")
    notes = [f"{r.rod}: {r.note}" for r in plan.rods if r.note]
    if any(r.take_m for r in plan.rods):
        notes.append("Take it off all along: off the diameter of round rods and tubes, off the thickness of flat ones.")
    if any(not r.sure for r in plan.rods if r.kind != "not known"):
        notes.append("A ? means that the rod's stiffness is known too loosely to be sure. Press half of it and see.")
    if notes or plan.assumed:
        say()
    for note in (*notes, *plan.assumed):
        tell(note, "- ")


def say_strips(plan: BowPlan, book: Book) -> None:
    """Print the loose strips in stock that read what each half is to read; nothing where none does."""
    units, half_bow = book.settings.units, plan.kite.bow.length_m
    for match in matching_strips(book.strips.values(), plan.press_N.value, half_bow):
        off = (
            "just that"
            if abs(match.off) < 0.005
            else f"{abs(match.off):.0%} {'above' if match.off > 0 else 'below'} it"
        )
        tell(f"The loose strip {match.key} reads {show(match.press_N, 'force', units)}: {off}.", "  ", bold=True)


def plan_as_json(plan: BowPlan) -> dict[str, object]:
    """The plan as plain data: SI, every measured figure {"value", "u"}, what is not known null."""
    data = to_builtins(plan, enc_hook=float)
    data["kite"] = plan.kite.key
    return {key: _plain(value) for key, value in data.items()}


def _plain(value: object) -> object:
    """Tuples as lists, all the way down, so that the data compares equal to itself read back."""
    if isinstance(value, dict):
        return {key: _plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    return value


def _figure(figure: Estimate, kind: str, units: Units) -> str:
    return show(figure.value, kind, units, None if figure.u is None else 2 * figure.u)


def _stiffness(plan: BowPlan, units: Units) -> str:
    total = _figure(plan.total_EI_Nm2, "rigidity", units)
    if not plan.skin_EI_Nm2:
        return f"Bow and skin together {total}."
    part = show(plan.skin_EI_Nm2, "rigidity", units)
    how = _HOW.get(plan.skin_how or "")
    return f"Bow and skin together {total}, of which {plan.skin} gives {part}{f', {how}' if how else ''}."


def _band(plan: BowPlan, units: Units, like: bool) -> str:
    low, high = (show(edge, "force", units) for edge in (plan.band_N.low, plan.band_N.high))
    if like:
        return f"From {low} to {high} it is as like as this book's tolerance tells."
    return f"Softer than {low} it belongs to a weaker wind than that, stiffer than {high} to a stronger one."


def _reads(rod: RodChoice, units: Units) -> str:
    if rod.press_N is None or rod.press_range_N is None or rod.modulus is None:
        return "not known"
    basis = {"measured": "measured", "stock": "by your stock", "handbook": "handbook"}[rod.modulus.basis]
    if rod.modulus.low == rod.modulus.high:
        return f"{show(rod.press_N, 'force', units)} ({basis})"
    return f"{show_range(rod.press_range_N.low, rod.press_range_N.high, 'force', units)} ({basis})"


def _work(rod: RodChoice, units: Units, like: bool) -> str:
    if rod.kind == "shaved down" and rod.take_m is not None:
        work = f"take {show(round(rod.take_m, 5), 'thin', units)} off"
    elif rod.kind == "as it comes" and not like and rod.centre_m_s is not None:
        work = f"as it comes, for {show_range(rod.centre_m_s, rod.centre_m_s, 'wind', units)}"
    else:
        work = {"not known": "—"}.get(rod.kind, rod.kind)
    return work if rod.sure or rod.kind == "not known" else f"{work}?"


def _strung(rod: RodChoice) -> str:
    if rod.strain is None or rod.strain_limit is None:
        return "—"
    share = f"{rod.strain / rod.strain_limit:.0%}".replace("%", " % of limit")
    return share if rod.safe else f"{share}, NOT SAFE"
