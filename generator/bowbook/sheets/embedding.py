"""The sheet's fonts inside a PDF: the base font cut down once a run and embedded whole in every sheet, of any other
what the sheet needs.

matplotlib cuts every font anew for every file, which takes longer than all else on a sheet together.
"""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Collection, Mapping
from functools import lru_cache
from typing import Any

from fontTools import subset  # type: ignore[import-untyped]
from matplotlib.backends import backend_pdf
from msgspec import Struct

from bowbook.sheets import fonts
from bowbook.sheets.extracting import extract, opened

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


class Cut(Struct, frozen=True):
    """A font cut down to some characters, and what a PDF has to say of it."""

    name: str
    data: bytes  # the TrueType file
    codes: dict[int, str]  # character to its code, in four hexadecimal digits
    widths: list[Any]  # as a PDF has them, by code, in thousandths of the type size
    to_unicode: bytes
    facts: dict[str, Any]  # of its FontDescriptor
    glyphs: bytes | None = None  # for each code the number of its glyph, two bytes each; None where they are the same


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
        facts = _facts(font, font["glyf"]["H"].yMax)
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
        [0, widths],
        _to_unicode({number[glyph]: chr(c) for c, glyph in glyphs.items()}, len(widths)),
        facts,
    )


def other_cut(file: str, face: int, glyphs: Mapping[int, int], letters: Mapping[int, str]) -> Cut:
    """What a sheet needs of another font: for every code on it, the number of its glyph and the text it stands for."""
    font = opened(file, face)
    taken = extract(font, set(glyphs.values()))
    per_em, names = 1000 / font["head"].unitsPerEm, font.getGlyphOrder()
    numbers = [0] * (max(glyphs) + 1)
    widths: list[Any] = []
    for code, glyph in sorted(glyphs.items()):
        numbers[code] = taken.numbers[glyph]
        widths += [code, [round(font["hmtx"][names[glyph]][0] * per_em, 2)]]
    tag = "".join(chr(ord("A") + byte % 26) for byte in hashlib.sha256(taken.data).digest()[:6])
    name = font["name"].getDebugName(6) or "Font"
    height = getattr(font.get("OS/2"), "sCapHeight", font["hhea"].ascent)
    packed = b"".join(number.to_bytes(2, "big") for number in numbers)
    return Cut(
        f"{tag}+{re.sub('[^!-~]', '', name)}", taken.data, {}, widths, _said(letters), _facts(font, height), packed
    )


def _facts(font: Any, cap_height: float) -> dict[str, Any]:
    """What a PDF has to say of a font, lengths in thousandths of the type size."""
    head, lines = font["head"], font["hhea"]
    per_em = 1000 / head.unitsPerEm
    return {
        "Flags": 32,  # upright, and of the usual letters
        "FontBBox": [round(v * per_em) for v in (head.xMin, head.yMin, head.xMax, head.yMax)],
        "Ascent": round(lines.ascent * per_em),
        "Descent": round(lines.descent * per_em),
        "CapHeight": round(cap_height * per_em),
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


def _said(letters: Mapping[int, str]) -> bytes:
    """The same for codes that do not follow on one another, and that may stand for more than one letter."""
    rows = [f"<{code:04x}> <{text.encode('utf-16-be').hex()}>" for code, text in sorted(letters.items())]
    blocks = [rows[first : first + 100] for first in range(0, len(rows), 100)]  # no block may have more
    said = "\n".join("\n".join([f"{len(block)} beginbfchar", *block, "endbfchar"]) for block in blocks)
    return _TO_UNICODE.format(ranges=said).encode("ascii")


class SheetFile(_pdf.PdfFile):  # type: ignore[misc]
    """A PDF being written that embeds cuts whole, and of other fonts what it needs."""

    def __init__(self, stream: Any, facts: dict[str, Any], cuts: Mapping[str, Cut]) -> None:
        self.cuts = cuts  # by the name that pages call them by
        super().__init__(stream, metadata=facts)

    def writeObject(self, object: Any, contents: Any) -> None:
        """Write an object; the list of fonts gets the cuts."""
        if object is self.fontObject:
            contents = {**contents, **{_pdf.Name(name): self._embedded(cut) for name, cut in self.cuts.items()}}
        super().writeObject(object, contents)

    def embedTTF(self, filename: Any, subset_index: int, charmap: Mapping[int, int]) -> Any:
        """Write what is needed of a font that matplotlib has set text in; `charmap` gives each code's glyph."""
        said = self._character_tracker.subset_to_unicode
        letters = {code: said(filename, subset_index, code) for code in charmap}
        return self._embedded(other_cut(str(filename), filename.face_index, charmap, letters))

    def _embedded(self, cut: Cut) -> Any:
        """Write a font whose glyphs are called by code (PDF 1.4, section 5.6: composite fonts)."""
        file, to_unicode = self.reserveObject("font file"), self.reserveObject("to unicode")
        numbers: Any = _pdf.Name("Identity")
        if cut.glyphs is not None:
            numbers = self.reserveObject("glyph numbers")
            self.outputStream(numbers, cut.glyphs)
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
                "W": cut.widths,
                "CIDToGIDMap": numbers,
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
