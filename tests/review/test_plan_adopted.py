"""A plan taken: what is written, its days as chores, seeds by batch, its loads before anything is planted."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

from tests.loads import made
from tunneltui.chores.batches import HARDEN_AT_DAYS, batches, bench_weeks
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.cli import main
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Cultivar, Holding, Work
from tunneltui.holding.setting_out import as_it_is, set_out
from tunneltui.holding.toml import to_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_standing import HoldingSet, PlanAdopted, Sown
from tunneltui.pages.plan import conflict_words
from tunneltui.review.plan import SeasonPlans, plan
from tunneltui.review.plan_adopted import adoption, adoption_drafts, expected_loads
from tunneltui.review.plan_loads import look_days, planned_loads, stems_on
from tunneltui.review.plan_records import cultivar_records
from tunneltui.review.plan_season import coming
from tunneltui.review.plan_values import Wishes
from tunneltui.season.adopted import holding_of
from tunneltui.season.fold import fold
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

WINTER = date(2027, 1, 10)


def stands(bench_pots: int | None = None) -> Holding:
    """One row of twelve places, a cherry line at every other one."""
    row = made.row()
    places = tuple(replace(p, cultivar=("round", "small")[i % 2]) for i, p in enumerate(row.places))
    holding = made.holding(replace(row, places=places))
    cultivars = (Cultivar("round", stem_m_per_week=0.17), Cultivar("small", fruit="cherry", stem_m_per_week=0.11))
    return replace(holding, latitude_deg=51.0, cultivars=cultivars, work=Work(bench_pots=bench_pots))


def entries(drafts: Sequence[Draft], day: date, act: str, first: int = 0) -> list[Entry]:
    return [
        Entry(d.id or f"{act}-{n}", act, "test", day, first + n, "me", d.about, d.kind, 1, d.body)
        for n, d in enumerate(drafts)
    ]


@cache
def begun(bench_pots: int | None = None) -> tuple[Entry, ...]:
    return tuple(entries([draft("", HoldingSet(to_toml(stands(bench_pots))))], date(2027, 1, 1), "begun"))


@cache
def worked_out(bench_pots: int | None = None) -> SeasonPlans:
    return plan(begun(bench_pots), fold(begun(bench_pots), WINTER))


@cache
def taken(bench_pots: int | None = None) -> tuple[Entry, ...]:
    season = fold(begun(bench_pots), WINTER)
    drafts = adoption_drafts(season, adoption(worked_out(bench_pots), "by-vigour"))
    return (*begun(bench_pots), *entries(drafts, WINTER, "taken"))


def asked(morning: Morning, kind: str) -> list[Chore]:
    return [c for c in morning.chores if c.kind == kind]


def done(known: Sequence[Entry], morning: Morning, *chores: Chore) -> list[Entry]:
    drafts = [d for chore in chores for d in chore.writes]
    return [*known, *entries(drafts, morning.day, f"done {morning.day} {len(known)}", 1000)]


def test_in_winter_the_coming_spring_is_planned_for() -> None:
    found = worked_out().dates
    assert found.plant.year == 2027
    assert found.sow > WINTER


def test_an_empty_house_is_set_out_at_once_and_a_standing_one_by_a_chore() -> None:
    season = fold(taken(), WINTER)
    body = season.plans[-1][1]
    assert season.holding == holding_of(stands(), body)
    stands_now = [s.place.cultivar for s in season.layout.places.values()]
    assert tuple(stands_now) == body.cultivars
    assert stands_now != [s.place.cultivar for s in layout(stands()).places.values()]
    assert sorted(stands_now) == ["round"] * 6 + ["small"] * 6
    # Where something stands only the plan is written; cleared, the chore writes the rest and is silent then.
    only = [entry for entry in taken() if entry.act != "taken" or entry.kind == "plan_adopted"]
    morning = plan_morning(only, WINTER)
    (chore,) = asked(morning, "set_out")
    after = plan_morning(done(only, morning, chore), WINTER)
    assert after.season.holding == season.holding
    assert not asked(after, "set_out")


def test_adopted_again_as_it_is_writes_nothing() -> None:
    season = fold(taken(), WINTER)
    same = adoption(worked_out(), "by-vigour")
    assert adoption_drafts(season, same) == []
    assert "plan_adopted" in {d.kind for d in adoption_drafts(season, replace(same, name="mine"))}


def test_a_row_is_heaviest_on_its_own_day() -> None:
    """``loads --planned`` of the fullest day names for each row the day on which most hangs in it."""
    season = fold(taken(), WINTER)
    body = season.plans[-1][1]
    (row,) = expected_loads(taken(), season, body).rows
    planned = coming(
        season, dict(zip(body.places, body.cultivars, strict=True)), cultivar_records(taken(), season), body.plant
    )
    assert row.peak_day is not None
    on_that_day = planned_loads(planned.season, stems_on(planned, row.peak_day), row.peak_day)
    assert row.peak_kg == pytest.approx(on_that_day.rows[0].hanging_kg)


def test_what_was_edited_since_stays_when_the_holding_is_set_out() -> None:
    edited = replace(stands(), notes=("a new door",))
    assert holding_of(edited, adoption(worked_out(), "by-vigour")).notes == ("a new door",)
    assert set_out(edited, as_it_is(edited)) == edited


def test_its_days_come_as_chores_and_go_when_done() -> None:
    """Sown six weeks before planting; potted, hardened, planted by its trays; wire, strings and hooks three weeks
    before (common practice, no source)."""
    known: Sequence[Entry] = taken()
    plants_on = worked_out().dates.plant
    assert not asked(plan_morning(known, plants_on - timedelta(days=60)), "sow")
    day, seen = plants_on - timedelta(days=45), []
    while day <= plants_on + timedelta(days=14):
        morning = plan_morning(known, day)
        kinds = ("sow", "raise", "plant_out", "look_wire", "hang_strings", "load_hooks")
        due = [c for kind in kinds for c in asked(morning, kind) if c.earliest <= day]
        if due:
            seen += [(c.kind, day) for c in due]
            known = done(known, morning, *due)
            after = plan_morning(known, day)
            assert not {c.id for c in after.chores} & {c.id for c in due}
        day += timedelta(days=1)
    first = dict(reversed(seen))
    assert first["sow"] == worked_out().dates.sow
    assert [kind for kind, _ in seen].count("sow") == 2
    assert [kind for kind, _ in seen].count("raise") == 6  # two trays: came up, potted on, hardened
    assert first["look_wire"] == first["hang_strings"] == first["load_hooks"] == plants_on - timedelta(days=21)
    assert plants_on <= first["plant_out"] <= plants_on + timedelta(days=3)
    season = fold(known, day)
    assert (
        tuple(leader.cultivar for leader in season.leaders.values())
        == adoption(worked_out(), "by-vigour").cultivars
    )


def test_plants_that_were_never_sown_are_bought_and_planted() -> None:
    """From the planting day on, row by row and cultivar by cultivar; what was sown waits for its tray."""
    plants_on = worked_out().dates.plant
    assert not asked(plan_morning(taken(), plants_on - timedelta(days=1)), "plant_out")
    morning = plan_morning(taken(), plants_on)
    assert sorted(c.proposal.split(" on ")[0] for c in asked(morning, "plant_out")) == [
        "plant 6 bought round",
        "plant 6 bought small",
    ]
    after = plan_morning(done(taken(), morning, *asked(morning, "plant_out")), plants_on)
    assert not asked(after, "plant_out")
    assert len(after.season.leaders) == 12
    sown = entries([draft("", Sown("T1", "small", 8))], plants_on - timedelta(days=45), "sown", 500)
    (chore,) = asked(plan_morning([*taken(), *sown], plants_on), "plant_out")
    assert "bought round" in chore.proposal


def test_seeds_by_batch_and_the_bench_moves_the_sowing_day() -> None:
    """Six plants and a fifth are 8 seeds each (7.2 rounded up). Ten pots' room: 8 and 2, then 6, thirteen days on,
    when the first are put out to harden. Arithmetic."""
    plant = date(2027, 5, 6)
    made_ready = batches({"a": 6, "b": 6}, plant, 10)
    assert [(b.cultivar, b.seeds, b.plants) for b in made_ready] == [("a", 8, 6), ("b", 2, 2), ("b", 6, 4)]
    assert [(b.sow - made_ready[0].sow).days for b in made_ready] == [0, 0, 13]
    assert made_ready[2].pot_on == made_ready[0].harden
    assert all((b.harden - b.sow).days == HARDEN_AT_DAYS for b in made_ready)
    assert max(week.pots for week in bench_weeks(made_ready, 10)) <= 10
    assert [b.seeds for b in batches({"a": 6, "b": 6}, plant, None)] == [8, 8]
    assert sum(b.plants for b in batches({"a": 25}, plant, 7)) == 25
    # The chores follow the bench as the grower gave it.
    late = plan_morning(taken(10), worked_out(10).dates.sow + timedelta(days=5))
    assert [(c.about, (c.earliest - worked_out(10).dates.sow).days) for c in asked(late, "sow")] == [
        ("small 2027 1", 0),
        ("round 2027 1", 0),
        ("round 2027 2", 13),
    ]


def test_a_plan_adopted_anew_after_sowing_asks_for_no_seed_twice() -> None:
    sow = worked_out().dates.sow
    morning = plan_morning(taken(), sow)
    known = done(taken(), morning, *asked(morning, "sow"))
    again = adoption(worked_out(), "by-vigour")
    known = [*known, *entries([draft("", again)], sow + timedelta(days=1), "again", 2000)]
    assert not asked(plan_morning(known, sow + timedelta(days=2)), "sow")


def test_loads_before_planting_are_those_of_the_same_code() -> None:
    season = fold(taken(), WINTER)
    body = season.plans[-1][1]
    expected = expected_loads(taken(), season, body)
    planned = coming(
        season, dict(zip(body.places, body.cultivars, strict=True)), cultivar_records(taken(), season), body.plant
    )
    looks = [
        planned_loads(planned.season, stems_on(planned, day), day)
        for day in look_days(body.plant, planned.last_day)
    ]
    strings = {look.day: max(line.mid_n for line in look.lines if "/" in line.id) for look in looks}
    assert expected.day == max(strings, key=lambda day: strings[day])
    assert max(line.mid_n for line in expected.lines if "/" in line.id) == pytest.approx(strings[expected.day])
    plans = {one.name: one.peak for one in worked_out().plans}
    assert plans["by-vigour"] is not None
    assert strings[expected.day] == pytest.approx(plans["by-vigour"].string_n.mid, rel=1e-6)


def test_by_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at = tmp_path / "winter.db"
    with JournalFile.open(at, create=True) as journal:
        journal.append_days([(date(2026, 1, 1), draft("", HoldingSet(to_toml(stands()))))])
    on = ["--at", str(at), "--on", "2026-02-01"]
    assert main(["loads", "--planned", *on]) == 1
    assert "No plan is adopted" in capsys.readouterr().err
    assert main(["plan", *on, "--rows", "single", "--end", "2026-10-01", "--json"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["dates"]["last_pick"] == "2026-10-01"
    assert not said["dates"]["until_frost"]
    assert main(["plan", *on]) == 0
    assert "gives up" in capsys.readouterr().out
    for name in ("no such", ""):
        assert main(["plan", *on, "--adopt", name]) == 1
        assert "There are: as-planted" in capsys.readouterr().err
    assert main(["plan", *on, "--adopt", "by-vigour", "--end", "2026-10-01"]) == 0
    assert "set out by it now" in capsys.readouterr().out
    assert main(["holding", "show", *on]) == 0
    assert "bed_wanted_back = 2026-10-01" in capsys.readouterr().out
    assert main(["loads", *on, "--json"]) == 0
    loads = json.loads(capsys.readouterr().out)
    assert loads["day"] > "2026-06"
    assert loads["lines"]
    assert loads["rows"][0]["hanging_kg"] > 0
    assert main(["loads", *on]) == 0
    assert "Nothing of it stands yet" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("wishes", "says"),
    [
        (Wishes(plant=date(2027, 1, 2)), "gone by"),
        (Wishes(end=date(2027, 4, 1)), "comes before planting"),
        (Wishes(plant=date(2029, 5, 1)), "more than two years off"),
        (Wishes(plant=date.max), "more than two years off"),
        (Wishes(end=date(2029, 5, 1)), "more than a year after planting"),
        (Wishes(end=date.max), "more than a year after planting"),
    ],
)
def test_days_that_cannot_be_are_refused(wishes: Wishes, says: str) -> None:
    with pytest.raises(UserError, match=says):
        plan(begun(), fold(begun(), WINTER), wishes)


@pytest.mark.parametrize(
    ("wishes", "says"),
    [
        (Wishes(plant=date(2027, 3, 1)), "the soil is about"),
        (Wishes(plant=date(2027, 2, 1)), "Sowing on 2026-12-21 has gone by"),
        (Wishes(end=date(2027, 12, 20)), "frost is likely before it"),
        (Wishes(end=date(2028, 4, 30)), "frost is likely before it"),
        (Wishes(end=date(2027, 6, 10)), "choose a later end"),
    ],
)
def test_days_that_cannot_be_kept_are_named(wishes: Wishes, says: str) -> None:
    conflicts = plan(begun(), fold(begun(), WINTER), wishes).date_conflicts
    assert any(says in conflict_words(one) for one in conflicts)


def test_a_plan_with_lists_of_two_lengths_is_set_aside() -> None:
    broken = PlanAdopted("x", WINTER, WINTER, ("W1-01",), (), (), (), (), (), 0.7, 0.17)
    season = fold([*begun(), *entries([draft("", broken)], WINTER, "x")], WINTER)
    assert not season.plans
    assert "not of one length" in season.set_aside[0].why
