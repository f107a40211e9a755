"""A file is looked at before it is taken, and what was told of its columns holds for the next of its shape."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.door import Door

SHEET = (
    "Wann;Sorte;Wo;Gewicht\n03.08.2026;cherry 1;W1;2,5\n05.08.2026;cherry 1;W1;1,25\n06.08.2026;cherry 1;W1;viel\n"
)
NEXT = "Wann;Sorte;Wo;Gewicht\n10.08.2026;cherry 1;W1;3,5\n"
MAPPED = ("--map", "day=Wann", "--map", "cultivar=Sorte", "--map", "row=Wo", "--map", "kg=Gewicht")


def sheet(tmp_path: Path, text: str, encoding: str = "utf-8") -> str:
    file = tmp_path / "ernte.csv"
    file.write_text(text, encoding=encoding)
    return str(file)


def test_a_look_shows_rows_and_refusals_and_writes_nothing(demo: Door, tmp_path: Path) -> None:
    before = demo.json("journal", "show")
    said = demo.says("picks", sheet(tmp_path, SHEET), *MAPPED, "--look")
    for part in (
        "kg         Gewicht",
        "2026-08-03 W1: picked cherry 1, 2.5 kg",
        "2026-08-05 W1: picked cherry 1, 1.25 kg",
        "2 new, 0 known already",
        "line 4: Gewicht: 'viel' is no number",
        "Nothing was written; without --look it will be.",
    ):
        assert part in said
    assert demo.json("journal", "show") == before
    assert not (demo.home / "config" / "imports.toml").exists()


def test_columns_told_once_hold_for_the_next_file_of_that_shape(demo: Door, tmp_path: Path) -> None:
    assert "no column of days" in demo.refuses("picks", sheet(tmp_path, SHEET))
    assert "Kept for the next file with these headings" in demo.says("picks", sheet(tmp_path, SHEET), *MAPPED)
    said = demo.says("picks", sheet(tmp_path, NEXT))
    assert "Read as you told of an earlier file" in said
    assert "1 new, 0 known already" in said
    kept = (demo.home / "config" / "imports.toml").read_text(encoding="utf-8")
    assert 'kg = "Gewicht"' in kept
    other = "Wann;Sorte;Wo;Gewicht;Klasse\n10.08.2026;cherry 1;W1;3,5;A\n"
    assert "no column of days" in demo.refuses("picks", sheet(tmp_path, other))


def test_a_flag_given_now_wins_over_the_one_before(demo: Door, tmp_path: Path) -> None:
    first = "date,cultivar,row,kg\n03/08/2026,cherry 1,W1,2.5\n03/08/2026,cherry 1,W2,2\n"
    assert "day or month first" in demo.refuses("picks", sheet(tmp_path, first))
    assert demo.json("picks", sheet(tmp_path, first), "--dates", "day-first", "--look")["new"] == 2
    demo.says("picks", sheet(tmp_path, first), "--dates", "day-first")
    second = "date,cultivar,row,kg\n05/06/2026,cherry 1,W1,2.5\n"
    assert "2026-06-05" in demo.says("picks", sheet(tmp_path, second), "--look")
    assert "2026-05-06" in demo.says("picks", sheet(tmp_path, second), "--look", "--dates", "month-first")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("[picks", "cannot be read"),
        ('picks = "x"', "picks"),
        ('[picks."date,cultivar,row,kg"]\ndates = "backwards"', "dates"),
        ('[picks."date,cultivar,row,kg"]\nstems = "ten"', "stems"),
    ],
)
def test_a_spoilt_file_of_told_columns_is_named_and_left(
    demo: Door, tmp_path: Path, text: str, fault: str
) -> None:
    folder = demo.home / "config"
    folder.mkdir(parents=True)
    kept = folder / "imports.toml"
    kept.write_text(text, encoding="utf-8")
    said = demo.refuses("picks", sheet(tmp_path, "date,cultivar,row,kg\n2026-08-04,cherry 1,W1,2.5\n"))
    assert "imports.toml" in said
    assert fault in said
    assert kept.read_text(encoding="utf-8") == text
