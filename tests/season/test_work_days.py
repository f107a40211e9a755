"""Work days: as said, as learned from ticks, and none of them while away."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tunneltui.growth.pick_days import pick_days
from tunneltui.holding.model import WEEKDAYS, Holding, Weekday, Work
from tunneltui.holding.new import Start, starter
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_care import Watered
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_journal import Looked, Note
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.season.fold import Fold, fold
from tunneltui.season.state import Season
from tunneltui.season.work_days import (
    done_share,
    next_work_day,
    pick_weekdays,
    sure_work_day,
    work_days_ahead,
    work_weekdays,
)
from tunneltui.values import replace

MONDAY = date(2026, 7, 6)


def entry(day: date, number: int, ticks: bool = True, act: str = "") -> Entry:
    answers = ("water", "W", day.isoformat()) if ticks else None
    made = draft("W", Watered() if ticks else Note("seen"), answers)
    return Entry(f"e{number}", act or f"a{number}", "d", day, number, "", "W", made.kind, 1, made.body)


def worked(*days: date) -> Season:
    return fold([entry(day, number) for number, day in enumerate(days)], MONDAY)


def test_every_day_until_two_weeks_tell() -> None:
    assert work_weekdays(worked()) == frozenset(range(7))
    assert work_weekdays(worked(MONDAY - timedelta(days=13))) == frozenset(range(7))


def test_learned_from_ticks_and_not_from_notes() -> None:
    back = [MONDAY - timedelta(days=n) for n in range(1, 27)]
    ticked = [day for day in back if day.weekday() in (1, 5)]
    once = next(day for day in back if day.weekday() == 3)
    entries = [entry(day, number) for number, day in enumerate([*ticked, once])]
    entries += [entry(day, 100 + number, ticks=False) for number, day in enumerate(back)]
    season = fold(entries, MONDAY)
    assert work_weekdays(season) == {1, 5}
    assert work_days_ahead(season) == (MONDAY, MONDAY + timedelta(days=1), MONDAY + timedelta(days=5))
    assert next_work_day(season, MONDAY + timedelta(days=1)) == MONDAY + timedelta(days=5)


def test_said_days_win_and_days_away_are_none() -> None:
    holding = Holding("x", work=Work(work_days=("Mon", "Thu")))
    season = replace(worked(), holding=holding)
    assert work_weekdays(season) == {0, 3}
    away = replace(season, aways=((MONDAY + timedelta(days=2), MONDAY + timedelta(days=5)),))
    assert work_days_ahead(away) == (MONDAY,)
    assert next_work_day(away, MONDAY) == MONDAY + timedelta(days=7)


@pytest.mark.parametrize("away", [True, False])
def test_a_tick_crossed_out_or_added_late_counts_as_in_a_full_fold(away: bool) -> None:
    days = [MONDAY - timedelta(days=n) for n in (20, 13, 6, 3)]
    entries = [entry(day, number) for number, day in enumerate(days)]
    out = Entry("x", "ax", "d", MONDAY, 99, "", "", "crossed_out", 1, '{"act":"a1"}')
    folding = Fold(MONDAY)
    folding.add(entries[2:])
    folding.add([out] if away else [])
    folding.add(entries[:2])
    expected = [day for day in sorted(days) if not (away and day == days[1])]
    assert (
        list(folding.season().worked)
        == expected
        == list(fold([*entries, *([out] if away else [])], MONDAY).worked)
    )


@pytest.mark.parametrize(("missed", "ahead"), [(0, 3), (2, 7)])
def test_who_misses_days_is_looked_further_ahead_for(missed: int, ahead: int) -> None:
    """Mon and Thu: of eight days two missed, three in four kept; two days on one in sixteen of both is missed."""
    days = [MONDAY - timedelta(days=n) for n in range(1, 29) if (MONDAY - timedelta(days=n)).weekday() in (0, 3)]
    kept = [day for number, day in enumerate(days) if number not in (2, 5)[:missed]]
    said = replace(worked(*kept), holding=Holding("x", work=Work(work_days=("Mon", "Thu"))))
    assert sure_work_day(said, MONDAY) == MONDAY + timedelta(days=ahead)


def mornings(looked_along: str, picked: str) -> list[Entry]:
    """Four weeks of work on Mon and Thu, in each of which a row was looked along or picked ("x") or not ("-")."""
    back = [MONDAY - timedelta(days=n) for n in range(28, 0, -1)]
    days = [day for day in back if day.weekday() in (0, 3)]
    holding = starter(Start(rows=1, places_per_row=2, cultivars=("round",), work_days=("Mon", "Thu")))
    made = [("", MONDAY - timedelta(days=60), draft("", HoldingSet(holding)))]
    made += [(place, MONDAY - timedelta(days=59), draft(place, Planted("round"))) for place in ("W1-01", "W1-02")]
    for number, day in enumerate(days):
        made.append(("W", day, draft("W", Watered(), ("water", "W", day.isoformat()))))
        if looked_along[number] == "x":
            made.append(("W1", day, draft("W1", Looked())))
        if picked[number] == "x":
            made.append(("W1", day, draft("W1", Picked("round", kg=1.0))))
    return [
        Entry(f"e{number}", f"a{number}", "d", day, number, "", about, one.kind, 1, one.body)
        for number, (about, day, one) in enumerate(made)
    ]


@pytest.mark.parametrize(
    ("looked_along", "picked", "share", "ahead"),
    [
        # Looks are asked for each week from the one before on, picks on Mon and Thu from the first one on; of the
        # four work days that count beside what is told all are kept.
        ("x-x-x-x-", "xxxxxxxx", (3 + 8 + 4) / (3 + 8 + 4), 3),
        ("x--x---x", "--------", (2 + 4) / (5 + 4), 10),
        ("--------", "x-x-x-x-", (4 + 4) / (8 + 4), 10),
        ("x-------", "x-------", (0 + 1 + 4) / (6 + 8 + 4), 14),
    ],
)
def test_what_is_done_late_is_looked_further_ahead_for(
    looked_along: str, picked: str, share: float, ahead: int
) -> None:
    season = fold(mornings(looked_along, picked), MONDAY)
    assert done_share(season) == pytest.approx(max(share, 1 / 3))
    assert (sure_work_day(season, MONDAY) - MONDAY).days == ahead


def test_what_comes_late_tells_as_in_a_full_fold() -> None:
    entries = mornings("x--x---x", "x-x-x-x-")
    folding = Fold(MONDAY - timedelta(days=1))
    folding.add(entries[::2])
    folding.pass_to(MONDAY)
    folding.add(entries[1::2])
    assert folding.season().asked_and_done == fold(entries, MONDAY).asked_and_done != (0, 0)


@pytest.mark.parametrize(
    ("work_days", "named", "picked_on"),
    [
        ((), (), "Mon Thu"),
        (("Tue", "Sat"), (), "Tue Sat"),
        (("Sat",), (), "Sat"),
        (("Mon", "Tue", "Wed", "Thu", "Fri"), (), "Mon Thu"),
        (("Mon", "Tue", "Wed"), (), "Mon Wed"),
        (("Tue", "Sat"), ("Mon", "Thu"), "Tue Sat"),
        (("Mon", "Wed", "Sat"), ("Wed", "Sun"), "Wed"),
        ((), ("Fri",), "Fri"),
    ],
)
def test_pick_days_are_days_of_work(
    work_days: tuple[Weekday, ...], named: tuple[Weekday, ...], picked_on: str
) -> None:
    """Who said that he works on Tuesdays and Saturdays was promised fruit for Mondays and Thursdays."""
    season = replace(worked(), holding=Holding("x", work=Work(work_days=work_days, pick_days=named)))
    assert [WEEKDAYS[day] for day in sorted(pick_weekdays(season))] == picked_on.split()


def test_who_begins_is_promised_picks_for_the_days_of_work() -> None:
    made = draft("", HoldingSet(starter(Start(places_per_row=6, work_days=("Wed", "Sun")))))
    book = [Entry("h", "a", "d", MONDAY, 0, "", "", made.kind, 1, made.body)]
    assert [day.strftime("%a") for day in pick_days(fold(book, MONDAY), 8)] == ["Wed", "Sun"]
