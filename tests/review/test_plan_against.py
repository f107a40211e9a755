"""The last season's plan held against what came: foreseen by what was known then, came as it was written."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tests.review.test_season_learned import PLANTED, house, lived, on
from tunneltui.cli import main
from tunneltui.demo.make import make_demo
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import to_json
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.pages.plan_held import held_page
from tunneltui.pages.text import plain_text
from tunneltui.review.plan import plan
from tunneltui.review.plan_adopted import adoption
from tunneltui.review.plan_against import HeldFigure, PlanOutcome, kg_foreseen_by_week, plan_held
from tunneltui.review.plan_values import Wishes
from tunneltui.season.growing_year import year_on
from tunneltui.values import replace

END = date(2026, 11, 20)
WINTER = date(2026, 2, 1)
WISHES = Wishes(plant=PLANTED, end=date(2026, 10, 30))


def _held(entries: list[Entry], day: date = END) -> PlanOutcome:
    return plan_held(*on(entries, day))


def test_what_came_is_what_was_written() -> None:
    entries = lived(1)
    held = _held(entries)
    season = on(entries, END)[1]
    weighed = sum(pick.picked.kg or 0.0 for pick in season.picks)
    kg = next(one for one in held.figures if one.what == "kg_per_plant")
    assert kg.came == pytest.approx(weighed / 12)
    assert kg.so_far
    assert kg.inside is None
    assert replace(kg, so_far=False).inside
    assert replace(kg, came=2 * kg.foreseen.high).inside is False
    by_what = {one.what: one for one in held.days}
    assert by_what["planted"].came == PLANTED
    assert by_what["tips out"].came == date(2026, 8, 20)
    assert (by_what["first pick"].came, by_what["last pick"].came) == (season.picks[0].day, season.picks[-1].day)
    assert (held.name, held.known_on, held.over) == ("", PLANTED, False)


def _written_from(day: date, entries: list[Entry]) -> list[Entry]:
    first_us = round(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()) * 1_000_000
    return [entry._replace(at_us=first_us + n) for n, entry in enumerate(entries)]


def _kg(entries: list[Entry]) -> HeldFigure:
    return next(one for one in _held(entries).figures if one.what == "kg_per_plant")


@pytest.mark.parametrize("seed", range(3))
def test_of_a_journal_begun_in_mid_season_the_same_days_are_held(seed: int) -> None:
    """Its picks before that are in no journal: what was foreseen of a whole season was held against a part of it.
    Picks of a whole season that were read in afterwards are a whole season's."""
    entries, begun = lived(seed), date(2026, 8, 10)
    since = [one for one in entries if one.kind in ("holding_set", "planted") or one.day >= begun]
    whole, part = _kg(entries), _kg(_written_from(begun, since))
    weighed = sum(pick.picked.kg or 0.0 for pick in on(since, END)[1].picks) / 12
    assert part.came == pytest.approx(weighed)
    assert part.foreseen.mid < 0.9 * whole.foreseen.mid
    assert part.foreseen.low <= weighed <= part.foreseen.high
    assert part.learned == pytest.approx(weighed, rel=0.25)
    afterwards = _kg(_written_from(date(2026, 11, 15), entries))
    assert afterwards.foreseen.mid == pytest.approx(whole.foreseen.mid, rel=0.1)


def test_what_was_foreseen_knows_nothing_of_what_came() -> None:
    """Whatever was weighed afterwards, the plan of before it is the same; what is learned is not."""
    entries = lived(2)
    twice = [
        one._replace(body=to_json(Picked("v", kg=2 * json.loads(one.body)["kg"]))) if one.kind == "picked" else one
        for one in entries
    ]
    once, more = _held(entries), _held(twice)
    assert [one.foreseen for one in once.figures] == [one.foreseen for one in more.figures]
    kg, more_kg = once.figures[0], more.figures[0]
    assert more_kg.came == pytest.approx(2 * (kg.came or 0.0))
    assert more_kg.learned > 1.5 * kg.learned


def test_a_plan_that_was_adopted_is_the_one_held() -> None:
    """By its own days, and by the figures it showed when it was taken."""
    text = HoldingSet(house())
    begun = [Entry("h", "h", "here", WINTER, 1, "", "", "holding_set", 1, to_json(text))]
    planned = plan(*on(begun, WINTER), WISHES)
    taken = adoption(planned, "as-planted")
    adopted = Entry("p", "p", "here", WINTER, 2, "", "", "plan_adopted", 1, to_json(taken))
    held = _held([*begun, adopted, *lived(3)])
    assert (held.name, held.known_on) == ("as-planted", WINTER)
    shown = planned.plans[0]
    kg = next(one for one in held.figures if one.what == "kg_per_plant")
    assert kg.foreseen.mid == pytest.approx(sum(crop.kg.mid for crop in shown.crops) / 12, rel=1e-6)
    assert next(one for one in held.figures if one.what == "hours").foreseen == shown.hours.band
    assert {one.what: one.foreseen for one in held.days}["planted"] == taken.plant
    assert "by plan as-planted, adopted on 2026-02-01" in plain_text(held_page(held))


def test_before_any_planting_there_is_nothing_to_hold() -> None:
    begun = [Entry("h", "h", "here", WINTER, 1, "", "", "holding_set", 1, to_json(HoldingSet(house())))]
    with pytest.raises(UserError, match="Nothing was planted yet"):
        _held(begun, WINTER)


def test_nothing_that_did_not_come_has_a_column() -> None:
    entries = [one for one in lived(1) if one.kind in ("holding_set", "planted")]
    held = _held(entries, date(2026, 6, 1))
    assert all(one.came is None for one in held.figures)
    page = held_page(held)
    assert all("came" not in {column.head for column in section.columns} for section in page.sections[:-1])
    assert "Nothing was weighed or measured yet." in plain_text(page)


def test_a_year_on_from_a_leap_day() -> None:
    assert year_on(date(2028, 2, 29)) == date(2029, 2, 28)
    assert year_on(date(2027, 4, 15)) == date(2028, 4, 15)


def test_the_command_on_the_demo(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at = tmp_path / "demo.db"
    make_demo(at)
    assert main(["plan", "--look-back", "--at", str(at), "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert {one["what"] for one in said["figures"]} == {"kg_per_plant", "m_per_week", "stem_m", "hours"}
    assert [one["what"] for one in said["days"]] == ["planted", "first pick", "tips out", "last pick"]
    assert main(["plan", "--look-back", "--adopt", "wider", "--at", str(at)]) == 1
    assert "two answers" in capsys.readouterr().err


def test_a_cultivar_that_is_not_in_the_holding_and_came_later_is_held_too() -> None:
    """Planted a week after the first: what was known on the day of the first knows nothing of it."""
    entries = lived(1)
    first = next(entry for entry in entries if entry.kind == "planted")
    later = PLANTED + timedelta(days=7)
    guest = first._replace(id="guest", act="guest", day=later, body=to_json(Planted("guest")))
    known = [*(entry for entry in entries if entry.day <= PLANTED and entry is not first), guest]
    rest = [entry for entry in entries if entry.day > PLANTED and entry.about not in (first.about, "")]
    held_entries, season = on([*known, *rest], END)
    plan_held(held_entries, season)
    assert kg_foreseen_by_week(held_entries, season)["guest"]
