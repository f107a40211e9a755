"""The plain-text twins: readable in 80 columns, and nothing in them speaks to the terminal."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.report.made import entries, morning
from tunneltui.care.fortnight import fortnight
from tunneltui.chores.chore import WorkOfAKind
from tunneltui.chores.morning import PlannedDay
from tunneltui.growth.backtest import Backtest, Backtests, Score
from tunneltui.loads.whatif import typed_change, what_if
from tunneltui.pages.air import air_page
from tunneltui.pages.journal import journal_text
from tunneltui.pages.loads_text import loads_text, what_if_text
from tunneltui.pages.outlook import backtest_text, outlook_text
from tunneltui.pages.round import minutes_words, round_text
from tunneltui.pages.text import WIDTH, plain_text
from tunneltui.store.kept_round import as_shown
from tunneltui.values import replace


def _what_if() -> str:
    now = morning()
    change = f"lower {next(iter(now.season.leaders.values())).name} 0.35"
    return what_if_text(what_if(now.season, now.outlook, now.day, [typed_change(now.season, change)]), [change])


def _air() -> str:
    season = morning().season
    return plain_text(air_page(season, [fortnight(season, tunnel) for tunnel in season.holding.tunnels]))


TEXTS: dict[str, Callable[[], str]] = {
    "round": lambda: round_text(morning(), as_shown(morning().round).number_of),
    "loads": lambda: loads_text(morning()),
    "outlook": lambda: outlook_text(morning().season, morning().outlook),
    "air": _air,
    "journal": lambda: journal_text(entries(), {}),
    "what if": _what_if,
}


@pytest.mark.parametrize("name", list(TEXTS))
def test_eighty_columns_of_printable_text(name: str) -> None:
    text = TEXTS[name]()
    assert text.endswith("\n")
    for line in text.splitlines():
        assert len(line) <= WIDTH, line
        assert line == "" or line.isprintable()
        assert line == line.rstrip()


def test_the_round_tells_reason_minutes_and_musts() -> None:
    text = " ".join(TEXTS["round"]().split())
    for spot in morning().round.spots:
        for chore in spot.chores:
            assert " ".join(chore.why.split()) in text
    must = next(chore for spot in morning().round.spots for chore in spot.chores if chore.must)
    assert " must " in text
    assert " ".join(must.proposal.split()) in text


def test_what_is_to_be_decided_has_its_answers_beneath_it() -> None:
    now = morning()
    text = " ".join(round_text(now, as_shown(now.round).number_of).split())
    to_decide = [chore for spot in now.round.spots for chore in spot.chores if chore.choices]
    assert to_decide
    for chore in to_decide:
        assert all(f"({choice.words})" in text for choice in chore.choices)


def test_over_budget_is_said() -> None:
    now = morning()
    gives = (WorkOfAKind("deleaf", "take leaves", 30.0), WorkOfAKind("scout", "look for sickness", 5.0))
    walk = now.round._replace(minutes_there=10.0, minutes_planned=9.6, gives=gives)
    tight = replace(now, known=PlannedDay(now.chores, walk))
    said = " ".join(round_text(tight, as_shown(tight.round).number_of).split())
    assert (
        "10 of 10 minutes. The week holds 35 min more than there is time for: take leaves 30 min, "
        "look for sickness 5 min can wait longest." in said
    )


@pytest.mark.parametrize(
    ("minutes", "said"), [(0.05, "5 s"), (0.34, "20 s"), (0.99, "60 s"), (1.0, "1 min"), (12.4, "12 min")]
)
def test_minutes(minutes: float, said: str) -> None:
    assert minutes_words(minutes) == said


def test_control_signs_of_a_note_do_not_reach_the_terminal() -> None:
    entry = entries()[-1]._replace(kind="note", body='{"text":"\\u001b[2J\\u202ered\\nline"}')
    text = journal_text([entry], {})
    assert text.rstrip("\n").replace("\n", "").isprintable()


def test_an_unknown_hoop_figure_is_never_shown_as_fine() -> None:
    now = morning()
    hoop = replace(now.loads.hoops[0], allowed_n=None)
    text = loads_text(replace(now, loads=replace(now.loads, hoops=(hoop,))))
    assert "unknown: ask its maker" in text
    assert "safe" not in text.lower()


def test_two_clips_in_one_place_are_told_on_one_line() -> None:
    now = morning()
    clip = next(clip for clip in now.loads.clips if clip.on != "head")
    change = f"second {clip.leader} {clip.on.removeprefix('string ')}"
    both = what_if(now.season, now.outlook, now.day, [typed_change(now.season, change)])
    pair = tuple(c for c in both.after.clips if (c.leader, c.on) == (clip.leader, clip.on))
    assert len(pair) == 2
    lines = loads_text(replace(now, loads=replace(both.after, clips=pair))).splitlines()
    assert [line[-12:] for line in lines if line.startswith(f"  {clip.leader} ")] == ["fullest of 2"]


def test_scores_in_words() -> None:
    scores = (Score(7, 140, 0.0273, 0.0349, 0.93, 0.127, -0.0061), Score(14, 0, None, None, None, None))
    text = backtest_text(Backtests(morning().day, (Backtest("stem", "", scores),)))
    assert "7 days on: 2.73 (last rate carried on: 3.49), 93% inside 90%, 12.7 wide" in text
    assert "12.7 wide, 0.61 too little, n 140" in text
    assert "14 days on: nothing to score yet" in text
