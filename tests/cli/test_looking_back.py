"""Looking back and leaving, run as processes: the review, comparisons, days away, and what leaves the house."""

from __future__ import annotations

import pytest
from icalendar import Calendar

from tests.cli.door import Door
from tunneltui.cli import main


@pytest.mark.parametrize("word", ["review", "away"])
def test_help_names_an_example(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as end:
        main([word, "--help"])
    assert end.value.code == 0
    assert f"example: tunneltui {word}" in " ".join(capsys.readouterr().out.split())


def test_review_in_print_and_as_a_document(demo: Door) -> None:
    said = demo.json("review", "--by", "row")
    picked = sum(pick["kg"] for pick in demo.json("export", "picks"))
    assert sum(line["kg"] or 0 for line in said["yields"]) == pytest.approx(picked, abs=0.01)
    assert "What came off, by row" in demo.says("review", "--by", "row")
    august = demo.json("review", "--since", "2026-08-01", "--until", "2026-08-10")
    assert all(line["first_pick"] is None or line["first_pick"] >= "2026-08-01" for line in august["yields"])
    assert "before it begins" in demo.refuses("review", "--since", "2026-08-02", "--until", "2026-08-01")


def test_comparisons_say_what_they_cannot(demo: Door) -> None:
    (pair,) = demo.json("review", "compare", "row", "W1", "W2")["pairs"]
    assert (pair["n_a"], pair["n_b"], pair["strict_p"]) == (1, 1, None)
    assert "Nothing can be inferred" in demo.says("review", "compare", "row", "W1", "W2").replace("\n  ", " ")
    assert "No cultivar is called" in demo.refuses("review", "compare", "cultivar", "beef 3", "nobody")
    assert "no question" in demo.refuses("review", "dreams")


def test_days_away_are_written_only_when_asked(demo: Door) -> None:
    words = ("away", "2026-08-22", "2026-08-28")
    before = len(demo.json("export", "entries", "--on", "2026-08-22"))
    assert "For whoever waters and picks" in demo.says(*words)
    assert len(demo.json("export", "entries", "--on", "2026-08-22")) == before
    demo.says(*words, "--write")
    demo.says(*words, "--write")
    assert len(demo.json("export", "entries", "--on", "2026-08-22")) == before + 1
    last = demo.json("export", "entries", "--on", "2026-08-22")[-1]
    assert (last["kind"], last["day"], last["body"]["until"]) == ("away", "2026-08-22", "2026-08-28")
    assert "before the first" in demo.refuses("away", "2026-08-28", "2026-08-22")


def test_chores_as_to_dos_and_the_season_as_a_page(demo: Door) -> None:
    """RFC 5545 by the icalendar library: the same chores under the same names, as to-dos."""
    events = Calendar.from_ical(demo.says("export", "chores")).walk("VEVENT")
    todos = Calendar.from_ical(demo.says("export", "chores", "--todos")).walk("VTODO")
    assert events
    assert [one["UID"] for one in todos] == [one["UID"] for one in events]
    page = demo.says("export", "season")
    assert page.startswith("<!DOCTYPE html>")
    assert page.endswith("</html>\n")
    assert demo.json("export", "season") == demo.json("review")
