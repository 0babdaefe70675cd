"""The site's data: every input and figure as JSON, the flat table as CSV, the feed and the sitemap."""

from __future__ import annotations

import io
import json
import math
import re
from collections.abc import Iterable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book
from bowbook.findings.bench_results import Balance, Measured
from bowbook.findings.pooled import with_scatter
from bowbook.findings.readings import Precision
from bowbook.findings.results import BatchFindings, BookFindings, Findings, FlyerFindings, Range, Spread, TargetFindings
from bowbook.format.json_schema import SchemaName
from bowbook.pages.data_inputs import kite_inputs, stock_inputs

FORMAT = 2
_SLOPES = ("tip_slope_left_rad", "tip_slope_right_rad")


def json_text(data: object) -> str:
    """Data as JSON text: keys in the order given, numbers as short as they can be and still be the same number.

    Raises ValueError for a number that is not finite.
    """
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def as_json(findings: BookFindings) -> dict[str, object]:
    """Every kite's inputs and computed figures in SI, as `data/kites.json` holds them.

    A figure with an uncertainty is {"value", "repeat", "u"}: two standard uncertainties, of what another reading this
    week would show and of how near the true value it is, None where there is none; "least" marks a lower bound. What
    cannot be computed is None, with a sentence under "wanting".
    """
    book = findings.book
    return {
        "format": FORMAT,
        "title": book.settings.title,
        "demonstration": book.settings.demonstration,
        "kites": {key: _kite(found) for key, found in findings.kites.items()},
        "rods": {key: stock_inputs(rod) for key, rod in book.rods.items()},
        "skins": {key: stock_inputs(skin) for key, skin in book.skins.items()},
        "strips": {key: stock_inputs(strip) for key, strip in book.strips.items()},
        "flyers": {name: _flyer(flyer) for name, flyer in findings.flyers.items()},
        "bands": [{"key": b.key, "name": b.name, **_numbers(b, "low_m_s", "high_m_s")} for b in findings.bands],
        "repeatability": {
            "relative": findings.scatter.relative,
            "fixed_N": findings.scatter.fixed,
            "freedom": findings.scatter.degrees,
            "session": findings.session.relative,
        },
        "hold": {
            "kind": findings.hand.kind,
            **_numbers(findings.hand, "factor", "spring_Nm_rad"),
            "u": findings.hand.u,
            "bows": findings.hand.bows,
        },
        "batches": {
            name: {"kites": list(one.kites), "press_N": _spread(one.press_N), "flex_m_s": _spread(one.flex_m_s)}
            for name, one in findings.batches.items()
        },
        "faults": [problem.as_json() for problem in findings.problems],
    }


def kite_as_json(found: Findings) -> str:
    """One kite's part of the text of `as_json`, with its key before it."""
    text = json_text(_kite(found)).rstrip("\n").replace("\n", "\n  ")
    return f"  {json.dumps(found.kite.key, ensure_ascii=False)}: {text}"


def book_as_json(findings: BookFindings, kites: tuple[str, ...]) -> str:
    """The text of `as_json`, put together from each kite's part; `findings` need have no kites of its own."""
    text = json_text(as_json(replace(findings, kites={})))
    before, nothing, after = text.partition('\n "kites": {}')  # at this depth there is one such line
    return before + nothing[:-1] + "\n" + ",\n".join(kites) + "\n }" + after if kites else text


def _kite(f: Findings) -> dict[str, object]:
    kite = f.kite
    return {
        "name": kite.name,
        "made": kite.made,
        "stage": kite.stage,
        "summary": kite.summary,
        "inputs": kite_inputs(f.filed or kite),
        "sail": _numbers(f.sail, "area_m2", "width_m", "height_m", "mean_chord_m", "loading_kg_m2"),
        "bow": _bow(f),
        "balance": _balance(f.balance),
        "shave": _shave(f),
        "shape": _numbers(f.shape, "thrust_N", "rise_m", *_SLOPES, "deepest_offset_m", "strain", "strain_limit"),
        "skin": {"EI_Nm2": _measured(f.skin.EI_Nm2), "share": _number(f.skin.share), "how": f.skin.how},
        "total": {"EI_Nm2": _measured(f.total)},
        "wind": _wind(f),
        "tips": {"stiffness_N_m": _measured(f.tips.stiffness_N_m), "flex_m_s": _measured(f.tips.flex_m_s)},
        "tow": None if f.tow is None else _numbers(f.tow, "out_m", "down_m"),
        "states": [
            {
                "since": state.since,
                "what": list(state.what),
                "bow": state.bow,
                "skin": state.skin,
                "flex_m_s": _measured(state.flex_m_s),
                "flown": {name: _range(r) for name, r in state.flown.items()},
            }
            for state in f.states
        ],
        "drift": _drift(f),
        "target": None if f.target is None else _target(f.target),
        "assumed": list(f.assumed),
        "warnings": list(f.warnings),
        "wanting": dict(f.wanting),
    }


