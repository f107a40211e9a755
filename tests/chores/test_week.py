"""The week laid level: by hand, against a linear program, and for the properties it promises."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

import pytest

from tunneltui.chores.week import Task, WorkDay, level_minutes, plan_week

TODAY = date(2026, 7, 6)


def day(ahead: int) -> date:
    return TODAY + timedelta(days=ahead)


def pieces(kind: str, minutes: float, each: float, worth: float, due: int, first: int = 0) -> list[Task]:
    count = round(minutes / each)
    return [Task(kind, f"{kind} {n}", kind, each, day(first), day(due), worth) for n in range(count)]


def minutes_of(tasks: tuple[Task, ...], kind: str) -> float:
    return sum(task.minutes for task in tasks if task.kind == kind)


def days(*minutes: float, every: int = 1) -> list[WorkDay]:
    return [WorkDay(day(every * number), there) for number, there in enumerate(minutes)]


def test_level_by_hand() -> None:
    # 130 min over days that hold 0, 0 and 10: 3 l - 10 = 130.
    assert level_minutes([0, 0, 10], [40, 40, 130]) == pytest.approx(46.667, abs=0.001)
    assert level_minutes([0, 0], [30, 60]) == pytest.approx(30)
    assert level_minutes([0, 0, 0], [0, 0, 60]) == pytest.approx(20)
    assert level_minutes([0, 100, 0], [0, 0, 60]) == pytest.approx(30)
    assert level_minutes([], []) == 0.0


def test_shoots_are_spread_beside_the_picks() -> None:
    tasks = [
        *pieces("pick", 40, 1.0, 0.42, 0),
        *pieces("side_shoot", 90, 0.1, 0.015, 2),
        *pieces("pick later", 10, 1.0, 0.42, 2, first=2),
    ]
    week = plan_week(tasks, days(60, 60, 60))
    assert week.level_minutes == pytest.approx(46.667, abs=0.001)
    assert minutes_of(week.days[0].tasks, "pick") == pytest.approx(40)
    assert minutes_of(week.days[0].tasks, "side_shoot") == pytest.approx(6.7, abs=0.11)
    assert [plan.minutes for plan in week.days] == pytest.approx([46.7, 46.7, 46.7], abs=0.2)
    assert not week.gives


def test_what_is_due_before_the_next_work_day_is_due_today() -> None:
    tasks = [*pieces("now", 30, 1.0, 0.03, 0), *pieces("soon", 30, 1.0, 0.03, 2)]
    assert plan_week(tasks, days(60, 60)).days[0].minutes == pytest.approx(30)
    # Work days four apart: the later thirty are due before the next one.
    assert plan_week(tasks, days(60, 60, every=4)).days[0].minutes == pytest.approx(60)


def test_what_is_due_on_days_without_work_is_shared_by_the_work_days_before_them() -> None:
    """Work on Monday and Tuesday, 20 minutes due by Thursday, 30 by the Monday after: those wait."""
    tasks = [*pieces("side_shoot", 20, 1.0, 0.015, 3), *pieces("deleaf", 30, 1.0, 0.008, 7)]
    assert [plan.minutes for plan in plan_week(tasks, days(60, 60)).days] == pytest.approx([10, 10])


def test_a_light_week_stays_light() -> None:
    assert plan_week(pieces("side_shoot", 60, 1.0, 0.015, 2), days(60, 60, 60)).days[0].minutes == pytest.approx(
        20
    )


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [
        (20.0, {"pick": 18.0, "twist_in": 2.0, "side_shoot": 0.0}),
        (45.0, {"pick": 30.0, "twist_in": 10.0, "side_shoot": 5.0}),
    ],
)
def test_what_gives_where_the_day_is_short(minutes: float, expected: dict[str, float]) -> None:
    tasks = [
        *pieces("pick", 30, 3.0, 0.42, 0),
        *pieces("twist_in", 10, 1.0, 0.2, 0),
        *pieces("side_shoot", 20, 1.0, 0.015, 0),
    ]
    week = plan_week(tasks, days(minutes))
    assert {kind: minutes_of(week.days[0].tasks, kind) for kind in expected} == pytest.approx(expected)
    assert week.short_minutes == pytest.approx(60 - minutes)
    assert [task.worth for task in week.gives] == sorted((task.worth for task in week.gives), reverse=True)


def test_early_work_is_pulled_forward_before_a_full_day() -> None:
    """A pick of 60 of 60 minutes on the third day: the pass due on that day is done on the two before it."""
    tasks = [*pieces("pick", 60, 3.0, 0.42, 2, first=2), *pieces("side_shoot", 40, 1.0, 0.015, 2)]
    week = plan_week(tasks, days(60, 60, 60))
    assert [plan.minutes for plan in week.days] == pytest.approx([20, 20, 60])


def test_a_full_day_to_come_gives_nothing_of_other_days() -> None:
    tasks = [*pieces("pick", 90, 3.0, 0.42, 2, first=2), *pieces("feed", 10, 10.0, 0.03, 0)]
    week = plan_week(tasks, days(60, 60, 60))
    assert [plan.minutes for plan in week.days] == pytest.approx([10, 0, 60])
    assert {task.kind for task in week.gives} == {"pick"}


def test_no_pass_is_begun_for_a_minute_nor_stopped_before_its_end() -> None:
    for size, expected in ((4.0, 4.0), (12.0, 4.0), (5.0, 0.0)):
        tasks = pieces("side_shoot", size, 1.0, 0.015, 2)
        first = plan_week(tasks, days(60, 60, 60)).days[0].minutes
        assert first == pytest.approx(expected)


@pytest.mark.parametrize(("there", "expected"), [(11.4, 10.0), (11.6, 11.5), (30.0, 11.5)])
def test_a_walk_of_a_minute_or_two_is_done_whole_or_not_at_all(there: float, expected: float) -> None:
    """Where a tenth of a minute was left a row was looked along as far as its first plant."""
    tasks = [*pieces("pick", 10, 1.0, 0.42, 0), *pieces("look", 1.5, 0.1, 0.04, 0)]
    week = plan_week(tasks, days(there, 30))
    assert [plan.minutes for plan in week.days] == pytest.approx([expected, 11.5 - expected])


def test_fetching_the_steps_counts_once_a_row() -> None:
    high = [task._replace(steps="W1") for task in pieces("lower", 6, 1.0, 0.1, 0)]
    assert plan_week(high, days(8.0), 2.0).days[0].minutes == pytest.approx(8.0)
    week = plan_week(high, days(7.0), 2.0)
    assert week.days[0].minutes == pytest.approx(7.0)
    assert [task.kind for task in week.gives] == ["lower"]


@pytest.mark.parametrize("seed", range(20))
def test_never_over_the_minutes_and_worth_as_much_as_a_linear_program_says(seed: int) -> None:
    """Pieces of one length are kept so that no choice is worth more (scipy's ``linprog``, HiGHS, as the judge)."""
    from scipy.optimize import linprog

    dice = Random(seed)
    there = [float(dice.choice([0, 10, 20, 30])) for _ in range(5)]
    tasks = []
    for number in range(60):
        first = dice.randrange(5)
        last = dice.randrange(first, 5)
        worth = dice.choice([0.42, 0.2, 0.1, 0.03, 0.015, 0.002])
        tasks.append(Task(str(number), "", "any", 2.0, day(first), day(last), worth))
    week = plan_week(tasks, days(*there))
    for plan in week.days:
        assert plan.minutes <= plan.minutes_there + 1e-6
        for task in plan.tasks:
            assert task.earliest <= plan.day <= task.latest
    done = [task for plan in week.days for task in plan.tasks]
    assert len(done) + len(week.gives) == len(tasks)
    at = [(n, d) for n, task in enumerate(tasks) for d in range(5) if task.earliest <= day(d) <= task.latest]
    rows = [[2.0 if d == wanted else 0.0 for _, d in at] for wanted in range(5)]
    rows += [[1.0 if n == wanted else 0.0 for n, _ in at] for wanted in range(len(tasks))]
    best = linprog([-tasks[n].worth for n, _ in at], A_ub=rows, b_ub=[*there, *[1.0] * len(tasks)], bounds=(0, 1))
    assert sum(task.worth for task in done) == pytest.approx(-best.fun, abs=1e-6)
