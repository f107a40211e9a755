"""Forecasts on whole open files read through the door, against the last rate carried on and against plain rivals.

Sources: ``open_sets``. What stands in a comment is what was measured when it was written.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta
from random import Random

import pytest

from tests.benchmarks.forecasts import FILTERS, RIVALS, Set, asked, played, through_backtest, uneven
from tests.growth.open_data import needs_open_data
from tests.growth.open_sets import SETS, through_the_door
from tunneltui.growth.forecast import basis_of
from tunneltui.growth.pick_days import FIRST_STRETCH_DAYS
from tunneltui.growth.picks import Flow
from tunneltui.season.fold import fold

pytestmark = needs_open_data


@pytest.mark.parametrize(
    ("name", "days", "ratio", "inside"),
    [
        ("ohio", 7, 0.80, (0.85, 0.96)),  # 0.78, 91 %, 12.4 cm wide, n 140
        ("ohio", 14, 0.74, (0.85, 0.96)),  # 0.73, 95 %, 21.4 cm, n 130
        ("field-1", 7, 0.80, (0.84, 0.97)),  # 0.78, 93 %, 15.8 cm, n 162
        ("field-1", 14, 0.75, (0.84, 0.98)),  # 0.72, 97 %, 29.7 cm, n 135
        ("challenge-1", 7, 0.88, (0.84, 1.0)),  # 0.81, 94 %, n 17; so few that one in or out is 6 %
        ("challenge-1", 14, 0.88, (0.84, 1.0)),
        ("challenge-2", 7, 0.88, (0.84, 1.0)),
        ("challenge-2", 14, 0.88, (0.84, 1.0)),
        # Growth ends within the files, unforeseen by all: 0.92 and 1.07, 1.11 and 0.99; 77 to 90 %, n 10 to 14.
        ("cucumber-1", 7, 1.10, (0.75, 1.0)),
        ("cucumber-1", 14, 1.10, (0.75, 1.0)),
        ("cucumber-2", 7, 1.12, (0.75, 1.0)),
        ("cucumber-2", 14, 1.10, (0.75, 1.0)),
    ],
)
def test_stems(name: str, days: int, ratio: float, inside: tuple[float, float]) -> None:
    score = through_backtest(name)["stem", days]
    assert score.mae is not None
    assert score.mae_persistence is not None
    assert score.inside_90 is not None
    assert score.mae <= ratio * score.mae_persistence
    assert inside[0] <= score.inside_90 <= inside[1]


@pytest.mark.parametrize(("days", "width_m"), [(7, 0.135), (14, 0.225)])
def test_bands_of_ten_stems_are_no_wider_than_they_must_be(days: int, width_m: float) -> None:
    width = through_backtest("ohio")["stem", days].width
    assert width is not None
    assert width < width_m


@pytest.mark.parametrize("days", [7, 14])
@pytest.mark.parametrize("name", ["challenge-1", "challenge-2", "cucumber-1", "cucumber-2"])
def test_picks_of_lit_crops_beat_the_last_rate(name: str, days: int) -> None:
    """Here 0.79, 0.68; 0.79, 0.80; 0.64, 0.57; 0.61, 0.40. The field trial's steady picks do not: 1.07, 1.20."""
    score = through_backtest(name)["picks", days]
    assert score.mae is not None
    assert score.mae_persistence is not None
    assert score.inside_90 is not None
    assert score.mae <= 0.85 * score.mae_persistence
    assert score.inside_90 >= 0.85


@pytest.mark.parametrize("name", SETS)
def test_no_plain_rival_does_it_clearly_better(name: str) -> None:
    """Within 5 % of the best of six plain rivals; 8 % where visits are few: 8 in the field trial, whose stems
    swung together by an eighth from visit to visit, and a mean of cucumbers whose growth ends; 11 % of another,
    whose growth ends at once."""
    of = asked(name)
    own = played(FILTERS["filter"](of), of)
    slack = {"field-1": 1.08, "cucumber-1": 1.08, "cucumber-2": 1.11}.get(name, 1.05)
    for horizon, result in own.items():
        best = min(played(made(of), of)[horizon].mae_cm for made in RIVALS.values())
        assert result.mae_cm <= slack * best, (horizon, result.mae_cm / best)


