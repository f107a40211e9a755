"""How a grower reads, counts and weighs otherwise than right; drawn for each house of the other truth.

All of it is what people do (common practice, no source); shares are assumed.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from random import Random

from tests.seasons.houses import House
from tests.seasons.truth.weather import Air


@dataclass(frozen=True, slots=True)
class Quirks:
    tape: float = 1.0
    """What is read of a length, as a share: a tape held slack or taut, always the same way."""
    step_m: float = 0.01
    """To which is rounded."""
    truss_off: int = 0
    """The truss in bud, or the one that has set, is called the flowering one."""
    counts: bool = True
    """Trusses, leaves and clips."""
    weighs_on: int | None = None
    """The only weekday on which picks are weighed."""
    two_in_a_crate: float = 0.0
    """Share of picks that are weighed with the next one, under its name."""
    reads_forecast: bool = False
    forecast_off_k: float = 0.0
    """By which it is warmer than what comes; a day ahead it errs by 1.5 K, four days ahead by 3.5."""

    def read_m(self, metres: float) -> float:
        return round(round(metres * self.tape / self.step_m) * self.step_m, 2)


AS_RIGHT = Quirks()


def quirks(house: House) -> Quirks:
    if house.truth == "first":
        return AS_RIGHT
    luck = Random(f"quirks {house.seed}")
    return Quirks(
        tape=1 + luck.gauss(0.0, 0.03),
        step_m=luck.choice((0.01, 0.05, 0.10)),
        truss_off=luck.choice((-1, 0, 0, 0, 1)),
        counts=luck.random() < 0.75,
        weighs_on=5 if luck.random() < 0.2 else None,
        two_in_a_crate=0.25 if luck.random() < 0.3 else 0.0,
        reads_forecast=luck.random() < 0.3,
        forecast_off_k=luck.gauss(0.0, 1.5),
    )


def forecast(
    quirks: Quirks, seed: int, day: date, coming: list[Air]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Lowest and highest outside, as they were forecast on that day for itself and the days after it."""
    luck = Random(f"forecast {seed} {day}")
    off = [quirks.forecast_off_k + luck.gauss(0.0, 1.0 + 0.6 * ahead) for ahead in range(len(coming))]
    lows = tuple(round(air.outside_min_c + k, 1) for air, k in zip(coming, off, strict=True))
    return lows, tuple(round(air.outside_max_c + k, 1) for air, k in zip(coming, off, strict=True))
