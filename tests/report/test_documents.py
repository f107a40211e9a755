"""The JSON documents: their keys as promised, bytes that depend on entries and day only."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from typing import Any

import pytest

from tests.report.made import entries, morning
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.growth.backtest import Backtest, Backtests, Score
from tunneltui.journal.order import live
from tunneltui.loads.whatif import typed_change, what_if
from tunneltui.report import documents
from tunneltui.store.kept_round import as_shown
from tunneltui.values import replace

CHORE = [
    *("line", "id", "kind", "about", "pass", "must", "overhead", "when", "minutes", "earliest", "latest"),
    *("why", "proposal", "cautions", "pieces", "choices"),
]
SHAPES: dict[str, dict[str, list[str]]] = {
    "round": {
        "": ["day", "minutes_there", "minutes_planned", "minutes_week", "gives", "waits", "spots", "later"],
        "minutes_week": ["day", "minutes", "what"],
        "minutes_week.what": ["kind", "minutes"],
        "gives": ["kind", "minutes"],
        "waits": ["kind", "minutes"],
        "spots": ["place", "row", "x_m", "chores"],
        "spots.chores": CHORE,
        "spots.chores.pieces": ["place", "leaders", "what", "minutes"],
        "spots.chores.choices": ["key", "words"],
        "later": CHORE,
    },
    "loads": {
        "": ["day", "clips", "lines", "wires", "hoops", "rows", "weak_points"],
        "clips": ["id", "leader", "on", "s_m", "low_n", "mid_n", "high_n", "strength_n", "share", "chance_7d"],
        "lines": ["id", "row", "x_m", "low_n", "mid_n", "high_n", "share"],
        "wires": ["row", "span", "tension_n", "sag_m", "end_pull_n", "share"],
        "hoops": ["tunnel", "x_m", "load_n", "allowed_n"],
        "rows": ["row", "hanging_kg", "peak_kg", "peak_day"],
        "weak_points": ["fixing", "drops", "first_over"],
    },
    "outlook": {
        "": ["day", "leaders", "picks"],
        "leaders": ["leader", "length", "tip", "trusses", "at_wire"],
        "leaders.tip": ["day", "low_m", "mid_m", "high_m"],
        "picks": ["cultivar", "row", "day", "low_kg", "mid_kg", "high_kg"],
    },
}
"""As written down for other programs (design, section 11)."""


MADE: dict[str, Callable[[Morning], documents.Document]] = {
    "round": lambda now: documents.round_document(now.round, as_shown(now.round).number_of),
    "loads": lambda now: documents.loads_document(now.loads),
    "outlook": lambda now: documents.outlook_document(now.season, now.outlook),
}


def document(name: str) -> Any:
    return json.loads(documents.as_text(MADE[name](morning())))


def at(document: Any, path: str) -> list[Any]:
    found = [document]
    for name in path.split(".") if path else []:
        found = [item for one in found for item in one[name]]
    return found


@pytest.mark.parametrize(("name", "path"), [(name, path) for name, shape in SHAPES.items() for path in shape])
def test_keys_and_their_order(name: str, path: str) -> None:
    found = at(document(name), path)
    assert found or path in ("gives", "waits"), f"the demo has no {name} {path}"
    for one in found:
        assert list(one) == SHAPES[name][path]


def test_fifteen_days_of_tips_within_their_bands() -> None:
    for leader in document("outlook")["leaders"]:
        assert leader["tip"][0]["day"] == "2026-08-20"
        assert len(leader["tip"]) == 15
        for tip in leader["tip"]:
            assert tip["low_m"] <= tip["mid_m"] <= tip["high_m"]


def test_chores_are_either_on_the_walk_or_later() -> None:
    said = document("round")
    ids = [chore["id"] for chore in [*at(said, "spots.chores"), *said["later"]]]
    assert len(ids) == len(set(ids))
    assert set(ids) == {chore.id for chore in morning().chores}


def test_bytes_do_not_depend_on_the_order_of_arrival() -> None:
    shuffled = list(entries())
    random.Random(3).shuffle(shuffled)
    again = plan_morning(shuffled, morning().day)
    for name, made in MADE.items():
        assert documents.as_text(made(again)) == documents.as_text(made(morning())), name
    some = [entry._replace() for entry in live(shuffled)][:50]
    assert documents.journal_document(some) == documents.journal_document(live(entries())[:50])


def test_the_journal_as_a_list() -> None:
    said = json.loads(documents.as_text(documents.journal_document(entries()[:20])))
    assert list(said[0]) == ["id", "act", "day", "at", "by", "about", "kind", "body"]
    assert said[0]["kind"] == "holding_set"
    assert isinstance(said[0]["body"], dict)
    assert said[0]["at"].endswith("Z")


def test_floats_are_rounded_and_the_unknown_is_null() -> None:
    now = morning()
    clip = replace(now.loads.clips[0], mid_n=1 / 3, low_n=-0.0001, high_n=float("nan"), share=float("inf"))
    line = replace(now.loads.lines[0], share=None)
    hoop = replace(now.loads.hoops[0], allowed_n=None)
    text = documents.as_text(
        documents.loads_document(replace(now.loads, clips=(clip,), lines=(line,), hoops=(hoop,)))
    )
    said = json.loads(text)
    assert said["clips"][0]["mid_n"] == 0.33
    assert '"low_n": 0.0' in text
    assert said["clips"][0]["high_n"] is None
    assert said["clips"][0]["share"] is None
    assert said["lines"][0]["share"] is None
    assert said["hoops"][0]["allowed_n"] is None


def test_a_change_before_and_after() -> None:
    now = morning()
    clip = next(clip for clip in now.loads.clips if clip.on.startswith("string"))
    change = f"second {clip.leader} {clip.on.removeprefix('string ')}"
    both = what_if(now.season, now.outlook, now.day, [typed_change(now.season, change)])
    said: Any = documents.what_if_document(both, [change])
    assert list(said) == ["day", "changes", "before", "after"]
    assert said["before"] == documents.loads_document(now.loads)
    now_n, then_n = (
        next(one["mid_n"] for one in said[when]["clips"] if one["id"] == clip.id) for when in ("before", "after")
    )
    assert then_n < now_n, "a second clip takes part of the load"


def test_scores_with_nothing_to_score_are_null() -> None:
    scores = (Score(7, 3, 0.0212345, 0.03, 1.0, 0.1), Score(14, 0, None, None, None, None))
    held = Backtests(morning().day, (Backtest("stem", "", scores), Backtest("stem", "cherry 1", scores)))
    said: Any = documents.backtest_document(held)
    assert [one["what"] for one in said["backtests"]] == ["stem"]
    first, second = said["backtests"][0]["horizons"]
    assert first == {"days": 7, "n": 3, "mae": 0.0212, "mae_persistence": 0.03, "inside_90": 1.0, "width": 0.1}
    assert second == {"days": 14, "n": 0, "mae": None, "mae_persistence": None, "inside_90": None, "width": None}
