"""Yields, curves and hours from records built by hand."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tunneltui.cells import FT_IN_M, LB_IN_KG
from tunneltui.cli import main
from tunneltui.demo.make import make_demo
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Bed, Cultivar, Holding, Place, Row, Tunnel
from tunneltui.pages.season import YIELD_COLUMNS
from tunneltui.review.labour import labour, minutes_per_kg, yardstick_hours
from tunneltui.review.record import HoursRecord, PickRecord, PlantRecord, SeasonRecord, Site, within
from tunneltui.review.seasons import curves
from tunneltui.review.yields import worth, yields
from tunneltui.values import replace

SITE = Site("T", "T1", "long bed", "T1-01")


def _holding() -> Holding:
    row = Row(1, 2.0, 5.0, bed="long bed", places=(Place("T1-01", 0.5), Place("T1-02", 1.0)))
    return Holding(
        "a trial", tunnels=(Tunnel("T", "tunnel", 5.0, 3.0, beds=(Bed("long bed", area_m2=7.5),), rows=(row,)),)
    )


def _record(picks: list[PickRecord], losses: list[PickRecord] | None = None, plants: int = 18) -> SeasonRecord:
    stood = tuple(PlantRecord(f"p{i}", SITE, "beef 3", date(2026, 5, 1), None) for i in range(plants))
    return SeasonRecord(layout(_holding()), stood, tuple(picks), tuple(losses or ()), ())


def _pick(day: date, kg: float | None, cultivar: str = "beef 3", count: int | None = None) -> PickRecord:
    return PickRecord(day, SITE, cultivar, kg, count, "")


def test_ninety_kg_from_seven_and_a_half_square_metres() -> None:
    """Yield arithmetic: 90 kg / 7.5 m2 = 12.0 kg/m2 = 2.458 lb/ft2 (0.45359237 kg to the pound, 0.3048 m to the
    foot, both exact by definition)."""
    season = _record([_pick(date(2026, 7, 20), 40.0), _pick(date(2026, 9, 3), 50.0)])
    bed = next(line for line in yields(season, "bed") if line.group == "long bed")
    assert bed.kg_per_m2 is not None
    assert bed.kg_per_m2 == pytest.approx(12.0)
    assert bed.kg_per_m2 * FT_IN_M**2 / LB_IN_KG == pytest.approx(2.458, abs=0.0005)
    assert pytest.approx(0.3048**2 / LB_IN_KG, rel=1e-5) == FT_IN_M**2 / LB_IN_KG
    assert bed.kg_per_plant == pytest.approx(5.0)
    assert (bed.first_pick, bed.last_pick, bed.days) == (date(2026, 7, 20), date(2026, 9, 3), 46)


def test_high_tunnel_pounds_per_plant() -> None:
    """18.7 lb a plant (north central United States high tunnels, 2014 to 2016) are 8.482 kg."""
    assert pytest.approx(8.482, abs=0.0005) == 18.7 * LB_IN_KG


def test_no_picks_give_no_made_up_number() -> None:
    empty = yields(_record([], plants=0), "cultivar")
    assert empty == []
    planted_only = yields(_record([]), "cultivar")[0]
    assert (planted_only.kg, planted_only.count, planted_only.first_pick, planted_only.days) == (
        0.0,
        None,
        None,
        0,
    )
    unplaced = yields(_record([PickRecord(date(2026, 8, 1), Site(), "beef 3", 2.0, None, "")]), "row")
    assert [line.group for line in unplaced] == ["", "T1"]
    assert unplaced[0].kg_per_m2 is None
    assert unplaced[0].kg_per_plant is None


def test_value_is_at_own_prices_only() -> None:
    """4 kg and 2.5 kg at 6.20 are 40.30; what has no price stands apart, and no price at all gives no value."""
    holding = replace(_holding(), cultivars=(Cultivar("beef 3", price_per_kg=6.2), Cultivar("cherry 1")))
    day = date(2026, 8, 8)
    picks = (_pick(day, 4.0), _pick(day, 2.5), _pick(day, 3.0, "cherry 1"), _pick(day, None, count=9))
    money, without = worth(replace(_record([]), layout=layout(holding)), picks)
    assert money == pytest.approx(40.30)
    assert without == 3.0
    assert worth(_record([]), picks) == (None, 9.5)


def test_losses_stand_apart_from_yields() -> None:
    lost = PickRecord(date(2026, 8, 9), SITE, "beef 3", 1.5, None, "", "split")
    line = yields(_record([_pick(date(2026, 8, 8), 4.0)], [lost]), "cultivar")[0]
    assert (line.kg, line.lost_kg) == (4.0, 1.5)


def test_span_takes_both_ends() -> None:
    days = [date(2026, 8, d) for d in (1, 10, 20)]
    lines = yields(within(_record([_pick(d, 1.0) for d in days]), days[1], days[2]), "cultivar")
    assert lines[0].kg == 2.0


def test_weeks_are_iso_weeks_across_the_turn_of_the_year() -> None:
    """ISO 8601: 2026-12-31 and 2027-01-01 both lie in 2026-W53."""
    season = _record([_pick(date(2026, 12, 31), 1.0), _pick(date(2027, 1, 1), 2.0), _pick(date(2027, 1, 4), 4.0)])
    assert curves(season) == {2026: {53: 3.0}, 2027: {1: 4.0}}
    assert curves(season, lambda pick: pick.cultivar == "cherry 1") == {}


def test_hours_by_chore_longest_first() -> None:
    hours = (
        HoursRecord(date(2026, 8, 1), "lower", 40.0, 20),
        HoursRecord(date(2026, 8, 8), "lower", 20.0, 10),
        HoursRecord(date(2026, 8, 8), "pick", 90.0, None),
    )
    season = SeasonRecord(layout(_holding()), (), (_pick(date(2026, 8, 8), 30.0),), (), hours)
    first, second = labour(season)
    assert (first.chore, first.minutes_per_plant) == ("pick", None)
    assert (second.chore, second.minutes, second.times, second.minutes_per_plant) == ("lower", 60.0, 2, 2.0)
    assert minutes_per_kg(season) == 5.0
    assert minutes_per_kg(_record([])) is None


def test_yardstick_of_labour() -> None:
    """1000 m2 and 9000 kg: 270 + 90 = 360 h (Perez et al. 2003 as quoted by Vanthoor 2011)."""
    plant_work, picking = yardstick_hours(1000, 9000)
    assert plant_work == pytest.approx(270)
    assert picking == pytest.approx(90)


def _two_tunnels(other_bed_m2: float | None) -> SeasonRecord:
    one = _holding().tunnels[0]
    row = replace(one.rows[0], bed="second bed", places=(Place("U1-01", 0.5),))
    other = Tunnel("U", "tunnel", 6.0, 4.0, beds=(Bed("second bed", area_m2=other_bed_m2),), rows=(row,))
    picks = [_pick(date(2026, 7, 20), 30.0), _pick(date(2026, 7, 21), 12.0)]
    picks[1] = replace(picks[1], site=Site("U", "U1", "second bed"))
    return replace(_record(picks), layout=layout(Holding("a trial", tunnels=(one, other))))


def test_two_tunnels_are_told_by_the_same_ground() -> None:
    """30 kg on 7.5 m2 of bed and 5 x 3 m of floor, 12 kg on 4 m2 and 6 x 4 m: arithmetic. Where one bed's size is
    not known, both are told by their floor only, and each figure names its ground."""
    known = {line.group: line for line in yields(_two_tunnels(4.0), "tunnel")}
    assert (known["T"].kg_per_m2, known["U"].kg_per_m2) == (4.0, 3.0)
    assert (known["T"].kg_per_floor_m2, known["U"].kg_per_floor_m2) == (2.0, 0.5)
    unknown = {line.group: line for line in yields(_two_tunnels(None), "tunnel")}
    assert unknown["T"].kg_per_m2 is unknown["U"].kg_per_m2 is None
    assert unknown["T"].kg_per_floor_m2 == 2.0
    says = {column.head.head: column.of(known["T"]) for column in YIELD_COLUMNS}
    assert (says["bed"], says["floor"]) == ("4.0 kg/m2", "2.0 kg/m2")


def test_a_row_is_told_by_its_share_of_the_bed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make_demo(tmp_path / "demo.db")
    assert main(["--at", str(tmp_path / "demo.db"), "review", "--by", "row"]) == 0
    assert "share of bed kg/m2" in capsys.readouterr().out
