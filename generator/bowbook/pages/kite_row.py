"""A kite as one line of a list: the shelf's table, band pages, the flyers' page and the side-by-side page share it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from bowbook.book.records import Rod, Skin, Units
from bowbook.charts.profile import SailProfile, profile_of
from bowbook.charts.silhouette import PLACEHOLDER_MM, shapes, silhouette
from bowbook.charts.svg import identifier
from bowbook.findings.results import Findings, Range
from bowbook.pages.chrome import kite_address
from bowbook.pages.markup import SafeHtml
from bowbook.wording import answers, balance, numbers


class Picture(Struct, frozen=True):
    """A silhouette: its shapes in mm under an id, and the box they stand in."""

    id: str
    shapes: SafeHtml
    view_box: str
    width: float
    height: float
    colour: str
    profile: SailProfile


class FlyerRange(Struct, frozen=True):
    """What one flyer likes about one kite, in the unit shown: the flyer's number, edges, whether flown, words."""

    flyer: int
    low: float
    high: float
    flown: bool
    text: str

    def packed(self, own: str) -> str:
        """As the page's script reads it; the words of the flyer whose range the line shows stand there already."""
        words = "" if str(self.flyer) == own else self.text
        return f"{self.flyer}|{self.low:.3g}|{self.high:.3g}|{'f' if self.flown else 'p'}|{words}"


class KiteRow(Struct, frozen=True):
    """One kite in a list. `low` and `high` are in the unit shown, None where no range is known."""

    key: str
    name: str
    address: str
    picture: Picture
    summary: str | None
    stage: str | None
    skin: str | None
    skin_key: str | None
    bow: str | None  # what its bow is made of
    wide_m: float | None  # tip to tip of the sail
    likes: str | None
    whose: str | None
    basis: str | None
    low: float | None
    high: float | None
    even: str
    even_tone: str
    halves: str | None
    flex: str | None
    ranges: tuple[FlyerRange, ...]
    span: Range | None  # m/s
    bands: tuple[str, ...]
    flex_m_s: float | None
    own_flyer: str = ""  # number of the flyer whose range is shown
    number: int = 0
    tags: tuple[str, ...] = ()
    strip: tuple[str, str] | None = None  # both edges as percent of the shelf's axis

    @property
    def lit(self) -> bool:
        """Whether it is there to fly: the others are labelled, and no wind lights them up."""
        return self.stage in (None, "flying")

    @property
    def sifted(self) -> str:
        """What the page's script sifts by: stage, skin, bow, width of the sail in m, tags."""
        wide = f"{self.wide_m:.3g}" if self.wide_m else ""
        return "|".join((self.stage or "", self.skin_key or "", self.bow or "", wide, *self.tags))

    @property
    def packed(self) -> str:
        """All flyers' ranges as the page's script reads them."""
        return ";".join(r.packed(self.own_flyer) for r in self.ranges)


def row_of(
    kite: Findings, units: Units, skins: Mapping[str, Skin], rods: Mapping[str, Rod], flyers: tuple[str, ...] = ()
) -> KiteRow:
    """The row of one kite; `skins` and `rods` need only have its own."""
    record, wind, known = kite.kite, kite.wind, list(flyers)
    skin, rod = skins.get(record.sail.skin or ""), rods.get(record.bow.rod or "")
    even, even_tone = balance.short_even(kite, units)
    return KiteRow(
        key=record.key,
        name=record.name,
        address=kite_address(record.key),
        picture=picture_of(kite, skin),
        summary=record.summary,
        stage=record.stage,
        skin=skin_label(record.sail.skin, skin, units),
        skin_key=record.sail.skin,
        tags=record.tags,
        bow=rod.material if rod else None,
        wide_m=2 * max(out for out, _ in record.sail.outline) if len(record.sail.outline) > 1 else None,
        likes=answers.likes(kite, units),
        whose=wind.flyer,
        basis=wind.basis,
        low=numbers.wind_number(wind.range.low, units) if wind.range else None,
        high=numbers.wind_number(wind.range.high, units) if wind.range else None,
        even=even,
        even_tone=even_tone,
        halves=halves_words(kite, units),
        flex=numbers.measured(wind.flex_m_s, "wind", units) if wind.flex_m_s else None,
        ranges=_ranges(kite, units, known),
        span=wind.range,
        bands=wind.bands,
        flex_m_s=wind.flex_m_s.value if wind.flex_m_s else None,
        own_flyer=str(known.index(wind.flyer)) if wind.flyer in known else "",
    )


def _ranges(kite: Findings, units: Units, flyers: list[str]) -> tuple[FlyerRange, ...]:
    found = []
    for number, flyer in enumerate(flyers):
        span = kite.wind.flown.get(flyer) or kite.wind.predicted.get(flyer)
        if span is not None:
            low, high = numbers.wind_number(span.low, units), numbers.wind_number(span.high, units)
            found.append(FlyerRange(number, low, high, flyer in kite.wind.flown, numbers.winds(span, units)))
    return tuple(found)


def rows_in_order(rows: Iterable[KiteRow]) -> list[KiteRow]:
    """Rows in the order of lists."""
    return sorted(rows, key=lambda row: _order(row.span, row.name))


def by_wind(kite: Findings) -> tuple[bool, float, float, str]:
    """The order of lists: lightest wind first, kites without a range last."""
    return _order(kite.wind.range, kite.kite.name)


def _order(span: Range | None, name: str) -> tuple[bool, float, float, str]:
    return (True, 0.0, 0.0, name) if span is None else (False, span.low + span.high, span.low, name)


def picture_of(kite: Findings, skin: Skin | None) -> Picture:
    """The kite's silhouette with a little room around it for the pen."""
    shape, outline = silhouette(kite, skin), kite.kite.sail.outline
    room = max(shape.width, shape.height) * 0.03
    box = f"{-shape.width / 2 - room:.0f} {-room:.0f} {shape.width + 2 * room:.0f} {shape.height + 2 * room:.0f}"
    return Picture(
        f"k-{identifier(kite.kite.key)}",
        SafeHtml(shapes(shape)),
        box,
        shape.width,
        shape.height,
        shape.colours[0],
        profile_of([(x * 1000, y * 1000) for x, y in outline] if shape.known else PLACEHOLDER_MM),
    )


def skin_label(key: str | None, skin: Skin | None, units: Units) -> str | None:
    """A skin as lists name it: material and weight, "washi, 30 g/m²"."""
    if skin is None:
        return key
    said = [skin.material or skin.key]
    if skin.areal_kg_m2 is not None:
        said.append(numbers.plain(skin.areal_kg_m2, "areal", units))
    elif skin.thick_m is not None:
        said.append(numbers.plain(skin.thick_m, "thin", units))
    return ", ".join(said)


def halves_words(kite: Findings, units: Units) -> str | None:
    """Both halves' press readings: "205 ± 2 / 198 ± 2 g"; a half not read is a dash; None where neither is."""
    left, right = kite.bow.left.press_N, kite.bow.right.press_N
    if left is None and right is None:
        return None
    said = [numbers.measured(half, "force", units) if half else "–" for half in (left, right)]
    unit = "\u00a0" + units.force
    if all(text.endswith(unit) for text in said):
        said[0] = said[0].removesuffix(unit)
    return " / ".join(said)
