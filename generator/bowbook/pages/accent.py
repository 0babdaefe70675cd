"""The book's own accent, made readable on light and dark paper."""

from __future__ import annotations

import colorsys

LIGHT_PAPER = "#fdfdfb"
DARK_PAPER = "#0e1624"

READABLE = 4.6
"""Contrast asked of the accent as text: WCAG 2.2 wants 4.5 to 1 (1.4.3); a little more covers rounding."""


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb", 0 to 1.

    Source: WCAG 2.2, definition of relative luminance.

    >>> round(luminance("#ffffff"), 3)
    1.000
    """
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21.

    Source: WCAG 2.2, definition of contrast ratio.

    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0
    """
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


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
