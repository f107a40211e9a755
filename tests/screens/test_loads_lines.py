"""The loads in words and figures: what is told of a clip, of a change, and how clips are folded."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from tests.screens.made_demo import demo_at
from tunneltui.chores.morning import Morning
from tunneltui.loads.calibration import WarningRecord
from tunneltui.pages.loads import ClipChange, answer_words, chance_words, levels, load_lines, pulled_down
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.loads_lines import clip_detail, head_parts, loads_lines
from tunneltui.screens.parts import fitted, width_of
from tunneltui.screens.work import PlanRequest, morning_view
from tunneltui.values import replace


@cache
def morning() -> Morning:
    entries = FileClient(demo_at(Path(mkdtemp()))).entries()
    made = morning_view(entries, PlanRequest(None, datetime.now(UTC))).morning
    assert made is not None
    return made


def text(parts: object) -> str:
    return "".join(str(part.text) for part in parts)  # type: ignore[attr-defined]


def test_every_clip_has_one_line_doubled_ones_and_those_at_a_head_folded() -> None:
    lines = load_lines(morning(), "clips", {})
    assert sum(line.folded for line in lines) == len(morning().loads.clips)
    heads = [line.what for line in lines if line.on == "head"]
    assert len(heads) == len(set(heads)), "one line a head"
    assert any(line.folded == 2 and line.on != "head" for line in lines), "a doubled clip is one line"
    shares = [line.band[1] for line in lines if line.band]
    assert shares == sorted(shares, reverse=True)
    assert levels(morning()) == (
        sum(line.level == "must" for line in lines),
        sum(line.level == "near" for line in lines),
    )


def test_at_80_columns_no_column_of_the_clips_is_left_out() -> None:
    lines = load_lines(morning(), "clips", {})
    for line in loads_lines(lines, "clips"):
        assert fitted(line.parts, 77) == line.parts
    assert sum(map(width_of, head_parts(lines, "clips"))) <= 78


def test_on_a_narrow_screen_the_share_stays_and_the_scale_goes_before_it() -> None:
    lines = load_lines(morning(), "clips", {})
    for bearing, line in zip(lines, loads_lines(lines, "clips"), strict=True):
        shown = text(fitted(line.parts, 37))
        assert bearing.band is not None
        assert f"{bearing.band[1]:.0%}" in shown
        assert "┊" not in shown


def test_beside_the_rows_stands_whether_chances_came_true() -> None:
    told = (
        WarningRecord(0, 40, 8.2, 6),
        WarningRecord(1, 30, 3.6, 3),
        WarningRecord(2, 0, 0.0, 0),
        WarningRecord(3, 0, 0.0, 0),
    )
    (line,) = (line for line in load_lines(morning(), "rows", {}, told) if line.key == "told")
    assert line.lengths == (
        "Failures of clips: told 12, happened 9 (first week 8 and 6, second 4 and 3).",
        "failures told 12, happened 9",
        "told 12, happened 9",
    )
    assert not any(line.key == "told" for line in load_lines(morning(), "rows", {}, ()))


def test_what_hangs_beyond_the_weight_of_a_stem_is_listed() -> None:
    """Where clips and hook bear over 4 % more than the stem weighs its root pulls it down, and that has a line."""
    workings = morning().loads.workings
    assert workings is not None
    over = {s.leader.name for s in workings.stems.values() if s.borne.held_n > 1.04 * s.weights.total_n}
    assert over
    lines = [line for line in load_lines(morning(), "rows", {}) if line.key.startswith("pull")]
    assert {line.key.removeprefix("pull ") for line in lines} == over
    assert {name for name, _ in pulled_down(morning().loads)} == over


def test_chances_read_as_one_in_so_many() -> None:
    assert chance_words(0.1) == "1 in 10"
    assert chance_words(0.0099) == "under 1 in 100"


def test_a_trial_shows_share_and_chance_before_and_after_and_what_else_it_loads() -> None:
    before = morning().loads.clips[0]
    after = replace(before, share=0.69, chance_7d=0.001, low_n=8.8, high_n=24.5)
    other = replace(morning().loads.clips[1], share=1.1)
    season = morning().season
    said = answer_words(season, ClipChange("second clip", before, after, ()))[0]
    chance = chance_words(before.chance_7d)
    assert said == (
        f"{before.share:.0%} → 69%, {chance} → under 1 in 100, 0.9 to 2.5 kg each; none other goes over"
    )
    assert "then over: " in answer_words(season, ClipChange("lowered", before, after, (other,)))[0]
    assert "bears none of it" in answer_words(season, ClipChange("lowered", before, None, ()))[0]
    forms = answer_words(season, ClipChange("second clip", before, after, (other,)))
    assert [len(one) for one in forms] == sorted((len(one) for one in forms), reverse=True)


def test_below_the_list_four_lines_say_it_and_none_is_cut_at_80_columns() -> None:
    for clip in morning().loads.clips[:20]:
        told = clip_detail(morning(), clip, (), 78, 4)
        assert len(told) == 4
        for line in told:
            shown = fitted(line, 78)
            assert sum(map(width_of, shown)) <= 78
            whole = [form for part in line for form in (part.text, *part.shorter)]
            assert shown[-1].text in whole, text(line)


def test_beside_the_list_every_line_fits() -> None:
    for clip in morning().loads.clips[:20]:
        for line in clip_detail(morning(), clip, (), 37, 36):
            assert sum(map(width_of, line)) <= 37, text(line)
