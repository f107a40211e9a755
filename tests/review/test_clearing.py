"""Green fruit stripped at the end: what ripened is no loss, and what was not weighed stays unknown."""

from __future__ import annotations

from tests.report.made import entries, morning, written
from tunneltui.journal.body import draft
from tunneltui.journal.kinds_crop import GreenStripped
from tunneltui.pages.season import season_page
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


def test_every_thing_goes_to_its_box_or_the_compost() -> None:
    """Bed by bed: what rots by the holding goes with the stems, all else back, and nothing is counted twice."""
    end = _after()[0].clearing
    holding = morning().season.holding
    assert [bed.rows for bed in end.beds] == [("W1", "W2"), ("E1", "E2")]
    assert sum(bed.hooks for bed in end.beds) == end.hooks_up
    assert sum(one.count for bed in end.beds for one in bed.clips) == end.clips_up
    rots = {kind.key: kind.biodegradable for kind in holding.clips}
    rots |= {kind.key: kind.biodegradable for kind in holding.twines}
    assert all(one.compost == rots[one.kind] for bed in end.beds for one in (*bed.clips, *bed.twines))
    plants = {one.plant for one in morning().season.leaders.values()}
    assert sum(bed.plants for bed in end.beds) == len(plants)
    says = {item.key: item.lengths[0] for item in season_page(_after()[0]).sections[-1].items}
    assert "back to their boxes 26 blue clip (kept from other years 2024)" in says["clearing bed W bed"]
    assert "1 suspect off the land" in says["clearing bed E bed"]
