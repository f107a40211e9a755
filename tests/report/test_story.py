"""A plant's story: every kind has words, a row pass is told at each plant it took, hostile text stays text."""

from __future__ import annotations

from datetime import date

import pytest

from tests.chores.given import DAY, fixing, leader, season
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_crop import Picked, SideShooted
from tunneltui.journal.kinds_holding_up import ClipFailed, Clipped, Lowered
from tunneltui.journal.kinds_journal import Looked, Note
from tunneltui.journal.kinds_standing import Measured
from tunneltui.pages.story import ids_at, mentions, sentence, story_page
from tunneltui.pages.text import plain_text
from tunneltui.season.state import Ending

HELD = fixing("c1", leader(3), 1.2, 4)
STOOD = leader(3, endings=(Ending(HELD, date(2026, 8, 19), "slid"),))
SEASON = season([STOOD, leader(4)])


def _entry(body: Body, about: str = "W1-03") -> Entry:
    made = draft(about, body)
    return Entry("e1", "a1", "d", DAY, 1, "", about, made.kind, 1, made.body)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (Clipped("lW13", 1.2, "string", "W1/4"), "clipped to string 4 120 cm up the stem"),
        (Clipped("lW13", 2.1, "head", assumed=True), "clipped to the head 210 cm up the stem, as proposed"),
        (ClipFailed("c1", "slid", dropped=True), "its clip on string 4 failed: slid, and the stem dropped"),
        (Lowered("lW13", turns=1, finish="as_said"), "lowered: let out 1 turn, the tip hung as said"),
        (Lowered("lW13"), "lowered: no figures noted"),
        (Measured("lW13", growth_m=0.24, flowering_truss=9), "measured: grew 24 cm, truss 9 flowers"),
        (Measured("lW13", tip_under_wire_m=0.4, by="eye"), "seen in passing: tip 40 cm under the wire"),
        (Looked(("lW13",), ("c1",)), "its clips there were seen holding"),
        (Picked("round", kg=1.5, clean=False), "picked round, 1.5 kg, ripe ones left"),
        (Picked("round"), "picked round, not weighed"),
        (Picked("round", kg=2.0, colour_percent=45.0), "picked round, 2 kg, pink"),
    ],
)
def test_sentences(body: Body, words: str) -> None:
    assert sentence(SEASON, _entry(body)) == words


def test_a_kind_of_a_newer_version_and_a_broken_body_are_named() -> None:
    newer = Entry("e1", "a1", "d", DAY, 1, "", "W1-03", "grafted", 2, "{}")
    broken = Entry("e1", "a1", "d", DAY, 1, "", "W1-03", "measured", 1, "[]")
    assert sentence(SEASON, newer) == "grafted: of a newer version"
    assert sentence(SEASON, broken) == "measured: cannot be read"


def test_a_row_pass_is_part_of_the_story_of_those_it_took() -> None:
    took = _entry(SideShooted(("lW13",)), about="W1")
    assert mentions(took, ids_at(SEASON, "W1-03"))
    assert not mentions(took, ids_at(SEASON, "W1-04"))


def test_control_characters_do_not_reach_the_terminal() -> None:
    told = plain_text(story_page(SEASON, [_entry(Note("red\x1b[31m [/] line\nbreak"))], "W1-03"))
    assert "\x1b" not in told
    assert "[/]" in told


def test_an_empty_story_says_so() -> None:
    assert plain_text(story_page(SEASON, [], "W1-05")).strip() == "Nothing was noted about W1-05 yet."
