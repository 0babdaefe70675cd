"""The units makers write, each kind of quantity with its exact factors to SI."""

from __future__ import annotations

from typing import Final

# Exact by definition: the international yard and pound of 1959, standard gravity of the CGPM 1901, the nautical
# mile of 1929; all as listed in NIST SP 811, appendix B.8.
INCH_M: Final = 0.0254
FOOT_M: Final = 0.3048
YARD_M: Final = 0.9144
POUND_KG: Final = 0.45359237
OUNCE_KG: Final = POUND_KG / 16
GRAVITY_M_S2: Final = 9.80665
POUND_FORCE_N: Final = POUND_KG * GRAVITY_M_S2
MPH_M_S: Final = 1609.344 / 3600
KNOT_M_S: Final = 1852 / 3600
PSI_PA: Final = POUND_FORCE_N / INCH_M**2
DEGREE_RAD: Final = 0.017453292519943295

_LENGTHS: Final = {
    "mm": 1e-3,
    "cm": 1e-2,
    "m": 1.0,
    "um": 1e-6,
    "in": INCH_M,
    "ft": FOOT_M,
    "yd": YARD_M,
    "mil": INCH_M / 1000,
}

FACTORS: Final[dict[str, dict[str, float]]] = {
    "length": _LENGTHS,
    "thin": _LENGTHS,
    "altitude": _LENGTHS | {"km": 1000.0},
    "force": {
        "g": 1e-3 * GRAVITY_M_S2,
        "kg": GRAVITY_M_S2,
        "oz": OUNCE_KG * GRAVITY_M_S2,
        "lb": POUND_FORCE_N,
        "N": 1.0,
        "cN": 0.01,
    },
    "mass": {"g": 1e-3, "kg": 1.0, "mg": 1e-6, "oz": OUNCE_KG, "lb": POUND_KG},
    "wind": {"mph": MPH_M_S, "m/s": 1.0, "km/h": 1 / 3.6, "kn": KNOT_M_S, "ft/s": FOOT_M},
    "area": {"m²": 1.0, "dm²": 1e-2, "cm²": 1e-4, "mm²": 1e-6, "in²": INCH_M**2, "ft²": FOOT_M**2},
    "areal": {"g/m²": 1e-3, "kg/m²": 1.0, "oz/yd²": OUNCE_KG / YARD_M**2, "oz/ft²": OUNCE_KG / FOOT_M**2},
    "stress": {"GPa": 1e9, "MPa": 1e6, "kPa": 1e3, "Pa": 1.0, "psi": PSI_PA, "ksi": 1e3 * PSI_PA, "Msi": 1e6 * PSI_PA},
    "density": {
        "kg/m³": 1.0,
        "g/cm³": 1000.0,
        "lb/ft³": POUND_KG / FOOT_M**3,
        "lb/in³": POUND_KG / INCH_M**3,
    },
    "strain": {"%": 0.01},
    "ratio": {"%": 0.01},
    "angle": {"°": DEGREE_RAD, "rad": 1.0},
    "rigidity": {"N·m²": 1.0, "N·mm²": 1e-6},
}

# Other spellings of a unit, after `squeezed`; matched in any case where no case distinguishes two units.
_SPELLINGS: Final = {
    "mm": ("millimetre", "millimeter", "millimetres", "millimeters"),
    "cm": ("centimetre", "centimeter", "centimetres", "centimeters"),
    "m": ("metre", "meter", "metres", "meters"),
    "um": ("micron", "microns", "μm"),
    "in": ("inch", "inches", '"', "″", "”"),
    "mil": ("thou", "mils"),
    "ft": ("foot", "feet"),
    "yd": ("yard", "yards"),
    "g": ("gram", "grams", "gramme", "grammes", "gf"),
    "kg": ("kilogram", "kilograms", "kgf"),
    "oz": ("ounce", "ounces", "ozf"),
    "lb": ("pound", "pounds", "lbs", "lbf"),
    "N": ("newton", "newtons"),
    "km/h": ("kmh", "kph", "kmph"),
    "m/s": ("mps", "ms"),
    "kn": ("kt", "kts", "knot", "knots"),
    "mph": ("mi/h",),
    "g/m²": ("gsm",),
    "oz/yd²": ("osy",),
    "MPa": ("n/mm2",),
    "g/cm³": ("g/cc",),
    "%": ("percent", "pct"),
    "°": ("degree", "degrees", "deg"),
    "rad": ("radian", "radians"),
}

