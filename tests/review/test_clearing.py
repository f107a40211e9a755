"""Green fruit stripped at the end: what ripened is no loss, and what was not weighed stays unknown."""

from __future__ import annotations

from tests.report.made import entries, morning, written
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_crop import GreenStripped
from tunneltui.review.look_back import LookBack, look_back
from tunneltui.review.record import record
from tunneltui.season.fold import fold


def _after(*stripped: GreenStripped) -> tuple[LookBack, list[float | None]]:
    after = [*entries(), *written([draft("W1", body) for body in stripped])]
    season = fold(after, morning().day)
    losses = [loss.kg for loss in record(after, season).losses if loss.lost == "stripped green"]
    return look_back(after, season, "row"), losses


def test_what_ripened_is_no_loss() -> None:
    leader = morning().season.leaders_of_row("W1")[0].id
    back, losses = _after(GreenStripped((leader,), 6.0, 4.5), GreenStripped((leader,), 2.0))
    assert (back.clearing.green_kg, back.clearing.ripened_kg) == (8.0, 4.5)
    assert losses == [1.5, 2.0]


def test_green_fruit_that_was_not_weighed_stays_unknown() -> None:
    leader = morning().season.leaders_of_row("W1")[0].id
    back, losses = _after(GreenStripped((leader,)))
    assert (back.clearing.green_kg, back.clearing.ripened_kg) == (None, None)
    assert losses == [None]


def test_hooks_to_count_back_are_those_that_hang() -> None:
    back, _ = _after()
    assert back.clearing.hooks_up == sum(one.hook is not None for one in morning().season.leaders.values())
