"""A fortnight of June whose last day asks for fleece, doors, water, feed and a look, and the day before none.

The journal is ``fixtures/care/june.jsonl``: one tunnel with six plants, a logger, a timer set to 30 minutes; on
the last but one day it turns hot and damp, on the last a frost is issued for the night.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Any

import pytest

from tests.care.june import DAY, june, later
from tunneltui.care.row_water import row_water
from tunneltui.care.water import Water
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Doors, Fleece, Watered

ASKED = {"fleece", "vents", "water", "feed", "scout"}


def _changed(
    entries: Sequence[Entry], kind: str, change: Callable[[dict[str, Any]], dict[str, Any]]
) -> list[Entry]:
    """The same journal with every body of a kind written otherwise."""
    return [
        entry._replace(body=json.dumps(change(json.loads(entry.body)))) if entry.kind == kind else entry
        for entry in entries
    ]


def _half_the_light(body: dict[str, Any]) -> dict[str, Any]:
    return {"toml": body["toml"].replace("film_light_share = 0.65", "film_light_share = 0.325")}


def _warmer(body: dict[str, Any]) -> dict[str, Any]:
    ends = {key: body[key] + 3.0 for key in ("min_c", "max_c", "mean_c")}
    return {**body, **ends, "hours_c": [hour + 3.0 for hour in body["hours_c"]]}


def _morning(entries: Sequence[Entry], day: date) -> Morning:
    return plan_morning(entries, day, minutes=600)


def _kinds(morning: Morning) -> set[str]:
    return {chore.kind for spot in morning.round.spots for chore in spot.chores}


def _chore(morning: Morning, kind: str) -> Chore:
    return next(chore for chore in morning.chores if chore.kind == kind)


def test_care_speaks_on_the_day_things_change_and_not_before() -> None:
    assert not ASKED & _kinds(_morning(june(), DAY - timedelta(days=1)))
    asked = _morning(june(), DAY)
    assert _kinds(asked) >= ASKED - {"feed"}
    # A feed may wait two days for the minutes.
    assert (_chore(asked, "feed").latest - DAY).days == 2


@pytest.mark.parametrize("minutes", [34, 48, 62])
def test_a_timer_within_the_range_is_left_alone(minutes: float) -> None:
    """The day asks 33.7 to 62.6 minutes."""
    assert "water" not in _kinds(_morning(later(june(), DAY, "T1", Watered(minutes=minutes, timer=True)), DAY))


def test_what_was_done_is_not_asked_again() -> None:
    entries = later(later(june(), DAY, "T", Fleece(on=True)), DAY, "T", Doors(open=True))
    morning = _morning(entries, DAY)
    assert "fleece" not in _kinds(morning)
    assert "scout" in _kinds(morning)
    # Open doors before a cold night ask for the other half of it.
    assert _chore(morning, "vents").proposal == "doors shut before dusk"


def test_words_carry_the_change_and_promise_nothing() -> None:
    morning = _morning(june(), DAY)
    assert _chore(morning, "water").proposal.startswith("timer 30 to 48 min")
    fleece = _chore(morning, "fleece")
    assert fleece.must
    assert "no cover is a promise" in fleece.why
    assert "late blight weather outdoors" in _chore(morning, "scout").why
    assert not any("safe" in chore.why for chore in morning.chores)


def test_half_the_light_moves_the_litres_by_the_ways_that_use_light() -> None:
    """The radiation method is proportional to the light inside, Hargreaves takes none of it (FAO-56 eq. 52); of
    still-air Penman-Monteith the part that net radiation gives is halved (eq. 6), the drying of the air stays."""
    plain, dark = _litres(june()), _litres(_changed(june(), "holding_set", _half_the_light))
    assert dark.radiation_mm == pytest.approx(plain.radiation_mm / 2)
    assert dark.outdoor_mm == plain.outdoor_mm
    air_only_mm = 2 * dark.still_air_mm - plain.still_air_mm
    assert 0 < air_only_mm < dark.still_air_mm < plain.still_air_mm
    ways = (sum((w.still_air_mm, w.radiation_mm, w.outdoor_mm)) for w in (plain, dark))
    all_mm, dark_mm = ways
    assert dark.mid_l / plain.mid_l == pytest.approx(dark_mm / all_mm)


def test_three_degrees_more_move_the_litres_by_their_equations() -> None:
    """Hargreaves by its (T + 17.8) (FAO-56 eq. 52) at the same range of temperature, from which the light is
    guessed too, so that the radiation method stays where it was."""
    plain, warm = _litres(june()), _litres(_changed(june(), "air", _warmer))
    mean = ((8 + 11 + 11) / 3 - 1.3 + (20 + 20 + 34) / 3 - 4.2) / 2
    assert warm.outdoor_mm / plain.outdoor_mm == pytest.approx((mean + 3 + 17.8) / (mean + 17.8))
    assert warm.radiation_mm == pytest.approx(plain.radiation_mm)
    assert warm.still_air_mm > plain.still_air_mm
    assert warm.mid_l > plain.mid_l


def _litres(entries: Sequence[Entry]) -> Water:
    morning = _morning(entries, DAY)
    tunnel, row = morning.season.layout.rows["T1"]
    found = row_water(morning.season, morning.outlook, tunnel, row)
    assert found is not None
    return found[0]


def test_no_air_gives_no_litres_instead_of_a_guess() -> None:
    entries = [entry for entry in june() if entry.kind != "air"]
    morning = _morning(entries, DAY)
    tunnel, row = morning.season.layout.rows["T1"]
    assert row_water(morning.season, morning.outlook, tunnel, row) is None
    assert "water" not in _kinds(morning)


def _by_hand(body: dict[str, Any]) -> dict[str, Any]:
    return {"toml": body["toml"].replace("drip_lph_per_plant = 2.0, ", "")}


@pytest.mark.parametrize(("share", "asked"), [(0.5, True), (1.0, False)])
def test_a_row_watered_by_hand_is_said_every_day_it_is_short(share: float, asked: bool) -> None:
    bare = [e for e in _changed(june(), "holding_set", _by_hand) if e.kind != "watered"]
    found = row_water_of(bare)
    entries = bare
    for back in range(3):
        litres = share * found.mid_l * 6
        entries = later(entries, DAY - timedelta(days=back), "T1", Watered(litres=litres))
    water = [chore for chore in _morning(entries, DAY).chores if chore.kind == "water"]
    assert bool(water) is asked
    if asked:
        assert "L given in 3 waterings" in water[0].why


def test_who_only_ticks_water_is_asked_weekly() -> None:
    bare = [e for e in _changed(june(), "holding_set", _by_hand) if e.kind != "watered"]
    for days, asked in ((1, False), (7, True)):
        ticked = later(bare, DAY - timedelta(days=days), "T1", Watered(litres=1.0, as_proposed=True))
        assert bool([chore for chore in _morning(ticked, DAY).chores if chore.kind == "water"]) is asked


def row_water_of(entries: Sequence[Entry]) -> Water:
    now = _morning(entries, DAY)
    tunnel = now.season.holding.tunnels[0]
    found = row_water(now.season, now.outlook, tunnel, tunnel.rows[0])
    assert found is not None
    return found[0]