# How a kind is called in a sentence, and how one of it is written.
CALLED: Final = {
    "length": "a length",
    "thin": "a length",
    "altitude": "a height",
    "force": "a weight on the scale",
    "mass": "a mass",
    "wind": "a wind",
    "area": "an area",
    "areal": "a cloth weight",
    "stress": "a modulus",
    "density": "a density",
    "strain": "a strain",
    "ratio": "a percentage",
    "angle": "an angle",
    "rigidity": "a stiffness",
}
# Units as a sentence names them.
NAMED: Final = {
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    "ft": "feet",
    "yd": "yards",
    "g": "grams",
    "kg": "kilograms",
    "oz": "ounces",
    "lb": "pounds",
    "N": "newtons",
    "mph": "miles an hour",
    "m/s": "metres a second",
    "km/h": "kilometres an hour",
    "kn": "knots",
}
WRITTEN: Final = {
    "length": "640 mm, 61 cm or 19 1/2 in",
    "thin": "1.5 mm, 12 um or .06 in",
    "altitude": "350 m or 1200 ft",
    "force": "214 g, 7.5 oz or 2.1 N",
    "mass": "21 g or 0.75 oz",
    "wind": "4-7 mph, 3 m/s or Bft 3",
    "area": "1200 cm2",
    "areal": "17 g/m2 or 0.5 oz/yd2",
    "stress": "140 GPa",
    "density": "1550 kg/m3",
    "strain": "1.2 %",
    "ratio": "3 %",
    "angle": "41.5 deg",
    "rigidity": "0.02 N m2",
}

# Lower limits of Beaufort 0 to 12 as winds at 10 m, m/s: WMO-No. 8 (memory), agreeing with published tables.
BEAUFORT_M_S: Final = (0.0, 0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)

_SQUEEZE: Final = str.maketrans({"²": "2", "³": "3", "µ": "μ"} | dict.fromkeys(" \u00a0·⋅*"))


def squeezed(unit: str) -> str:
    """The unit without blanks, dots and raised figures, so that spellings can be compared."""
    return unit.translate(_SQUEEZE).rstrip(".").replace("^", "")


def _spelled() -> dict[str, dict[str, str]]:
    """For each kind: every spelling → the unit, exact spellings and lower-case ones."""
    tables: dict[str, dict[str, str]] = {}
    for kind, factors in FACTORS.items():
        table: dict[str, str] = {}
        for unit in factors:
            table[squeezed(unit).lower()] = unit
        for unit, spellings in _SPELLINGS.items():
            if unit in factors:
                table.update(dict.fromkeys(map(str.lower, spellings), unit))
        table.update({squeezed(unit): unit for unit in factors})
        table.update({unit: unit for unit in factors})
        tables[kind] = table
    return tables


SPELLED: Final = _spelled()


def find_unit(unit: str, kind: str) -> str | None:
    """The unit of `kind` that is meant, or None: `inches` → `in`."""
    table = SPELLED[kind]
    found = table.get(unit)
    if found is not None:
        return found
    small = squeezed(unit)
    if small == "mPa":  # a millipascal is not a megapascal, whatever the shift key says
        return None
    return table.get(small) or table.get(small.lower())


# The same factors as fractions of whole numbers: multiplying and then dividing rounds once, so that 24 in is 0.6096 m.
_WHOLE: Final[dict[float, tuple[float, float]]] = {
    INCH_M: (127.0, 5000.0),
    FOOT_M: (381.0, 1250.0),
    YARD_M: (1143.0, 1250.0),
    INCH_M / 1000: (127.0, 5_000_000.0),
    MPH_M_S: (1397.0, 3125.0),
    KNOT_M_S: (463.0, 900.0),
    1 / 3.6: (5.0, 18.0),
    **{10.0**-n: (1.0, 10.0**n) for n in range(1, 7)},
    **{float(f"1e-{n}"): (1.0, 10.0**n) for n in range(1, 7)},
}


def scaled(number: float, factor: float) -> float:
    """The number times the factor, rounded once where the factor is a ratio of small whole numbers.

    >>> scaled(24, INCH_M), scaled(410, 1e-3)
    (0.6096, 0.41)
    """
    whole = _WHOLE.get(factor)
    return number * factor if whole is None else number * whole[0] / whole[1]
