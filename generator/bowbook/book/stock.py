"""Handbook ranges of rod materials, each with its source: for warnings and defaults, not for measurements."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from msgspec import Struct


class HandbookRange(NamedTuple):
    """The least and the most that handbooks give, in SI."""

    low: float
    high: float


class RodMaterial(Struct, frozen=True):
    """What handbooks say of a rod material: the ranges, and where they come from."""

    name: str
    modulus_Pa: HandbookRange
    density_kg_m3: HandbookRange
    strain_limit: HandbookRange
    source: str
    also: tuple[str, ...]  # other names makers use

    @property
    def strain_default(self) -> float:
        """The strain limit taken where the stock gives none: the low end of the range."""
        return self.strain_limit.low


# Of wood and bamboo, moisture, nodes and grain move these figures by a fifth either way. Bamboo gives way slowly and
# bends past its limit before it breaks.
_MATERIALS: Final = (
    RodMaterial(
        "carbon",
        HandbookRange(70e9, 140e9),
        HandbookRange(1500, 1600),
        HandbookRange(0.010, 0.012),
        "a pultruder's profile data sheet, 70–130 GPa in bending; rod grades up to 140 GPa from memory; "
        "strain as strength over modulus",
        ("carbon fibre", "carbon fiber", "pultruded carbon", "carbon, pultruded", "cfrp"),
    ),
    RodMaterial(
        "glass",
        HandbookRange(20.6e9, 41.4e9),
        HandbookRange(1900, 2000),
        HandbookRange(0.0125, 0.020),
        "a pultruder's material property page; the low strain is its working limit (bent no tighter than 80 diameters)",
        ("e-glass", "glass fibre", "glass fiber", "fibreglass", "fiberglass", "pultruded glass", "gfrp"),
    ),
    RodMaterial(
        "bamboo",
        HandbookRange(8.5e9, 32.5e9),
        HandbookRange(600, 900),
        HandbookRange(0.010, 0.014),
        "tensile study of moso bamboo, 2008 (inner to outer layers); Dixon & Gibson 2014; density from memory; "
        "strain as strength over modulus",
        ("split bamboo", "bamboo, split", "moso"),
    ),
    RodMaterial(
        "spruce",
        HandbookRange(11.0e9, 11.2e9),
        HandbookRange(425, 430),
        HandbookRange(0.0062, 0.0064),
        "published tables of Sitka spruce; strain as bending strength of 70 MPa over modulus",
        ("sitka spruce", "sitka"),
    ),
    RodMaterial(
        "birch",
        HandbookRange(13.8e9, 13.9e9),
        HandbookRange(620, 690),
        HandbookRange(0.0082, 0.0083),
        "species tables after the Wood Handbook of the US Forest Products Laboratory; strength from memory",
        ("yellow birch",),
    ),
)
ROD_MATERIALS: Final[Mapping[str, RodMaterial]] = MappingProxyType({one.name: one for one in _MATERIALS})


def rod_material(name: str | None) -> RodMaterial | None:
    """The handbook's entry for a material as a maker names it, or None."""
    wanted = " ".join((name or "").lower().split())
    return next((m for m in ROD_MATERIALS.values() if wanted == m.name or wanted in m.also), None)
