"""What the made-up growers work in: the holding, their diary, the stems and their own luck. Changed day by day."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from random import Random

from tunneltui.demo.diary import Diary
from tunneltui.demo.trellis import DemoClip, TrainedStem
from tunneltui.demo.weather import DemoDay
from tunneltui.holding.layout import Layout
from tunneltui.journal.body import Answers

MORNING, EVENING = "morning hand", "evening hand"


@dataclass(slots=True)
class House:
    layout: Layout
    diary: Diary
    luck: Random
    """Of hands and eyes; growth has its own."""
    stems: list[TrainedStem] = field(default_factory=list)
    """In walking order: rows as in the holding, by x along each."""
    airs: dict[str, DemoDay] = field(default_factory=dict)
    """Today's, by tunnel."""
    failed: list[tuple[TrainedStem, DemoClip]] = field(default_factory=list)
    """Clips found failed and not yet made good."""
    fleeced: set[str] = field(default_factory=set)
    """Tunnels with the fleece on."""
    picked_kg: dict[tuple[date, str, str], float] = field(default_factory=dict)
    """True weight taken, by day, row and cultivar."""

    def rows(self) -> list[str]:
        return list(self.layout.rows)

    def in_row(self, row: str) -> list[TrainedStem]:
        return [stem for stem in self.stems if stem.row == row]

    def in_loop(self, loop: str) -> list[TrainedStem]:
        """Front head first."""
        return sorted((s for s in self.stems if s.loop == loop), key=lambda s: -s.root_u_m)


def due(kind: str, about: str, day: date) -> Answers:
    """The chore that a tick answers."""
    return (kind, about, day.isoformat())


def near(value: float, step: float) -> float:
    """Read to the nearest step, as on a tape or a scale."""
    return round(round(value / step) * step, 6)
