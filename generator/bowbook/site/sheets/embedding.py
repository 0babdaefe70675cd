"""The sheet's base font inside a PDF: cut down to the letters needed, once a run, and embedded whole in every sheet.

matplotlib cuts a font anew for every file, which takes longer than all else on a sheet together.
"""

from __future__ import annotations

import io
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from fontTools import subset  # type: ignore[import-untyped]
from matplotlib.backends import backend_pdf

from bowbook.site.sheets import fonts

_pdf: Any = backend_pdf  # it has no types

# Nearly every sheet is set with these alone; other Latin letters and signs take a wider cut.
_COMMON = frozenset(map(chr, range(0x20, 0x7F))) | frozenset("\u00a0°±²³·µ¼½¾×ø–—‘’“”•…≤≥≈")
# A viewer needs no more of a font whose glyphs are called by number; hints are of no use on paper.
_NOT_EMBEDDED = ["cmap", "FFTM", "GDEF", "GPOS", "GSUB", "kern", "name", "OS/2", "post", "gasp", "DSIG"]
_TO_UNICODE = """/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <ffff>
endcodespacerange
{ranges}
endcmap
CMapName currentdict /CMap defineresource pop
end
end"""


@dataclass(frozen=True, slots=True)
class Cut:
    """A font cut down to some characters, and what a PDF has to say of it."""

    name: str
    data: bytes  # the TrueType file
    codes: dict[int, str]  # character to the number of its glyph, in four hexadecimal digits
    widths: list[float]  # of its glyphs by number, in thousandths of the type size
    to_unicode: bytes
    facts: dict[str, Any]  # of its FontDescriptor


def cut_for(letters: Collection[str], bold: bool) -> Cut:
    """The smallest cut of the base font that has all these letters."""
    return _cut(bold, not _COMMON.issuperset(letters))


@lru_cache(maxsize=4)
def _cut(bold: bool, wide: bool) -> Cut:
    options = subset.Options(layout_features=[], hinting=False)
    options.drop_tables += _NOT_EMBEDDED
    with subset.load_font(str(fonts.base_file(bold)), options) as font:
        named = font.getBestCmap()
        glyphs = {ord(c): named[ord(c)] for c in fonts.base_signs(bold) if wide or c in _COMMON}
        facts = _facts(font)
        cutter = subset.Subsetter(options)
        cutter.populate(glyphs=glyphs.values())
        cutter.subset(font)
        stream = io.BytesIO()
        font.save(stream)
        number = font.getReverseGlyphMap()
        widths = [round(font["hmtx"][glyph][0] * 1000 / font["head"].unitsPerEm, 2) for glyph in font.getGlyphOrder()]
    return Cut(
        f"{'BOWKIW' if wide else 'BOWKIT'}+{'DejaVuSans-Bold' if bold else 'DejaVuSans'}",
        stream.getvalue(),
        {c: f"{number[glyph]:04x}" for c, glyph in glyphs.items()},
        widths,
        _to_unicode({number[glyph]: chr(c) for c, glyph in glyphs.items()}, len(widths)),
        facts,
    )


def _facts(font: Any) -> dict[str, Any]:
    """What a PDF has to say of a font, lengths in thousandths of the type size."""
    head, lines, outlines = font["head"], font["hhea"], font["glyf"]
    per_em = 1000 / head.unitsPerEm
    return {
        "Flags": 32,  # upright, and of the usual letters
        "FontBBox": [round(v * per_em) for v in (head.xMin, head.yMin, head.xMax, head.yMax)],
        "Ascent": round(lines.ascent * per_em),
        "Descent": round(lines.descent * per_em),
        "CapHeight": round(outlines["H"].yMax * per_em),
        "ItalicAngle": 0,
        "StemV": 0,  # not known
    }


def _to_unicode(letters: dict[int, str], glyphs: int) -> bytes:
    """The table that gives the text back for each glyph; a range may not pass from one high byte to the next."""
    ranges = []
    for first in range(0, glyphs, 0x100):
        codes = range(first, min(first + 0x100, glyphs))
        said = " ".join(f"<{letters.get(code, '�').encode('utf-16-be').hex()}>" for code in codes)
        ranges.append(f"1 beginbfrange\n<{codes[0]:04x}> <{codes[-1]:04x}> [{said}]\nendbfrange")
    return _TO_UNICODE.format(ranges="\n".join(ranges)).encode("ascii")


class SheetFile(_pdf.PdfFile):  # type: ignore[misc]
    """A PDF being written that embeds cuts whole, beside whatever fonts matplotlib embeds by itself."""

    def __init__(self, stream: Any, facts: dict[str, Any], cuts: Mapping[str, Cut]) -> None:
        self.cuts = cuts  # by the name that pages call them by
        super().__init__(stream, metadata=facts)

    def writeObject(self, object: Any, contents: Any) -> None:
        """Write an object; the list of fonts gets the cuts."""
        if object is self.fontObject:
            contents = {**contents, **{_pdf.Name(name): self._embedded(cut) for name, cut in self.cuts.items()}}
        super().writeObject(object, contents)

    def _embedded(self, cut: Cut) -> Any:
        """Write a font whose glyphs are called by number (PDF 1.4, section 5.6: composite fonts)."""
        file, to_unicode = self.reserveObject("font file"), self.reserveObject("to unicode")
        descriptor, glyphs, font = (self.reserveObject(what) for what in ("descriptor", "glyphs", "font"))
        self.outputStream(file, cut.data, extra={"Length1": len(cut.data)})
        self.outputStream(to_unicode, cut.to_unicode)
        name = _pdf.Name(cut.name)
        self.writeObject(
            descriptor, {"Type": _pdf.Name("FontDescriptor"), "FontName": name, "FontFile2": file, **cut.facts}
        )
        self.writeObject(
            glyphs,
            {
                "Type": _pdf.Name("Font"),
                "Subtype": _pdf.Name("CIDFontType2"),
                "BaseFont": name,
                "CIDSystemInfo": {"Registry": "Adobe", "Ordering": "Identity", "Supplement": 0},
                "FontDescriptor": descriptor,
                "W": [0, cut.widths],
                "CIDToGIDMap": _pdf.Name("Identity"),
            },
        )
        self.writeObject(
            font,
            {
                "Type": _pdf.Name("Font"),
                "Subtype": _pdf.Name("Type0"),
                "BaseFont": name,
                "Encoding": _pdf.Name("Identity-H"),
                "DescendantFonts": [glyphs],
                "ToUnicode": to_unicode,
            },
        )
        return font
