"""Real measurements become a journal that a round and an outlook speak from."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.door import Door
from tests.growth.open_data import folder, needs_open_data

SHEET = """Date,Label,Stem length,Crop height,Stem diameter,Number of flowering trusses
2026-06-01,1,120,120,9,5
2026-06-01,2,118,118,9,5
2026-06-08,1,30,150,9,1
2026-06-08,2,29,147,0.1,1
2026-06-15,1,27,177,9,1
2026-06-15,2,28,175,9,2
"""


@pytest.fixture
def trial(tmp_path: Path) -> Door:
    """On a journal that is not there yet."""
    return Door(tmp_path / "home", tmp_path / "trial.db")


def write(tmp_path: Path, text: str, name: str = "weekly.csv") -> str:
    file = tmp_path / name
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_measurements_into_an_empty_journal_say_what_was_assumed(trial: Door, tmp_path: Path) -> None:
    said = trial.says(
        "measurements", write(tmp_path, SHEET), "--wire", "2.4", "--fruit", "cherry", "--zone", "Europe/Paris"
    )
    for part in (
        "length     Stem length",
        "increments",
        "this was assumed",
        "top wire at 2.4 m, stems laid down",
        "fruit kind cherry",
        "Europe/Paris",
        "6 new, 0 known already, 0 changed",
        "line 5: Stem diameter 0.1 mm cannot be a stem",
    ):
        assert part in said
    holding = trial.says("holding", "show")
    assert "assumed = true" in holding
    assert "wire_height_m = 2.4" in holding
    entries = trial.json("journal", "show")
    assert [one["kind"] for one in entries] == ["holding_set", "planted", "planted", *["measured"] * 6]
    assert {one["about"] for one in entries[1:]} == {"T1-01", "T1-02"}
    assert len({one["act"] for one in entries}) == 2
    assert len(trial.json("outlook", "--on", "2026-06-15")["leaders"]) == 2


def test_a_second_import_adds_nothing_and_a_grown_sheet_its_new_rows(trial: Door, tmp_path: Path) -> None:
    sheet = write(tmp_path, SHEET)
    trial.says("measurements", sheet)
    before = trial.json("journal", "show")
    assert trial.json("measurements", sheet)["new"] == 0
    assert trial.json("journal", "show") == before
    grown = write(tmp_path, SHEET + "2026-06-22,1,26,203,9,1\n2026-06-22,3,140,140,9,6\n")
    said = trial.json("measurements", grown)
    assert (said["new"], said["same"]) == (2, 6)
    assert trial.json("journal", "show")[: len(before)] == before
    assert {one["about"] for one in trial.json("journal", "show")} == {"", "T1-01", "T1-02", "T1-03"}


def test_a_changed_row_is_offered_and_taken_when_asked(trial: Door, tmp_path: Path) -> None:
    trial.says("measurements", write(tmp_path, SHEET))
    before = trial.json("journal", "show")
    changed = write(tmp_path, SHEET.replace("2026-06-15,1,27,177,9,1", "2026-06-15,1,25,175,9,1"))
    said = trial.json("measurements", changed)
    assert (said["new"], said["same"], said["replaced"]) == (0, 5, False)
    assert said["changed"] == [{"line": 6, "day": "2026-06-15", "about": "T1-01"}]
    assert trial.json("journal", "show") == before
    trial.says("measurements", changed, "--replace")
    after = [one for one in trial.json("journal", "show") if one["kind"] == "measured"]
    assert len(after) == 6
    assert [one["body"]["growth_m"] for one in after if one["day"] == "2026-06-15"] == [0.25, 0.28]
    assert trial.json("measurements", changed)["changed"] == []


def test_columns_and_meaning_may_be_said(trial: Door, tmp_path: Path) -> None:
    sheet = write(tmp_path, "When;Which;Up (m)\n01.06.2026;7;1,20\n08.06.2026;7;1,50\n")
    assert "column" in trial.refuses("measurements", sheet)
    said = trial.says(
        "measurements",
        sheet,
        "--map",
        "day=When",
        "--map",
        "label=Which",
        "--map",
        "length=Up (m)",
        "--as",
        "totals",
    )
    assert "2 new" in said
    lengths = [one["body"]["length_m"] for one in trial.json("journal", "show") if one["kind"] == "measured"]
    assert lengths == [1.2, 1.5]


def test_readings_in_a_holding_of_ones_own(demo: Door, tmp_path: Path) -> None:
    sheet = "Date,Label,Growth (cm)\n2026-08-18,W1-07,24\n2026-08-18,W2-03a,22\n2026-08-18,W9-01,22\n"
    said = demo.json("measurements", write(tmp_path, sheet), "--as", "increments")
    assert said["new"] == 2
    assert [one["line"] for one in said["refused"]] == [4]
    assert "Nothing stands under the name 'W9-01'" in said["refused"][0]["why"]
    last = [one for one in demo.json("journal", "show", "--about", "W1-07") if one["day"] == "2026-08-18"]
    assert {"growth_m": 0.24}.items() <= last[-1]["body"].items()


def test_air_and_picks_into_the_demo(demo: Door, tmp_path: Path) -> None:
    air = "Time,T Air,RH\n" + "".join(f"2026-08-20 {hour:02}:00,{15 + hour % 12},70\n" for hour in range(24))
    said = demo.json("air", write(tmp_path, air, "air.csv"), "--tunnel", "w")
    assert (said["new"], said["columns"]) == (1, {"time": "Time", "temp": "T Air", "rh": "RH"})
    shown = [one for one in demo.json("air", "show")["read"] if one["day"] == "2026-08-20"]
    assert [(one["tunnel"], one["min_c"], one["max_c"], one["readings"]) for one in shown] == [("W", 15, 26, 24)]
    picks = "Date,Cultivar,Row,kg\n2026-08-20,beef 3,W1,2.5\n2026-08-20,cherry,E1,0.7\n2026-08-20,beef 3,Q7,1\n"
    picks += "2026-08-20,cherry 1,E1,0.4\n2026-08-20,standard 2,W2,0.8\n"
    said = demo.json("picks", write(tmp_path, picks, "picks.csv"))
    assert (said["new"], [one["line"] for one in said["refused"]]) == (3, [3, 4])
    assert "cherry 1, cherry 4" in said["refused"][0]["why"]
    assert {one["kg"] for one in demo.json("export", "picks")} >= {2.5, 0.4, 0.8}
    assert demo.json("picks", write(tmp_path, picks, "again.csv"))["new"] == 0


def test_a_day_to_come_is_not_imported(demo: Door, tmp_path: Path) -> None:
    assert "still to come" in demo.refuses("air", write(tmp_path, "date,mean\n2026-08-21,20\n2026-08-22,21\n"))


SPOILED = SHEET.replace("06-15,1,27,177,9,1", "06-15,1,27,97,9,1").replace(
    "06-15,2,28,175,9,2", "06-15,2,28,475,9,2"
)


def test_readings_that_make_no_sense_are_taken_told_and_asked_for_again(trial: Door, tmp_path: Path) -> None:
    sheet = write(tmp_path, SPOILED)
    how = ("--map", "length=Crop height", "--as", "totals")
    told = [
        "T1-01a 2026-06-15: 97 cm after 150 cm, shorter than before (slipped, tip broken, lowered?); left out",
        "T1-02a 2026-06-15: 475 cm after 147 cm, more than 8 cm a day; left out",
    ]
    assert trial.json("measurements", sheet, *how, "--look")["left_out"] == told
    said = trial.says("measurements", sheet, *how)
    assert "2 taken that make no sense; nothing is learned from them:" in said
    on = ("--on", "2026-06-16")
    listed = " ".join(trial.says("outlook", *on).split())
    assert all(one in listed for one in told)
    shown = trial.json("round", *on)
    chores = [*(chore for spot in shown["spots"] for chore in spot["chores"]), *shown["later"]]
    asked = [chore for chore in chores if chore["kind"] == "read_again"]
    assert sorted(chore["about"] for chore in asked) == ["T1-01a", "T1-02a"]
    (one,) = trial.json("plant", "T1-01", *on)["leaders"]
    assert [fact["words"] for fact in one["left_out"]] == [
        told[0][len("T1-01a 2026-06-15: ") :].removesuffix("; left out")
    ]
    assert "nothing is learned from them" in trial.says("plant", "T1-01", *on)
    said = trial.says("add", "measured", "leader=T1-01", "flowering_truss=2", *on)
    assert "flowering truss 2 after 7, counts do not fall; left out" in said


def test_air_that_cannot_be_is_told_when_it_is_typed(demo: Door) -> None:
    on = ("--on", "2026-08-18")
    said = demo.says("add", "air", "mean_c=59", "--about", "E", *on)
    assert "59 °C read, this looks like Fahrenheit; left out" in said
    said = demo.says("add", "air", "min_c=9", "max_c=21", "--about", "E", *on)
    assert "left out" not in said


@needs_open_data
def test_the_open_registrations_end_to_end(trial: Door) -> None:
    """Ten stems of a cherry trial, 16 visits, and its logger (README of the open data): no figure of them is kept
    here but counts, days, one diameter and the lengths of one visit's longest and shortest stem."""
    crop, air = str(folder() / "ohio/crop.csv"), str(folder() / "ohio/air-5min.csv")
    said = trial.json("measurements", crop)
    assert (said["new"], said["same"]) == (160, 0)
    assert [one["line"] for one in said["refused"]] == [154]
    assert trial.json("measurements", crop)["new"] == 0
    assert trial.json("air", air)["new"] == 145
    assert trial.json("air", air)["new"] == 0

    walk = trial.json("round", "--on", "2024-09-09")
    assert walk["day"] == "2024-09-09"
    chores = [chore for spot in walk["spots"] for chore in spot["chores"]]
    # Registrations say how long a stem is and nothing of how it hangs: that is asked before a lowering is.
    asked = next(chore for chore in chores if chore["kind"] == "put_right")
    assert "nothing is noted of how they hang" in asked["why"]
    assert not any(chore["kind"] == "lower" for chore in [*chores, *walk["later"]])

    coming = trial.json("outlook", "--on", "2024-09-09")
    lengths = {one["leader"]: one["length"] for one in coming["leaders"]}
    assert len(lengths) == 10
    # Crop height on 9 September: label 13 is the tallest with 350 cm, label 16 the shortest with 320 cm.
    assert lengths["T1-13a"]["low_m"] < 3.50 < lengths["T1-13a"]["high_m"]
    assert lengths["T1-16a"]["low_m"] < 3.20 < lengths["T1-16a"]["high_m"]
    assert all(one["tip"][-1]["day"] == "2024-09-23" for one in coming["leaders"])
    later = trial.json("outlook", "--on", "2024-09-16")
    assert later["leaders"][0]["length"]["mid_m"] > coming["leaders"][0]["length"]["mid_m"]
