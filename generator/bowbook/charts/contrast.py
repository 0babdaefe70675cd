"""How far two colours stand out from each other, as WCAG 2.2 measures it."""

from __future__ import annotations


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
