"""A theme's chart style: sizes, line weights, inks; and the style sheet that gives the classes their inks."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from msgspec import Struct

FILE = "chart-style.toml"
PARTS = ("sizes", "inks", "fonts", "lines", "card")


class Style(Struct, frozen=True):
    """How charts are drawn: px of the drawing, CSS custom properties of inks and fonts, colours of the card."""

    sizes: Mapping[str, float]
    inks: Mapping[str, str]
    fonts: Mapping[str, str]
    lines: Mapping[str, float]
    card: Mapping[str, str]


def read_style(file: Path) -> Style:
    """The style a theme's file asks for, over the notebook's. Raises ValueError naming a key no chart knows."""
    notebook = default_style()
    try:
        own = tomllib.loads(file.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"{file}: {error}") from None
    parts: dict[str, dict[str, object]] = {part: dict(getattr(notebook, part)) for part in PARTS}
    for part, values in own.items():
        if part not in parts or not isinstance(values, dict):
            raise ValueError(f"{file}: [{part}] is no part of a chart style; the parts are {', '.join(PARTS)}")
        for key, value in values.items():
            known = parts[part].get(key)
            if known is None or isinstance(known, str) != isinstance(value, str):
                raise ValueError(f"{file}: [{part}] {key} = {value!r} is not understood")
            parts[part][key] = value
    return Style(**parts)  # type: ignore[arg-type]  # the kinds were checked against the notebook's, key by key


@cache
def default_style() -> Style:
    """The notebook's style, from the themes beside the package (installed) or above it (a working copy)."""
    here = Path(__file__).resolve()
    places = (here.parents[1] / "themes", here.parents[3] / "themes")
    file = next((p / "notebook" / FILE for p in places if (p / "notebook" / FILE).is_file()), None)
    if file is None:
        raise FileNotFoundError(f"the theme notebook/{FILE} is missing from this installation")
    return Style(**tomllib.loads(file.read_text(encoding="utf-8")))


def stylesheet(style: Style) -> str:
    """The CSS that charts' classes need; a theme ships it as charts.css.

    Classes: `ks-INK` a stroke, `kf-INK` a fill, `kw-LINE` a weight, `kd-*` dashes, `kp-*` see-through fills,
    `kt-*` texts. Selectors weigh nothing where a theme may want to differ.
    """
    inks = "\n".join(
        f".ks-{name} {{ stroke: var({prop}); }}\n.kf-{name} {{ fill: var({prop}); }}"
        for name, prop in style.inks.items()
    )
    weights = "\n".join(f".kw-{name} {{ stroke-width: {width:g}px; }}" for name, width in style.lines.items())
    return _SHEET.format(
        inks=inks,
        weights=weights,
        label=style.fonts["label"],
        serif=style.fonts["text"],
        text=f"{style.sizes['text']:g}px",
        small=f"{style.sizes['small']:g}px",
        halo=style.inks["paper"],
        accent=style.inks["accent"],
        ink=style.inks["ink"],
        ok=style.inks["ok"],
        soft=style.inks["soft"],
        wide=f"{style.sizes['wide']:g}px",
        narrow=f"{style.sizes['narrow']:g}px",
        broad=f"{style.sizes['broad']:g}px",
        # Reduced further than this, a drawing's words would be too small to read.
        to_broad=f"{0.9 * style.sizes['broad']:g}px",
        to_narrow=f"{0.9 * style.sizes['wide']:g}px",
    )


_SHEET = """/* Charts: inks, weights, texts. From chart-style.toml, by: python -m bowbook.charts.style THEME-FOLDER */
figure.chart {{ container-type: inline-size; }}
:where(svg.k) {{ display: block; width: 100%; height: auto; max-width: calc({wide} * 1.15); overflow: visible; }}
:where(svg.k-broad) {{ display: none; max-width: calc({broad} * 1.2); }}
:where(svg.k-narrow) {{ display: none; max-width: calc({narrow} * 1.3); }}
@container (min-width: {to_broad}) {{
  :where(svg.k-broad) {{ display: block; }}
  :where(svg.k-broad + svg.k-wide) {{ display: none; }}
}}
@container (max-width: {to_narrow}) {{
  :where(svg.k-wide) {{ display: none; }}
  :where(svg.k-narrow) {{ display: block; }}
}}
:where(svg.k path, svg.k circle) {{ fill: none; stroke: none; stroke-linejoin: round; }}
:where(svg.k text) {{
  font: {text} var({label}, sans-serif); fill: var({ink}); font-variant-numeric: tabular-nums lining-nums;
}}
{inks}
{weights}
.kd-dash {{ stroke-dasharray: 5 4; }}
.kd-dot {{ stroke-dasharray: 1.2 3.4; stroke-linecap: round; }}
.kd-long {{ stroke-dasharray: 11 4; }}
.kp-faint {{ fill-opacity: 0.17; stroke-opacity: 0.34; }}
.kp-half {{ fill-opacity: 0.62; stroke-opacity: 0.62; }}
.kw-dot {{ stroke-width: 4.4px; }}
.kw-broad {{ stroke-width: 9px; }}
.k-round {{ stroke-linecap: round; }}
.kt-tick, .kt-small {{ font-size: {small}; }}
.kt-tick, .kt-axis, .kt-soft {{ fill: var({soft}); }}
.kt-name {{ font-family: var({serif}, serif); font-style: italic; unicode-bidi: plaintext; }}
.kt-bold {{ font-weight: 600; }}
.kt-title {{ font-family: var({serif}, serif); font-size: calc({text} * 1.4); }}
.kt-ok {{ fill: var({ok}); }}
.kt-accent {{ fill: var({accent}); }}
.kt-halo {{ paint-order: stroke; stroke: var({halo}); stroke-width: 3.5px; stroke-linejoin: round; }}
.k-spar, .k-edge, .k-unknown {{ fill: none; vector-effect: non-scaling-stroke; }}
.k-spar {{ stroke: var(--pen, #20282e); stroke-width: 1.2px; stroke-opacity: 0.75; }}
.k-spar.k-pale {{ stroke: var(--hollow-pen, #eef1ec); stroke-opacity: 0.9; }}
.k-spar.k-mid {{ stroke: var(--hollow-pen, #8b9196); stroke-opacity: 1; }}
.k-edge {{ stroke: var(--hem, #20282e); stroke-width: 0.8px; stroke-opacity: 0.5; }}
.k-hollow {{ fill-opacity: 0.16; stroke-dasharray: 4 3; }}
.k-unknown {{ stroke: var({soft}); stroke-width: 1.2px; stroke-dasharray: 5 4; }}
svg.k a {{ text-decoration: none; cursor: pointer; }}
.k-hollow {{ --pen: var({ink}); --hem: var({ink}); --hollow-pen: var({ink}); }}
svg.k a:hover .kt-name, svg.k a:focus .kt-name {{ fill: var({accent}); text-decoration: underline; }}
svg.k a:hover :is(path, circle), svg.k a:focus :is(path, circle) {{ stroke: var({accent}); }}
@media (prefers-color-scheme: dark) {{
  .k-spar, .k-edge {{ stroke-opacity: 0.85; }}
}}
@media print {{
  :where(svg.k-wide) {{ display: block; }}
  :where(svg.k-broad, svg.k-narrow) {{ display: none; }}
}}
"""


def main(theme: str) -> None:
    """Write the theme's charts.css from its chart style."""
    folder = Path(theme)
    (folder / "charts.css").write_text(stylesheet(read_style(folder / FILE)), encoding="utf-8")


if __name__ == "__main__":
    import sys

    main(sys.argv[1])
