"""Quantities in words, metric or imperial. What is kept and what goes into documents is SI."""

from __future__ import annotations

from typing import NamedTuple

LB_IN_KG = 0.45359237
FT_IN_M = 0.3048
"""Both by definition (international yard and pound agreement of 1959)."""
KG_M2_IN_LB_FT2 = FT_IN_M**2 / LB_IN_KG
G_M_PER_S2 = 9.80665
"""Standard gravity (CGPM 1901): loads are said as weights."""
LITRES_IN_GAL = 0.26417205
"""US gallons of 231 cubic inches, by definition."""


class Units(NamedTuple):
    imperial: bool = False

    @property
    def mass_unit(self) -> str:
        return "lb" if self.imperial else "kg"

    @property
    def area_mass_unit(self) -> str:
        return "lb/ft2" if self.imperial else "kg/m2"

    def mass_of(self, kg: float) -> float:
        return kg / LB_IN_KG if self.imperial else kg

    def mass(self, kg: float | None) -> str:
        return "not weighed" if kg is None else f"{self.mass_of(kg):.1f} {self.mass_unit}"

    def per_area(self, kg_m2: float) -> str:
        return f"{kg_m2 * KG_M2_IN_LB_FT2:.2f} lb/ft2" if self.imperial else f"{kg_m2:.1f} kg/m2"

    def length(self, metres: float) -> str:
        return f"{metres / FT_IN_M:.1f} ft" if self.imperial else f"{metres:.1f} m"

    def load(self, newton: float) -> str:
        kg = newton / G_M_PER_S2
        return f"{kg / LB_IN_KG:.1f} lb" if self.imperial else f"{kg:.1f} kg"

    def minutes_per_mass(self, per_kg: float) -> str:
        return f"{per_kg * LB_IN_KG:.1f} min a lb" if self.imperial else f"{per_kg:.1f} min a kg"

    def volume(self, litres: float) -> str:
        return f"{litres * LITRES_IN_GAL:.0f} US gal" if self.imperial else f"{litres:.0f} L"
