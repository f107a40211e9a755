"""What is left out of a chore in its form: by the end of a name, and refused where that names two places."""

from __future__ import annotations

import pytest

from tests.screens.given import LEADERS, chore
from tunneltui.journal import body
from tunneltui.journal.kinds_holding_up import Lowered
from tunneltui.screens import changes
from tunneltui.screens.numbers import NotANumber

FIRST = LEADERS["plant7"]
OTHER = FIRST._replace(id="plant27", name="W2-07a", place="W2-07", row="W2")
SECOND = FIRST._replace(id="plant7b", name="W1-07b")
LOWER = chore(
    "lower",
    "W1",
    "lower 3 heads",
    *(body.draft(x.place, Lowered(x.id, let_out_m=0.3)) for x in (FIRST, OTHER, SECOND)),
    leaders=(FIRST.id, OTHER.id, SECOND.id),
)


def test_a_number_that_stands_in_two_rows_is_refused_with_both() -> None:
    """It left W1-07a and W2-07a out without a word."""
    with pytest.raises(NotANumber, match="07 may be W1-07 or W2-07"):
        changes.act(LOWER, (FIRST, OTHER, SECOND), {"all but": "07"})
    left = changes.act(LOWER, (FIRST, OTHER, SECOND), {"all but": "W2-07"})
    assert {body.parsed(one)["leader"] for one in left.drafts} == {FIRST.id, SECOND.id}


def test_a_place_names_both_of_its_stems() -> None:
    left = changes.act(LOWER, (FIRST, OTHER, SECOND), {"all but": "W1-07"})
    assert {body.parsed(one)["leader"] for one in left.drafts} == {OTHER.id}
    one = changes.act(LOWER, (FIRST, OTHER, SECOND), {"all but": "W1-07b"})
    assert {body.parsed(draft)["leader"] for draft in one.drafts} == {FIRST.id, OTHER.id}