def _target(target: TargetFindings) -> dict[str, object]:
    sides = (("left", target.left), ("right", target.right), ("whole", target.whole))
    parts: dict[str, object] = {
        name: None if part is None else _numbers(part, "wanted_N", "read_N", "off") for name, part in sides
    }
    return parts | {"like": target.like}


def _spread(spread: Spread | None) -> dict[str, object] | None:
    return None if spread is None else _numbers(spread, "mean", "relative") | {"of": spread.of}


def _bow(f: Findings) -> dict[str, object]:
    sides = (("left", f.bow.left), ("right", f.bow.right), ("whole", f.bow.whole))
    figures: dict[str, object] = {
        name: {"EI_Nm2": _measured(side.EI_Nm2), "press_N": _measured(side.press_N)} for name, side in sides
    }
    return figures | {"hold_factor": _number(f.bow.hold_factor), "modulus_Pa": _measured(f.bow.modulus_Pa)}


def _balance(b: Balance) -> dict[str, object]:
    return {
        "difference": _measured(b.difference),
        **_numbers(b, "expanded", "bound", "tolerance"),
        "verdict": b.verdict,
        "more_readings": b.more_readings,
        "settles_by_12": _number(b.settles_by_12),
        "rounds": [{"on": r.on, "difference": _measured(r.difference), "verdict": r.verdict} for r in b.rounds],
    }


def _shave(f: Findings) -> dict[str, object]:
    options = f.shave.options
    return {
        "side": f.shave.side,
        "options": None
        if options is None
        else [
            {
                "zone": o.zone,
                "thickness_m": _number(o.thickness_m),
                "feasible": o.feasible,
                **_numbers(o, "press_after_N", "asymmetry", "slopes_apart_rad", "width_m", "first_step_m"),
                "strokes": o.strokes,
                "reason": o.reason,
            }
            for o in options
        ],
    }


def _drift(f: Findings) -> object:
    d = f.drift
    return d and {"since": d.since, "until": d.until, "change": _measured(d.change), "skin_on": d.skin_on}


def _wind(f: Findings) -> dict[str, object]:
    w = f.wind
    return {
        "flex_m_s": _measured(w.flex_m_s),
        "flex_how": w.flex_how,
        "computed_m_s": _measured(w.computed_m_s),
        "least_m_s": _number(w.least_m_s),
        "flown": {name: _range(r) for name, r in w.flown.items()},
        "predicted": {
            name: {
                **_numbers(p, "low", "high"),
                "kites": p.kites,
                "low_interval": _range(p.low_interval),
                "high_interval": _range(p.high_interval),
            }
            for name, p in w.predicted.items()
        },
        "bands": list(w.bands),
        "basis": w.basis,
    }


def _flyer(f: FlyerFindings) -> dict[str, object]:
    return {
        "kites": f.kites,
        **_numbers(f, "ratio_low", "ratio_high", "spread", "left_out_error"),
        "flights": f.flights,
        "slope": _measured(f.slope),
        "slope_interval": _range(f.slope_interval),
        "wanting": f.wanting,
    }


def _numbers(record: Struct, *names: str) -> dict[str, object]:
    """These fields of a record, each a number or None."""
    return {name: _number(getattr(record, name)) for name in names}


def _number(value: float | None) -> float | None:
    """A number JSON can hold: what is not finite is not known."""
    return None if value is None or not math.isfinite(value) else float(value)


def _measured(figure: Measured | None) -> dict[str, float | None] | None:
    if figure is None or not math.isfinite(figure.value):
        return None
    plain = {"value": float(figure.value), "repeat": _number(figure.repeat), "u": _number(figure.u)}
    return plain | {"least": True} if figure.least else plain


def _range(r: Range | None) -> dict[str, object] | None:
    return None if r is None else _numbers(r, "low", "high")


