"""The day in print says what the card and the walk say."""

from __future__ import annotations

from tests.report.made import morning
from tunneltui.chores.morning import PlannedDay
from tunneltui.chores.passes import passes
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
