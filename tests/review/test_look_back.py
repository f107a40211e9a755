"""The look back on the demo's season, and seasons side by side."""

from __future__ import annotations

from datetime import date

import pytest

from tests.report.made import entries, morning
from tests.review.test_yields import _pick, _record
from tunneltui.cells import LB_IN_KG, Units
from tunneltui.pages.season import review_text
from tunneltui.report.review_document import review_document
from tunneltui.review.look_back import LookBack, look_back
from tunneltui.review.record import within
from tunneltui.review.seasons import curves, so_far, this_week
from tunneltui.season.growing_year import CALENDAR_YEAR
from tunneltui.season.stage import crop_stage
from tunneltui.values import replace


@pytest.fixture(scope="module")
def back() -> LookBack:
    return look_back(entries(), morning().season, "cultivar")


def test_each_year_begins_anew_and_is_held_against_the_same_iso_week() -> None:
    """ISO 8601: 2025-08-04 begins 2025-W32, 2026-08-03 begins 2026-W32."""
    written = _record([_pick(date(2025, 8, 4), 3.0), _pick(date(2025, 8, 11), 5.0), _pick(date(2026, 8, 3), 4.0)])
    found = curves(written)
    assert found == {2025: {32: 3.0, 33: 8.0}, 2026: {32: 4.0}}
    against = this_week(found, CALENDAR_YEAR, date(2026, 8, 5))
    assert against is not None
    assert (against.week, against.kg, against.kg_last_year) == (32, 4.0, 3.0)
    assert this_week(found, CALENDAR_YEAR, date(2025, 8, 5)) is None
    assert so_far(found[2025], 31) is None


def test_counts_without_a_weight_make_no_kg() -> None:
    assert curves(_record([_pick(date(2026, 8, 3), None, count=12)])) == {}


def test_the_span_takes_picks_and_leaves_plants() -> None:
    written = _record([_pick(date(2026, 8, d), 1.0) for d in (1, 10, 20)])
    spanned = within(written, date(2026, 8, 10), None)
    assert len(spanned.picks) == 2
    assert spanned.plants == written.plants


def test_yields_are_the_sum_of_the_weighed_entries(back: LookBack) -> None:
    weighed = sum(pick.picked.kg or 0.0 for pick in morning().season.picks)
    assert sum(line.kg for line in back.yields) == pytest.approx(weighed)
    last = next(reversed(back.curves[2026].values()))
    assert last == pytest.approx(weighed)


def test_clips_are_counted_back_whole(back: LookBack) -> None:
    hung = sum(kind.hung for kind in back.clips)
    failed = sum(sum(kind.failed.values()) for kind in back.clips)
    assert back.clearing.clips_up + back.clearing.clips_back + failed == hung


def test_notes_come_back_at_their_stage_only(back: LookBack) -> None:
    season = morning().season
    assert back.stage == "picking"
    assert {one.text for one in back.notes} == {n.text for _, _, n in season.notes if n.stage == "picking"}
    assert back.notes
    assert crop_stage(replace(season, picks=())) == "before_first_pick"
    assert crop_stage(replace(season, leaders={}, ended={})) == "raising"


def test_plain_text_is_narrow_and_imperial_on_request(back: LookBack) -> None:
    metric, imperial = review_text(back, Units()), review_text(back, Units(imperial=True))
    assert max(map(len, metric.splitlines())) <= 80
    beef = next(line for line in back.yields if line.group == "beef 3")
    for text, mass, in_kg in ((metric, "kg", 1.0), (imperial, "lb", LB_IN_KG)):
        head, first = text.splitlines()[1:3]
        assert head.split()[:4] == ["cultivar", mass, "lost", mass]
        assert first.split()[:3] == ["beef", "3", f"{beef.kg / in_kg:.1f}"]
    assert " kg" not in imperial


def test_a_span_without_picks_says_so() -> None:
    empty = look_back(entries(), morning().season, "row", until=date(2026, 5, 1))
    assert "No pick was noted in that span." in review_text(empty, Units())
    assert all(line["kg"] is None and line["kg_per_plant"] is None for line in review_document(empty)["yields"])


def test_clips_by_way_and_age_add_up(back: LookBack) -> None:
    for kind in back.clips:
        failed = sum(kind.failed.values())
        assert sum(hung for hung, _ in kind.by_way.values()) == kind.hung
        assert sum(bad for _, bad in kind.by_way.values()) == failed
        assert sum(kind.failed_by_weeks.values()) == failed


def test_two_years_stand_side_by_side(back: LookBack) -> None:
    text = review_text(replace(back, curves={2025: {30: 2.0, 32: 5.0}, 2026: {31: 4.0}}), Units())
    assert "  week   2025 kg   2026 kg" in text
    assert "    30       2.0         -" in text
    assert "    31       2.0       4.0" in text
    assert "This week last year" not in review_text(back, Units())