_COLUMNS = (
    "key", "name", "made", "stage", "summary", "skin", "rod", "mass_kg", "bow_length_m", "bow_span_m",
    "sail_area_m2", "sail_width_m", "sail_height_m", "sail_mean_chord_m", "sail_loading_kg_m2", "left_EI_Nm2",
    "left_EI_u_Nm2", "right_EI_Nm2", "right_EI_u_Nm2", "whole_EI_Nm2", "whole_EI_u_Nm2", "left_press_N",
    "left_press_u_N", "right_press_N", "right_press_u_N", "whole_press_N", "whole_press_u_N", "hold_factor",
    "difference", "difference_repeat", "bound", "verdict", "shave_side", "thrust_N", "rise_m", "tip_slope_left_rad",
    "tip_slope_right_rad", "deepest_offset_m", "strain", "strain_limit", "skin_EI_Nm2", "skin_EI_u_Nm2",
    "skin_share", "skin_how", "total_EI_Nm2", "total_EI_u_Nm2", "flex_m_s", "flex_repeat_m_s", "flex_u_m_s",
    "flex_how", "tips_N_m", "tips_u_N_m", "least_m_s", "wind_low_m_s", "wind_high_m_s", "wind_flyer", "wind_basis",
    "wind_bands",
)  # fmt: skip


def as_csv(rows: Iterable[str]) -> str:
    """The flat table of every kite's row, in SI; lines end as RFC 4180 has them."""
    return _csv_row(_COLUMNS) + "".join(rows)


def kite_as_csv(found: Findings) -> str:
    """One kite's row of the flat table."""
    return _csv_row([_cell(value) for value in _row(found.kite.key, found)])


def _csv_row(cells: Iterable[str]) -> str:
    import csv

    out = io.StringIO(newline="")
    csv.writer(out).writerow(cells)
    return out.getvalue()


def _row(key: str, f: Findings) -> list[object]:
    k, s, b, shape, w = f.kite, f.sail, f.bow, f.shape, f.wind
    shown = (w.range.low, w.range.high) if w.range else (None, None)
    return [
        *(key, k.name, k.made, k.stage, k.summary, k.sail.skin, k.bow.rod, k.mass_kg, k.bow.length_m, k.bow.span_m),
        *(s.area_m2, s.width_m, s.height_m, s.mean_chord_m, s.loading_kg_m2),
        *(part for side in (b.left, b.right, b.whole) for part in _pair(side.EI_Nm2)),
        *(part for side in (b.left, b.right, b.whole) for part in _pair(side.press_N)),
        b.hold_factor,
        *(_value(f.balance.difference), f.balance.difference.repeat if f.balance.difference else None),
        *(f.balance.bound, f.balance.verdict, f.shave.side),
        *(shape.thrust_N, shape.rise_m, shape.tip_slope_left_rad, shape.tip_slope_right_rad),
        *(shape.deepest_offset_m, shape.strain, shape.strain_limit),
        *(*_pair(f.skin.EI_Nm2), f.skin.share, f.skin.how, *_pair(f.total)),
        *(
            _value(w.flex_m_s),
            w.flex_m_s.repeat if w.flex_m_s else None,
            w.flex_m_s.u if w.flex_m_s else None,
            w.flex_how,
        ),
        *_pair(f.tips.stiffness_N_m),
        *(w.least_m_s, *shown, w.flyer, w.basis, ", ".join(w.bands)),
    ]


def _value(figure: Measured | None) -> float | None:
    return None if figure is None else figure.value


def _pair(figure: Measured | None) -> tuple[float | None, float | None]:
    return (None, None) if figure is None else (figure.value, figure.u)


# What a spreadsheet begins a formula with, at the beginning of a cell; the full-width forms are read as the plain ones
# by some. Whatever is no letter and no figure may part two cells where the table is opened with other settings.
_FORMULA = r"(?:^|(?<=[^\w.)\]%]))(?=[=+@\uff1d\uff0b\uff20]|[-\uff0d](?:\S|$))"


def _cell(value: object) -> str:
    """A cell a spreadsheet can only show: what it could take for a formula gets an apostrophe before it."""
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return ""
    return repr(float(value)) if isinstance(value, float) else re.sub(_FORMULA, "'", re.sub(r"\s+", " ", str(value)))


def schema_text(kind: SchemaName) -> str:
    """The published JSON Schema of one kind of file."""
    from bowbook.format.json_schema import json_schema

    return json_text(json_schema(kind))


def book_figures(
    book: Book,
    flyers: Mapping[str, FlyerFindings],
    scatter: Precision,
    batches: dict[str, BatchFindings],
) -> BookFindings:
    """The figures of the whole book, as its data file begins and ends with them."""
    found = BookFindings(book, flyers=flyers, bands=book.settings.bands, batches=batches)
    return with_scatter(found, scatter)
