"""What is told of clips against what happens: in simulated worlds, and as it is shown."""

from __future__ import annotations

from datetime import timedelta
from random import Random

import pytest

from tests.loads.bounds import rows_of
from tests.loads.made import DAY, outlook, season, tiered
from tests.loads.worlds import (
    DOUBLED,
    WORLDS,
    Score,
    add_season,
    bands,
    holds_lost,
    kind_of_clip,
    lived,
    scored,
    season_places,
    table,
)
from tunneltui.loads.calibration import warning_records, warnings_words
from tunneltui.loads.chain import loads
from tunneltui.season.state import Ending
from tunneltui.values import replace

WEEK = timedelta(days=7)


def test_a_few_seasons_of_a_truth_of_another_model() -> None:
    """Of six seasons: told within half and double of what happened, more found by chance than by a fixed rule."""
    score = scored("S", range(6))
    assert score.happened > 40
    assert 0.6 < score.told / score.happened < 1.6
    assert score.found > score.found_fixed


def test_bands_hold_in_a_few_seasons() -> None:
    """Masses, places of clips and trusses, stiffness and what is left on the lowest truss are not as told."""
    for kind, (inside, of) in bands(range(300, 312)).items():
        assert of > 700
        assert 0.85 <= inside / of <= 0.965, kind


def test_who_knows_more_finds_more() -> None:
    """The exact chances of one who knows loads and strengths come true; no warnings find more in the long run."""
    scores = {"the program": Score(), "both": Score()}
    for seed in range(6):
        luck = f"S {seed}"
        life = lived(WORLDS["S"], season_places(seed), Random(luck))
        rows = rows_of(WORLDS["S"], life, kind_of_clip(Random(luck)))
        for watcher, score in scores.items():
            add_season(score, rows[watcher])
    assert scores["both"].recall >= scores["the program"].recall
    # Sixty and more failures: 0.13 each way is one standard deviation.
    assert 0.7 < scores["both"].told / scores["both"].happened < 1.3


def test_a_clip_is_foreseen_to_bear_what_is_told_of_it_later() -> None:
    """Of a stem that is let out again after a week: 12 % too little where that was left out."""
    places = [place for seed in range(3) for place in season_places(seed)]
    later = [
        (place.foreseen[3], place.looks[3]) for place in places if len(place.looks) > 3 and place.looks[3].last
    ]
    assert len(later) > 100
    assert sum(look.load_n for look, _ in later) == pytest.approx(sum(seen.told_n for _, seen in later), rel=0.04)


def test_second_clips_go_where_a_fortnight_wants_them() -> None:
    """Of thirty seasons, a third of the new clips doubled by the chance of the first fortnight saves at least 3 in
    100 holds more than by the fixed rule (heavy, next to the hook). With 44 a season, more than half of the new
    clips, it saves no fewer: there even one who knows all saves but 3 in 100 more."""
    lost = holds_lost("S", range(30), DOUBLED)
    third, half, _ = DOUBLED
    assert lost[third, "fixed"] - lost[third, "chance"] >= 0.03 * lost[0, ""]
    assert lost[half, "chance"] <= lost[half, "fixed"]
    assert lost[half, "fixed"] - lost[half, "all known"] < 0.04 * lost[0, ""]


@pytest.mark.long
@pytest.mark.parametrize("name", "SWEM")
def test_the_fifth_strength_lies_in_its_interval(name: str) -> None:
    """Of forty seasons at 90 %; by the curvature at the mode alone 0.80 of them with the widest errors."""
    score = scored(name, range(200, 240))
    assert 0.83 <= score.covered / score.seasons <= 0.97


@pytest.mark.long
def test_fifty_seasons_of_four_worlds() -> None:
    for line in table(range(50)):
        print(line)
    for name in "SWEM":
        score = scored(name, range(50))
        assert 0.85 <= score.told / score.happened <= 1.15
        # By week hung within a third, and 90 % intervals hold 83 to 97 %.
        for weeks in range(4):
            assert 0.67 <= score.by_week[weeks][0] / score.by_week[weeks][1] <= 1.33
        assert 0.83 <= score.covered / score.seasons <= 0.97
        assert score.found > score.found_fixed


def test_told_and_happened_of_a_house() -> None:
    """One clip of seven failed at its first look, the others held at two: seven first looks, six second ones."""
    one, grown = tiered()
    hung = DAY - 2 * WEEK
    fixings = tuple(replace(f, hung_on=hung, seen_on=(hung, DAY - WEEK, DAY)) for f in one.fixings if f.id != "a5")
    gone = replace(next(f for f in one.fixings if f.id == "a5"), hung_on=hung, seen_on=(hung,))
    broke = replace(one, fixings=fixings, endings=(Ending(gone, DAY - WEEK, "slid"),))
    workings = loads(season(broke), outlook({"a": grown}), DAY).workings
    assert workings is not None
    told = warning_records(workings)
    assert [line.looks for line in told] == [0, len(fixings) + 1, len(fixings), 0]
    assert [line.happened for line in told] == [0, 1, 0, 0]
    assert 0 < told[1].failures_foreseen < 2
    assert "happened 1 (second" in warnings_words(told)


def test_nothing_looked_at_says_nothing() -> None:
    one, grown = tiered()
    workings = loads(season(one), outlook({"a": grown}), DAY).workings
    assert workings is not None
    assert warnings_words(warning_records(workings)) == ""
