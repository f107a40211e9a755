"""The day in print says what the card and the walk say."""

from __future__ import annotations

from collections.abc import Iterable

from tests.report.made import entries, morning
from tunneltui.chores.day_card import DayCard
from tunneltui.chores.morning import PlannedDay, plan_morning
from tunneltui.chores.passes import passes
from tunneltui.journal.entry import Entry
from tunneltui.pages.day import card_lines, day_document, day_of, day_text


def test_every_line_of_the_card_and_every_place_of_the_walk_stands_there() -> None:
    text = " ".join(day_text(morning()).split())
    for line in card_lines(morning().season, day_of(morning())):
        assert " ".join(str(line.words[0]).split()) in text
    for made in passes(morning().season, morning().round):
        for place in made.places:
            assert place.name in text


def test_it_is_at_most_eighty_columns_wide() -> None:
    assert all(len(line) <= 80 for line in day_text(morning()).splitlines())


def test_what_is_empty_is_left_out() -> None:
    bare = morning().round._replace(spots=(), later=(), gives=())
    from tunneltui.values import replace

    text = day_text(replace(morning(), known=PlannedDay((), bare)))
    for label in ("First", "Pick", "Carry", "Evening", "Decide", "Not today"):
        assert label not in text


def test_the_promise_is_less_than_what_is_likely() -> None:
    pick = day_document(morning())["pick"]
    assert 0 < pick["least_kg"] < pick["likely_kg"]


def _card(kept: Iterable[Entry]) -> DayCard:
    return day_of(plan_morning(tuple(kept), morning().day))


def test_crates_are_carried_for_fruit_of_which_none_was_weighed_yet() -> None:
    """Crates were told for the cultivars weighed before alone: for none where none was."""
    card = _card(one for one in entries() if one.kind != "picked")
    assert card.pick is not None
    assert card.pick.blind
    assert card.pick.likely_kg == 0
    assert card.carry.kg > 5
    for told, up_to in ((card, True), (day_of(morning()), False)):
        carried = next(line for line in card_lines(morning().season, told) if "crates" in " ".join(line.beside))
        assert ("crates for up to" in carried.beside[0]) is up_to


def test_crates_alone_are_carried_too() -> None:
    """Without clips and feed to take the line was bare: what stood beside them was not shown."""
    card = day_of(morning())
    crates_alone = card._replace(carry=card.carry._replace(clips={}, cans={}))
    (carried,) = [line for line in card_lines(morning().season, crates_alone) if line.label == "Carry"]
    assert "crates for" in carried.words[0]


def test_clips_nobody_counted_are_not_said_to_run_short() -> None:
    carry = _card(one for one in entries() if one.kind != "stocked").carry
    assert carry.clips
    assert not carry.short


def test_places_with_several_clips_are_said_once() -> None:
    lines = [line for line in card_lines(morning().season, day_of(morning())) if "may let go" in line.words[0]]
    for line in lines:
        names = line.beside[0].replace("  ", " ").split(" ")
        assert len(names) == len(set(names))
    assert lines
