"""Hours of a planned season: each piece of work by hand, and beside published figures."""

from __future__ import annotations

import pytest

from tests.review.plan_made import house, planned
from tunneltui.chores.kinds import KINDS
from tunneltui.growth.outlook import Band
from tunneltui.review.plan_hours import hours
from tunneltui.review.plan_values import Hours, PlannedCrop
from tunneltui.values import replace

VIGOUR = {"v": 0.15}
FRUIT = (PlannedCrop("v", "W1", Band(25.0, 50.0, 100.0)),)
CLIPS = 120.0
TURN_M = 0.2
"""Of the hooks of ``tests.loads.made``."""


def _weeks() -> float:
    coming = planned(house(), "v" * 12, VIGOUR)
    return (coming.last_day - coming.season.day).days / 7


def _hours(timings: dict[str, tuple[float, int]]) -> Hours:
    return hours(replace(house(), timings=timings), planned(house(), "v" * 12, VIGOUR), FRUIT, CLIPS)


def test_each_piece_of_work_by_hand() -> None:
    """Twelve plants with a head each; standard fruit is picked at 25 kg an hour (chores.minutes)."""
    coming, usual, weeks = (
        planned(house(), "v" * 12, VIGOUR),
        {key: kind.minutes for key, kind in KINDS.items()},
        _weeks(),
    )
    over_m = [coming.stem(name, coming.last_day).length_m.mid - 2.0 for name in coming.season.leaders]
    minutes = 12 * (usual["plant_out"] + usual["tip_out"] + usual["clearing"])
    minutes += len(coming.season.strings) * usual["string"] + CLIPS * usual["clip_to_string"]
    minutes += sum(over_m) / TURN_M * usual["lower"] + 12 * (weeks - 8) * usual["deleaf"]
    minutes += 12 * (weeks - 2) * (usual["side_shoot"] + usual["twist_in"])
    found = _hours({})
    assert found.timed == ()
    assert found.band.mid == pytest.approx(minutes / 60 + 2.0, rel=1e-6)
    assert found.band.high == pytest.approx(minutes / 60 + 4.0, rel=1e-6)


def test_published_figures_are_the_other_end() -> None:
    """0.27 h of plant work a square metre and 0.01 h a kg in south-east Spain (Perez et al. 2003 in Vanthoor 2011,
    table 5.1)."""
    found, tunnel = _hours({}), house().holding.tunnels[0]
    assert found.published.mid == pytest.approx(0.27 * tunnel.length_m * tunnel.width_m + 0.5)
    assert found.band.low <= min(found.published.low, found.band.mid)
    assert found.band.high >= max(found.published.high, found.band.mid)


def test_what_was_timed_goes_before_what_is_usual() -> None:
    timed = _hours({"side_shoot": (30.0, 20)})  # 1.5 minutes a head, twice the usual
    assert timed.timed == ("side_shoot",)
    assert timed.band.mid - _hours({}).band.mid == pytest.approx(12 * (_weeks() - 2) * 0.75 / 60)
