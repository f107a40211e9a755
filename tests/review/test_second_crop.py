"""A second crop is a profile and nothing else: its row goes through round, loads, forecasts, review and plan."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import pytest

import tunneltui
from tests.loads import made
from tunneltui.chores.morning import plan_morning
from tunneltui.cli import main
from tunneltui.growth.defaults import traits
from tunneltui.growth.response import truss_rate
from tunneltui.growth.ripening import SizePace, rate_terms
from tunneltui.holding.check import checked_holding
from tunneltui.holding.crops import CROPS, USUAL
from tunneltui.holding.model import Cultivar, Holding, Training, Work
from tunneltui.holding.toml import to_toml
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.store.journal_file import JournalFile
from tunneltui.values import replace

PLANTED, DAY = date(2026, 5, 20), date(2026, 7, 16)
CORE = ("holding", "journal", "season", "growth", "loads", "care", "chores", "review", "draw")
NAMES = re.compile("|".join((*CROPS, "lycopersic", "cucumis")), re.IGNORECASE)


def test_no_crop_is_named_in_the_core_but_in_the_profiles() -> None:
    root = Path(tunneltui.__file__).parent
    files = [file for folder in CORE for file in (root / folder).rglob("*.py")]
    named = {str(file.relative_to(root)) for file in files if NAMES.search(file.read_text(encoding="utf-8"))}
    assert len(files) > 100
    assert named == {"holding/crops.py"}


def stands(training: Training = "laid_down") -> Holding:
    """Row 1 of the usual crop, row 2 of the second one."""
    one, two = made.row(1), made.row(2)
    holding = made.holding(
        replace(one, places=tuple(replace(p, cultivar="round") for p in one.places)),
        replace(two, training=training, places=tuple(replace(p, cultivar="green") for p in two.places)),
    )
    cultivars = (Cultivar("round"), Cultivar("green", fruit="long", crop="cucumber"))
    return replace(holding, latitude_deg=51.0, cultivars=cultivars, work=Work(pick_days=("Mon", "Thu")))


def written(holding: Holding) -> list[tuple[date, Draft]]:
    drafts = [(date(2026, 1, 1), draft("", HoldingSet(to_toml(holding))))]
    for tunnel in holding.tunnels:
        for row in tunnel.rows:
            drafts += [(PLANTED, draft(place.name, Planted(place.cultivar))) for place in row.places]
    picked = [PLANTED + timedelta(days=days) for days in (40, 43, 47, 50, 54)]
    return [*drafts, *((day, draft("W2", Picked("green", kg=6.0))) for day in picked)]


def entries(holding: Holding) -> list[Entry]:
    return [
        Entry(f"e{n:03}", f"a{n:03}", "test", day, n, "me", d.about, d.kind, 1, d.body)
        for n, (day, d) in enumerate(written(holding))
    ]


def test_its_pace_from_flower_to_picking() -> None:
    """Twelve days from flowering to harvest under heated glass (Trans. CSAE 21(1), 2005, abstract; how warm it
    was is not given, 20 to 24 degC taken). The profile's own figures are from memory: half a flower a day at
    20 degC, none at 10."""
    crop = CROPS["cucumber"]
    assert crop.days_to_pick is not None
    pace = SizePace(crop.days_to_pick, crop.no_growth_c)
    cool, warm = (1 / rate_terms(c, pace)[0] for c in (20.0, 24.0))
    assert warm <= 12 <= cool
    assert rate_terms(8.0, pace) == (0.0, 0.0)
    assert truss_rate(20, crop.flowering_intercept, crop.flowering_slope) == pytest.approx(0.5, abs=0.001)
    assert truss_rate(10, crop.flowering_intercept, crop.flowering_slope) == pytest.approx(0.0, abs=0.001)


def test_its_defaults_are_called_from_memory_and_are_the_cultivars_to_edit() -> None:
    given = traits(Cultivar("green", crop="cucumber"))
    assert (given.fruit_g, given.days_to_pick) == (350.0, 14.0)
    assert "from memory" in given.sources["truss_rate_intercept"]
    own = traits(Cultivar("green", crop="cucumber", fruit_g=200.0, days_to_pick=11.0))
    assert (own.fruit_g, own.days_to_pick) == (200.0, 11.0)
    assert traits(Cultivar("round")).crop is USUAL
    assert traits(Cultivar("round", days_to_pick=11.0)).days_to_pick is None


@pytest.mark.parametrize(
    ("holding", "says"),
    [
        (stands("tiered"), "too brittle for tiers"),
        (replace(stands(), cultivars=(Cultivar("round"), Cultivar("green", crop="cucumbr"))), "unknown crop"),
        (replace(stands(), cultivars=(Cultivar("round", fruit="long"), Cultivar("green"))), "no kind of"),
    ],
)
def test_what_cannot_be_is_a_fault_of_the_holding(holding: Holding, says: str) -> None:
    with pytest.raises(UserError, match=says):
        checked_holding(to_toml(holding), "holding.toml")


def test_its_row_is_picked_by_size_lowered_wider_and_never_tiered() -> None:
    """Planted in a row of tiers by mistake, its stems are laid down all the same."""
    morning = plan_morning(entries(stands("tiered")), DAY)
    mine = morning.season.leaders_of_row("W2")
    assert len(mine) == 12
    assert {leader.training for leader in mine} == {"laid_down"}
    assert {leader.training for leader in morning.season.leaders_of_row("W1")} == {"tiered"}
    picks = {chore.row: chore for chore in morning.chores if chore.kind == "pick"}
    assert "By size: from about 350 g on" in picks["W2"].why
    # Nobody who grows them calls them trusses: common practice.
    assert "truss" in picks["W1"].why
    assert "truss" not in picks["W2"].why
    assert "coarse" in picks["W2"].waiting
    stem = morning.outlook.stem(mine[0].id, DAY)
    other = morning.outlook.stem(morning.season.leaders_of_row("W1")[0].id, DAY)
    assert stem.length_m.mid > other.length_m.mid
    assert stem.flowering_truss > 2 * other.flowering_truss
    hanging = [truss for truss in stem.trusses if truss.z < 1]
    assert all((truss.ripe_on - DAY).days <= 21 for truss in hanging if truss.ripe_on is not None)
    assert not [c for c in morning.chores if c.kind in ("string", "clip_to_string") and c.row == "W2"]
    shaken = [c for c in morning.chores if c.kind == "pollinate"]
    assert not [leader for chore in shaken for leader in chore.leaders if leader in {one.id for one in mine}]


def test_it_goes_through_every_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    at = tmp_path / "two.db"
    with JournalFile.open(at, create=True) as journal:
        journal.append_days(written(stands()))
    on = ["--at", str(at), "--on", DAY.isoformat(), "--json"]
    said = {}
    for command in ("round", "loads", "outlook", "review", "plan", "backtest"):
        assert main([command, *on]) == 0, command
        said[command] = json.loads(capsys.readouterr().out)
    picks = [one for one in said["outlook"]["picks"] if one["cultivar"] == "green"]
    # Twelve plants gave 6 kg every three or four days; the next picks are of that order.
    assert picks
    assert 3 <= picks[0]["mid_kg"] <= 12
    assert any(row["row"] == "W2" and row["hanging_kg"] > 1 for row in said["loads"]["rows"])
    assert "green" in json.dumps(said["review"])
    for plan in said["plan"]["plans"]:
        stands_at = {place["place"]: place["cultivar"] for place in plan["places"]}
        assert {c for p, c in stands_at.items() if p.startswith("W2")} <= {"green", None}, plan["name"]
        assert all(fit["loop"] != "W2" for fit in plan["loops"])
