"""Handbook ranges of rods, each with its source: for warnings and defaults, not for measurements."""

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
    note: str = ""

    @property
    def strain_default(self) -> float:
        """The strain limit taken where the stock gives none: the low end of the range."""
        return self.strain_limit.low


def _rod(
    name: str,
    modulus_GPa: tuple[float, float],
    density: tuple[float, float],
    strain_percent: tuple[float, float],
    source: str,
    also: tuple[str, ...] = (),
    note: str = "",
) -> RodMaterial:
    return RodMaterial(
        name,
        HandbookRange(modulus_GPa[0] * 1e9, modulus_GPa[1] * 1e9, "Pa", source),
        HandbookRange(*density, "kg/m³", source),
        HandbookRange(strain_percent[0] / 100, strain_percent[1] / 100, "m/m", source),
        source,
        also,
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


def rod_material(name: str | None) -> RodMaterial | None:
    """The handbook's entry for a material as a maker names it, or None."""
    wanted = " ".join((name or "").lower().split())
    return next((m for m in ROD_MATERIALS.values() if wanted == m.name or wanted in m.also), None)
