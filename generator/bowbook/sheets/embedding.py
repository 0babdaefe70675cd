"""A font inside a PDF, cut down to what a sheet uses of it, its glyphs standing for the maker's own letters."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import bowbook.sheets.own_settings  # noqa: F401 before reportlab

# isort: split
from reportlab.pdfbase import pdfmetrics, ttfonts

if TYPE_CHECKING:
    from bowbook.sheets.fonts import Font

_CODES_A_BLOCK = 100  # of a ToUnicode table, at most (Adobe technical note 5014)


class EmbeddedFont(ttfonts.TTFont):  # type: ignore[misc]
    """A font with its glyphs called by private-use characters, and the text that each of these stands for."""

    def __init__(self, font: Font) -> None:
        super().__init__(f"{font.file}#{font.index}", str(font.file), subfontIndex=font.index)
        self.face.table.pop("name", None)  # licence texts and the like: a viewer reads none of it
        self.said: dict[int, str] = {}

    def addObjects(self, doc: Any) -> None:
        """Write the font as far as it is used; text copied out of the sheet is the maker's own."""
        subsets = self.state[doc].subsets
        super().addObjects(doc)
        embedded = doc.idToObject["BasicFonts"].dict
        for n, subset in enumerate(subsets):
            font = embedded[f"{doc.fontMapping[self.fontName][1:]}+{n}"]
            doc.idToObject[font.ToUnicode.name].content = self._to_unicode(subset)

    def _to_unicode(self, subset: Sequence[int]) -> str:
        rows = [
            f"<{code:02x}> <{self.said.get(stands, chr(stands)).encode('utf-16-be').hex()}>"
            for code, stands in enumerate(subset)
        ]
        blocks = [rows[first : first + _CODES_A_BLOCK] for first in range(0, len(rows), _CODES_A_BLOCK)]
        told = "\n".join("\n".join([f"{len(block)} beginbfchar", *block, "endbfchar"]) for block in blocks)
        return (
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
            "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
            "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<00> <ff>\nendcodespacerange\n"
            f"{told}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend"
        )


@lru_cache(maxsize=32)
def embedded(font: Font) -> EmbeddedFont:
    """The font as PDFs embed it. Raises whatever a damaged file leads to."""
    loaded = EmbeddedFont(font)
    pdfmetrics.registerFont(loaded)
    return loaded


def can_embed(font: Font) -> bool:
    """Whether the file is sound enough to be cut down."""
    try:
        return bool(embedded(font))
    except Exception:  # a damaged file makes the library fail in many ways
        return False
