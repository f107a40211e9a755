"""Where nobody said when a crop ends and no frost was read: asked about once it is too cold, then cleared."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.chores.given import DAY, leader, season
from tests.chores.scenes import cold, noted
from tunneltui.chores.foreseen import foreseen
from tunneltui.chores.morning import plan_morning
from tunneltui.growth.topping import last_pick
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import CropOver, GreenStripped
from tunneltui.season.fold import fold
from tunneltui.season.state import Season
from tunneltui.values import replace


def kinds(entries: tuple[Entry, ...], day: date, tunnel: str = "W") -> set[str]:
    """What is asked of a tunnel's rows."""
    return {chore.kind for chore in plan_morning(entries, day).chores if chore.row.startswith(tunnel)}


def test_a_crop_that_goes_on_is_asked_about_again_in_a_fortnight() -> None:
    entries, day = cold()
    end = last_pick(fold(entries, day))
    assert end is not None
    assert end.assumed
    assert end.day < day
    assert "crop_over" not in kinds(entries, end.day)
    asked = kinds(entries, day)
    assert "crop_over" in asked
    # What is said of shoots and feeds in the last fortnight is common practice, no source.
    assert not asked & {"side_shoot", "feed", "tip_out", "mark_plants"}
    said = day + timedelta(days=1)
    goes_on = noted(entries, said, ("W", CropOver(over=False)))
    later = kinds(goes_on, said + timedelta(days=13))
    assert "crop_over" not in later
    assert "side_shoot" in later
    assert "crop_over" in kinds(goes_on, said + timedelta(days=14))
    assert "crop_over" in kinds(goes_on, said, "E"), "the other tunnel was not asked about"


def test_a_crop_that_goes_on_in_one_tunnel_calls_for_no_work_in_the_other() -> None:
    """Shoots, feed and readings of a tunnel of which nobody had said that it goes on came back with its
    neighbour's."""
    entries, day = cold()
    said = day + timedelta(days=1)
    goes_on = noted(entries, said, ("W", CropOver(over=False)))
    weekly = {"side_shoot", "feed", "mark_plants", "tip_out"}
    assert weekly <= kinds(goes_on, said + timedelta(days=7))
    assert not weekly & kinds(goes_on, said + timedelta(days=7), "E")


def test_a_crop_that_is_over_is_stripped_and_cleared_and_nothing_else() -> None:
    entries, day = cold()
    said = day + timedelta(days=1)
    over = noted(entries, said, ("W", CropOver(over=True)))
    assert kinds(over, said) == {"strip_green", "clearing"}
    leaders = tuple(x.id for x in fold(entries, day).leaders_of_row("W1"))
    stripped = plan_morning(
        noted(over, said + timedelta(days=1), ("W1", GreenStripped(leaders))), said + timedelta(days=1)
    )
    assert {c.kind for c in stripped.chores if c.row == "W1"} == {"clearing"}
    assert any("their crop is over" in chore.why for chore in stripped.chores)


@pytest.mark.parametrize("latitude_deg", [38.0, 51.0, 58.0, None])
def test_the_end_that_is_assumed_does_not_move_with_the_day_on_which_one_asks(latitude_deg: float | None) -> None:
    """It rolled on: a day after it, the last pick was today, for ever."""

    def on(day: date) -> Season:
        here = season([leader(3, planted_on=date(2026, 5, 10))])
        return replace(here, day=day, holding=replace(here.holding, latitude_deg=latitude_deg))

    ends = {last_pick(on(DAY + timedelta(days=days))) for days in (0, 30, 60, 90, 120, 150)}
    assert len(ends) == 1


def test_the_day_an_earlier_bed_was_wanted_back_ends_no_later_crop() -> None:
    here = season([leader(3, planted_on=date(2026, 5, 10))])
    stale = replace(here.holding, work=replace(here.holding.work, bed_wanted_back=date(2025, 10, 20)))
    end = last_pick(replace(here, holding=stale))
    assert end is not None
    assert end.assumed
    assert end.day > date(2026, 9, 1)


def test_of_a_crop_that_is_over_no_work_is_foreseen() -> None:
    """The week was told to hold 15 minutes of picking too many, of plants that frost had taken."""
    entries, day = cold()
    said = day + timedelta(days=1)
    known = plan_morning(entries, day)
    assert list(foreseen(known.season, known.outlook, ()))
    over = plan_morning(noted(entries, said, ("W", CropOver(over=True)), ("E", CropOver(over=True))), said)
    assert list(foreseen(over.season, over.outlook, ())) == []
