"""The book's own accent, made readable on light and dark paper."""

from __future__ import annotations

import colorsys

from bowbook.charts.contrast import contrast, luminance

READABLE = 4.6
"""Contrast asked of the accent as text: WCAG 2.2 wants 4.5 to 1 (1.4.3); a little more covers rounding."""


def readable(colour: str, paper: str) -> str:
    """The nearest lightness of a colour that reads as text on this paper."""
    red, green, blue = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    hue, lightness, saturation = colorsys.rgb_to_hls(red, green, blue)
    step = -0.01 if luminance(paper) > 0.5 else 0.01
    found = colour.lower()
    while contrast(found, paper) < READABLE and 0 <= lightness <= 1:
        lightness += step
        channels = colorsys.hls_to_rgb(hue, min(max(lightness, 0), 1), saturation)
        found = "#" + "".join(f"{round(c * 255):02x}" for c in channels)
    return found


def accent_css(accent: str | None) -> str:
    """A style sheet that sets the book's accent over the theme's own; empty where the book sets none."""
    if accent is None:
        return ""
    light, dark = readable(accent, "#e3eef3"), readable(accent, "#16263a")
    return (
        f":root{{--accent:{light}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{--accent:{dark}}}}}\n"
        f"@media print{{:root{{--accent:{light}}}}}\n"
    )
