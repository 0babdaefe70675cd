"""Handbook ranges of rods and skins, each with its source: for warnings and defaults, not for measurements."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from msgspec import Struct


class HandbookRange(Struct, frozen=True):
    """A range of a property, SI unit named, and where it comes from."""

    low: float
    high: float
    unit: str
    source: str


class RodMaterial(Struct, frozen=True):
    """What handbooks say of a rod material."""

    name: str
    modulus_Pa: HandbookRange
    density_kg_m3: HandbookRange
    strain_limit: HandbookRange
    source: str
    also: tuple[str, ...] = ()  # other names makers use
    conducts: bool = False
    note: str = ""

    @property
    def strain_default(self) -> float:
        """The strain limit taken where the stock gives none: the low end of the range."""
        return self.strain_limit.low


class SkinMaterial(Struct, frozen=True):
    """What handbooks say of a sail material; the bending length is an order of magnitude only."""

    name: str
    areal_kg_m2: HandbookRange
    bending_length_m: HandbookRange
    source: str
    modulus_Pa: HandbookRange | None = None
    poisson: float = 0.3
    also: tuple[str, ...] = ()


def _rod(
    name: str,
    modulus_GPa: tuple[float, float],
    density: tuple[float, float],
    strain_percent: tuple[float, float],
    source: str,
    also: tuple[str, ...] = (),
    conducts: bool = False,
    note: str = "",
) -> RodMaterial:
    return RodMaterial(
        name,
        HandbookRange(modulus_GPa[0] * 1e9, modulus_GPa[1] * 1e9, "Pa", source),
        HandbookRange(*density, "kg/m³", source),
        HandbookRange(strain_percent[0] / 100, strain_percent[1] / 100, "m/m", source),
        source,
        also,
        conducts,
        note,
    )


_WOOD_NOTE = "Moisture, nodes and grain move these figures by a fifth either way."

ROD_MATERIALS: Final[Mapping[str, RodMaterial]] = MappingProxyType(
    {
        m.name: m
        for m in (
            _rod(
                "carbon",
                (70, 140),
                (1500, 1600),
                (1.0, 1.2),
                "a pultruder's profile data sheet, 70–130 GPa in bending; rod grades up to 140 GPa from memory; "
                "strain as strength over modulus",
                ("carbon fibre", "carbon fiber", "pultruded carbon", "carbon, pultruded", "cfrp"),
                conducts=True,
            ),
            _rod(
                "glass",
                (20.6, 41.4),
                (1900, 2000),
                (1.25, 2.0),
                "a pultruder's material property page; the low strain is its working limit (bent no tighter than "
                "80 diameters)",
                ("e-glass", "glass fibre", "glass fiber", "fibreglass", "fiberglass", "pultruded glass", "gfrp"),
            ),
            _rod(
                "bamboo",
                (8.5, 32.5),
                (600, 900),
                (1.0, 1.4),
                "tensile study of moso bamboo, 2008 (inner to outer layers); Dixon & Gibson 2014; density from memory; "
                "strain as strength over modulus",
                ("split bamboo", "bamboo, split", "moso"),
                note=_WOOD_NOTE + " Bamboo gives way slowly and bends past its limit before it breaks.",
            ),
            _rod(
                "spruce",
                (11.0, 11.2),
                (425, 430),
                (0.62, 0.64),
                "published tables of Sitka spruce; strain as bending strength of 70 MPa over modulus",
                ("sitka spruce", "sitka"),
                note=_WOOD_NOTE,
            ),
            _rod(
                "birch",
                (13.8, 13.9),
                (620, 690),
                (0.82, 0.83),
                "species tables after the Wood Handbook of the US Forest Products Laboratory; strength from memory",
                ("yellow birch",),
                note=_WOOD_NOTE,
            ),
        )
    }
)


def _skin(
    name: str,
    areal_g_m2: tuple[float, float],
    bending_mm: tuple[float, float],
    source: str,
    modulus_GPa: tuple[float, float] | None = None,
    poisson: float = 0.3,
    also: tuple[str, ...] = (),
) -> SkinMaterial:
    return SkinMaterial(
        name,
        HandbookRange(areal_g_m2[0] / 1e3, areal_g_m2[1] / 1e3, "kg/m²", source),
        HandbookRange(bending_mm[0] / 1e3, bending_mm[1] / 1e3, "m", source),
        source,
        HandbookRange(modulus_GPa[0] * 1e9, modulus_GPa[1] * 1e9, "Pa", source) if modulus_GPa else None,
        poisson,
        also,
    )


SKIN_MATERIALS: Final[Mapping[str, SkinMaterial]] = MappingProxyType(
    {
        m.name: m
        for m in (
            _skin(
                "polyester film",
                (17, 70),
                (17, 43),
                "a polyester film data bulletin (4.81/5.00 GPa, Poisson 0.38); bending length derived for 12 to 50 µm",
                (4.81, 5.00),
                0.38,
                ("polyester", "film", "pet film"),
            ),
            _skin(
                "tissue", (12, 25), (25, 40), "a model builder's table; range and bending length from memory", (3, 3)
            ),
            _skin(
                "washi",
                (1.6, 60),
                (40, 80),
                "a press report on the thinnest papers; covering weights from memory",
                (2, 2),
            ),
            _skin(
                "ripstop nylon", (30, 50), (15, 45), "from memory; the finish decides", None, 0.3, ("ripstop", "nylon")
            ),
            _skin(
                "spunbonded polyethylene",
                (43, 80),
                (25, 90),
                "a supplier's page for the weights; bending length from memory, soft and hard types",
                None,
                0.3,
                ("spunbonded", "polyethylene"),
            ),
        )
    }
)


def rod_material(name: str | None) -> RodMaterial | None:
    """The handbook's entry for a material as a maker names it, or None."""
    wanted = " ".join((name or "").lower().split())
    return next((m for m in ROD_MATERIALS.values() if wanted == m.name or wanted in m.also), None)


def skin_material(name: str | None) -> SkinMaterial | None:
    """The handbook's entry for a sail material as a maker names it, or None."""
    wanted = " ".join((name or "").lower().split())
    return next((m for m in SKIN_MATERIALS.values() if wanted == m.name or wanted in m.also), None)