def _ratio(label: str, name: str, horizon: int = 7) -> float:
    of = asked(name)
    return played((FILTERS | RIVALS)[label](of), of)[horizon].ratio


def test_what_each_part_is_worth() -> None:
    """Day length on a season that gets darker; the walk where crops change; the first days on lit crops, which are
    slow then; the logarithm where growth is fast."""
    assert _ratio("no day length", "ohio", 14) > 1.1 * _ratio("filter", "ohio", 14)
    assert _ratio("no walk", "ohio") > 1.05 * _ratio("filter", "ohio")
    assert all(
        _ratio("first days learned", name) > 1.15 * _ratio("filter", name)
        for name in ("challenge-1", "challenge-2")
    )
    assert _ratio("ratio less one", "cucumber-1") > 1.02 * _ratio("filter", "cucumber-1")


def test_how_uneven_a_row_is_is_learned() -> None:
    """Ohio's stems each faster or slower by a share of its own: 0.82 of persistence where the group alone gives
    0.90; on the even stems as they were it costs nothing."""
    ratios = {}
    for label in ("filter", "no leader effect"):
        draws = [uneven(asked("ohio"), seed) for seed in range(4)]
        ratios[label] = sum(played(FILTERS[label](of), of)[7].ratio for of in draws) / len(draws)
    assert ratios["filter"] < 0.95 * ratios["no leader effect"]
    assert _ratio("filter", "ohio") < 1.01 * _ratio("no leader effect", "ohio")


@pytest.mark.parametrize("horizon", [7, 14])
@pytest.mark.parametrize("name", ["ohio", "field-1"])
def test_differences_of_even_stems_are_let_go(name: str, horizon: int) -> None:
    """What set stems apart one week was gone after two: taken as lasting it cost 6 % in the field trial."""
    assert _ratio("filter", name, horizon) < 1.045 * _ratio("no leader effect", name, horizon)


def _misread(of: Set, seed: int) -> Set:
    """Some heights misread by 10 to 20 cm: a growth too long and the next as much too short, or reversed."""
    rng = Random(seed)
    visits = list(of.visits)
    for at in range(len(visits) - 1):
        for leader in [grown.leader for grown in visits[at][0].read]:
            if rng.random() < 0.06:
                off = rng.choice((-1, 1)) * rng.uniform(10, 20)
                for place, shift in ((at, off), (at + 1, -off)):
                    visit, questions = visits[place]
                    read = [one._replace(cm=one.cm + shift) if one.leader == leader else one for one in visit.read]
                    visits[place] = (visit._replace(read=read), questions)
    return of._replace(visits=visits)


def test_the_guard_pays_when_heights_are_misread() -> None:
    """6 % of heights misread by 10 to 20 cm."""
    read = [_misread(asked("ohio"), seed) for seed in range(10)]
    guarded, plain = (
        sum(played(FILTERS[label](of), of)[7].mae_cm for of in read) for label in ("filter", "no guard")
    )
    assert guarded < plain


@pytest.mark.parametrize(
    ("name", "stems"),
    # What one stem of the sheet stands for in the picks: a label of some 14 stems; stems to a square metre.
    [("ohio", 14), ("field-1", 1), ("challenge-1", 4), ("challenge-2", 3.9), ("cucumber-1", 2), ("cucumber-2", 2)],
)
def test_a_blind_promise_of_the_first_fortnight_holds(name: str, stems: float) -> None:
    """Before anything is weighed: half the kind's truss mass, known to a factor of three. Here told over picked
    0.79, 0.65, 1.62, 0.92, 0.92 and 0.68."""
    entries = through_the_door(name)
    kg: dict[date, float] = defaultdict(float)
    for pick in fold(entries, SETS[name].last).picks:
        kg[pick.day] += pick.picked.kg or 0.0
    first = min(kg)
    season = fold(entries, first - timedelta(days=1))
    known = basis_of(season, 21)
    (learned,) = known.yields.values()
    assert learned.blind
    flow = Flow(list(known.ripe.values()))
    now, end = season.day.toordinal(), first.toordinal() + 13
    assert flow.first is not None
    band, _ = learned.coming(flow, now, max(int(flow.first) - 1, now - FIRST_STRETCH_DAYS), end)
    picked = sum(mass for day, mass in kg.items() if day.toordinal() <= end)
    assert band.low * stems <= picked <= band.high * stems
