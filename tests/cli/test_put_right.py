"""The put-right walk on the command line: listed, answered, refused as a whole."""

from __future__ import annotations

from tests.cli.door import Door


def test_listed_answered_and_taken_up(demo: Door) -> None:
    assert "25 of 54" not in demo.says("put-right", "W1")
    said = demo.json("put-right", "E1", "=", "9+s", "t40")
    answered = [step["key"] for step in said["steps"] if step["answered"]]
    assert answered == ["E1-01a", "E1-02a", "E1-03a"]
    assert "[x] E1-02a, standard 2: hook 27 10 cm past place 09" in demo.says("put-right", "E1")
    acts = {entry["act"] for entry in demo.json("journal", "show") if entry["kind"] == "measured"}
    assert len(acts) >= 3


def test_one_wrong_answer_and_none_is_written(demo: Door) -> None:
    said = demo.refuses("put-right", "E1", "=", "99s")
    assert "At E1-02a" in said
    assert "no place 99" in said
    assert "answers nothing" in demo.refuses("put-right", "E2", *["="] * 10)


def test_which_row_is_asked_where_several_could_be_meant(demo: Door) -> None:
    assert "Which row" in demo.refuses("put-right")
    assert "no row E9" in demo.refuses("put-right", "E9")


def test_a_row_of_a_loop_means_the_loop(demo: Door) -> None:
    assert demo.json("put-right", "W2")["loop"] == "W1"
