"""Forecasts replayed on real registrations, each made from the past alone, against the figures aimed at.

Data: Ohio 2024 cherry trial (CEA Open Data collection) and the Autonomous Greenhouse Challenge, second
edition (Hemming et al. 2020), read from TUNNELTUI_OPEN_DATA. Persistence is the last interval's rate carried on.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from itertools import accumulate, pairwise
from random import Random

import pytest

from tests.growth.growing import Diary, lowered, ohio_diary
from tests.growth.open_data import compartment, needs_open_data, ohio_air, ohio_visits, rows
from tests.growth.open_sets import through_the_door
from tests.growth.ripe_days import days_to_ripe
from tunneltui.growth.backtest import Score, backtest
from tunneltui.growth.forecast import basis_of, outlook
from tunneltui.growth.fruit import REFERENCE_DAYS, light_share
from tunneltui.growth.response import truss_warmth
from tunneltui.growth.ripening import RipeningFactor
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_crop import TipTakenOut
from tunneltui.season.fold import fold

pytestmark = needs_open_data
LAST = {"ohio": date(2024, 11, 20), "challenge-1": date(2020, 6, 1), "challenge-2": date(2020, 6, 1)}
TOPPED = date(2020, 4, 22)
"""About the day (Hemming et al. 2020)."""


@cache
def _entries(name: str) -> tuple[Entry, ...]:
    """Ohio with its places and labels; a compartment's whole files with one note more: its tips came out."""
    if name == "ohio":
        return tuple(ohio_diary()[0].entries)
    entries = through_the_door(name)
    leader = next(iter(fold(entries, TOPPED).leaders))
    diary = Diary(list(entries))
    diary.write(TOPPED, "", TipTakenOut(leader))
    return tuple(diary.entries)


@cache
def _scores(name: str) -> dict[tuple[str, int], Score]:
    held = backtest(_entries(name), LAST[name])
    return {(b.what, s.days): s for b in held.backtests if b.cultivar == "" for s in b.horizons}


def _known(score: Score) -> tuple[float, float, float, float]:
    assert score.mae is not None
    assert score.mae_persistence is not None
    assert score.inside_90 is not None
    assert score.width is not None
    return score.mae, score.mae_persistence, score.inside_90, score.width


@pytest.mark.parametrize("days", [7, 14])
def test_the_flowering_truss_of_single_leaders(days: int) -> None:
    """Bands hold 85 to 97 % and the error is under that of the last interval carried on (here 0.40 and 0.60
    trusses against 0.45 and 0.87, 92 and 90 % inside)."""
    mae, persistence, inside, _ = _known(_scores("ohio")["truss", days])
    assert mae < persistence
    assert 0.85 <= inside <= 0.97


@pytest.mark.parametrize("days", [7, 14])
@pytest.mark.parametrize("number", [1, 2])
def test_the_flowering_truss_of_a_mean_of_ten(number: int, days: int) -> None:
    """A mean strays less than one stem does and is not read as a whole number, whatever it happens to be (counts
    of 6.0 and 21.0 are among them): here 0.18 to 0.41 trusses against 0.24 to 0.49 carried on."""
    mae, persistence, inside, width = _known(_scores(f"challenge-{number}")["truss", days])
    assert mae < persistence
    assert inside >= 0.80
    assert width < 1.25  # of single stems in Ohio: 1.7 and 2.1


@pytest.mark.parametrize("name", ["ohio", "challenge-1", "challenge-2"])
def test_picks_a_week_ahead_beat_the_last_pick_rate(name: str) -> None:
    """At least 15 % under it; two rows of Ohio that hold a longer interval are in, as a grower has them."""
    mae, persistence, inside, _ = _known(_scores(name)["picks", 7])
    assert mae <= 0.85 * persistence
    assert inside >= 0.80


def _ohio_group() -> dict[date, float]:
    """Trusses of the mean stem, added up."""
    totals: dict[date, float] = {}
    for visit in ohio_visits():
        totals[visit.day] = totals.get(visit.day, 0.0) + visit.new_trusses / 10
    return dict(zip(sorted(totals), accumulate(totals[day] for day in sorted(totals)), strict=True))


def _counted(name: str) -> tuple[dict[date, float], dict[date, float]]:
    """Trusses of the mean stem and daily air."""
    if name == "ohio":
        return _ohio_group(), ohio_air()
    measured = compartment(int(name[-1]))
    return measured.trusses, measured.air_c


def test_trusses_are_as_much_lighter_as_their_light_is_less() -> None:
    """Ohio 2024, 40 N, August and September against later: within a tenth, while light falls by a third."""
    months: dict[bool, list[tuple[float, float, float]]] = {True: [], False: []}
    for row in rows("ohio/harvest.csv"):
        if row["number of trusses"]:
            trusses, day = float(row["number of trusses"]), date.fromisoformat(row["Date"])
            light = light_share(day.toordinal() - round(REFERENCE_DAYS), 40.0)
            months[day.month < 10].append((trusses, float(row["Total yield"]), trusses * light))
    (full, full_kg, full_light), (late, late_kg, late_light) = (
        tuple(map(sum, zip(*months[is_full], strict=True))) for is_full in (True, False)
    )
    lighter = (late_kg / late) / (full_kg / full)
    assert lighter == pytest.approx((late_light / late) / (full_light / full), abs=0.1)
    assert lighter < 0.8


@pytest.mark.parametrize("name", ["ohio", "challenge-1", "challenge-2"])
def test_trusses_of_the_group_four_weeks_ahead(name: str) -> None:
    """Mean error of new trusses over the coming four weeks, from the fourth week on, with the rate learned by then
    and the temperatures that came: 0.75 trusses (the study: 0.59, 0.35, 0.39)."""
    counted, air = _counted(name)
    errors = []
    for day, later in _four_weeks(counted):
        rate = next(iter(basis_of(fold(_entries(name), day)).leaders.values())).rate
        warmth = sum(truss_warmth(air[day + timedelta(days=n)]) for n in range(1, 29))
        errors.append(abs(rate.coming(28, warmth) - (counted[later] - counted[day])))
    assert sum(errors) / len(errors) <= 0.75


@pytest.mark.parametrize("name", ["ohio", "challenge-1", "challenge-2"])
def test_trusses_of_the_group_as_a_morning_sees_them(name: str) -> None:
    """The same with the coming temperatures guessed, as the outlook must: here 0.73, 0.50 and 0.63, where the last
    four weeks of both compartments end after the tips came out, which nobody foresees (0.33 and 0.49 without them;
    the study's guess, the last fortnight's mean, gave 0.70 on Ohio)."""
    counted, _ = _counted(name)
    errors = []
    for day, later in _four_weeks(counted):
        leaders = outlook(fold(_entries(name), day), 28).leaders.values()
        new = [one.days[later].flowering_truss - one.days[day].flowering_truss for one in leaders]
        errors.append(abs(sum(new) / len(new) - (counted[later] - counted[day])))
    assert sum(errors) / len(errors) <= 0.75


def _four_weeks(counted: dict[date, float]) -> list[tuple[date, date]]:
    pairs = [(day, day + timedelta(days=28)) for day in sorted(counted)[4:]]
    found = [(day, later) for day, later in pairs if later in counted]
    assert len(found) >= 7
    return found


def test_ripening_a_week_ahead_within_two_days() -> None:
    """Trusses of both compartments, foreseen seven days before they were picked with the mean temperature of the
    last fortnight, the factor learned from trusses picked before; the first three of each only teach."""
    errors = [*_ripening_errors(1), *_ripening_errors(2)]
    assert len(errors) == 41
    assert sum(errors) / len(errors) <= 2.0


def _ripening_errors(number: int) -> list[float]:
    measured = compartment(number)
    errors = []
    for picked, (_, took) in sorted(measured.picks.items())[3:]:
        flowered = picked - timedelta(days=round(took)) if took == took else None
        origin = picked - timedelta(days=7)
        if flowered is None or flowered not in measured.air_c:
            continue
        factor = _learned(number, origin)
        known = [measured.air_c[flowered + timedelta(days=n)] for n in range((origin - flowered).days)]
        guess = sum(measured.air_c[origin - timedelta(days=n)] for n in range(1, 15)) / 14
        foreseen = days_to_ripe([*known, *[guess] * 120], factor.rate(origin.toordinal() + 7))
        assert foreseen is not None
        errors.append(abs(max(foreseen, len(known)) - took))
    return errors


def _learned(number: int, origin: date) -> RipeningFactor:
    measured = compartment(number)
    factor = RipeningFactor()
    for picked, (_, took) in sorted(measured.picks.items()):
        flowered = picked - timedelta(days=round(took)) if took == took else None
        if picked > origin or flowered is None or flowered not in measured.air_c:
            continue
        air = [measured.air_c[flowered + timedelta(days=n)] for n in range((picked - flowered).days)]
        expected = days_to_ripe([*air, *[air[-1]] * 120])
        assert expected is not None
        factor = factor.learn(picked.toordinal(), expected, took)
    return factor


def test_what_comes_later_changes_no_forecast() -> None:
    """Every entry after the origin is poisoned: lengths tripled, air at 60 degC, tons picked."""
    origin = date(2024, 9, 9)
    entries = _entries("ohio")
    poisoned = [entry if entry.day <= origin else _poison(entry) for entry in entries]
    clean, spoiled = (outlook(fold(list(some), origin)) for some in (entries, poisoned))
    assert clean.leaders == spoiled.leaders
    assert clean.picks == spoiled.picks
    assert (
        outlook(fold(poisoned, origin + timedelta(days=30))).leaders
        != outlook(fold(list(entries), origin + timedelta(days=30))).leaders
    )


def _poison(entry: Entry) -> Entry:
    bodies = {
        "measured": entry.body.replace('"length_m":', '"length_m":2'),
        "air": '{"source":"sensor","mean_c":39.0}',
        "picked": '{"cultivar":"cherry","kg":900.0}',
    }
    return entry._replace(body=bodies.get(entry.kind, entry.body))


@pytest.mark.parametrize("label", ["11", "15", "20"])
def test_a_stem_without_its_own_readings_follows_two_marked_ones(label: str) -> None:
    """Sparse measuring: two marked plants read weekly, a third only lowered every 20 days with its tip noted. The
    an own fit found 5.9 cm a week ahead on such plants; the aim is 6 on the mean of all (tested on all
    hidden plants together in the long run), 10 for any one of these three."""
    errors = _hidden_errors(label, [x for x in ("11", "12", "13") if x != label][:2])
    assert len(errors) >= 8
    assert sum(errors) / len(errors) <= 0.10


@dataclass(frozen=True)
class _Hidden:
    """One draw: two stems read weekly, eight only lowered every third visit, their tips told by eye."""

    errors_m: tuple[float, ...]
    inside: tuple[bool, ...]


def _hidden_draw(seed: int) -> _Hidden:
    """The eye's error has sd 5 cm and it speaks in steps of 5 cm, as the let-out does."""
    rng = Random(seed)
    truth: dict[str, dict[date, float]] = defaultdict(dict)
    for visit in ohio_visits():
        truth[visit.label][visit.day] = visit.length_cm / 100
    marked = rng.sample(sorted(truth), 2)
    diary, leaders = ohio_diary()
    days = sorted(next(iter(truth.values())))
    hidden = {leaders[label] for label in truth if label not in marked}
    let_out_m = dict.fromkeys(truth, 0.0)
    turn = {label: rng.randrange(3) for label in truth}
    tips: dict[tuple[str, date], tuple[float, float]] = {}
    for number, day in enumerate(days):
        for label in sorted(truth.keys() - set(marked)):
            before = truth[label][day] - let_out_m[label]
            if number and (number + turn[label]) % 3 == 0:
                step = max(0.0, 0.05 * round((before - 1.7) / 0.05))
                let_out_m[label] += step
                under = 0.05 * round((2.2 - before + step + rng.gauss(0, 0.05)) / 0.05)
                lowered(diary, day, leaders[label], f"O1-{label}", let_out_m=step, tip_under_wire_m=under)
            tips[label, day] = (before, truth[label][day] - let_out_m[label])
    kept = [e for e in diary.entries if e.kind != "measured" or e.day == days[0] or not _of_any(e, hidden)]
    errors, inside = [], []
    for origin, later in pairwise(days[3:]):
        coming = outlook(fold(kept, origin)).leaders
        for label in sorted(truth.keys() - set(marked)):
            tip = coming[leaders[label]].days[later].tip_z_m
            errors.append(abs(tip.mid - tips[label, later][0]))
            inside.append(tip.low <= tips[label, later][0] <= tip.high)
    return _Hidden(tuple(errors), tuple(inside))


def _of_any(entry: Entry, leaders: set[str]) -> bool:
    return any(f'"{leader}"' in entry.body for leader in leaders)


def test_unread_plants_in_one_draw() -> None:
    """A small version of the next; single draws scatter from 4.5 to 7.3 cm."""
    drawn = _hidden_draw(5)
    assert len(drawn.errors_m) == 8 * 12
    assert sum(drawn.errors_m) / len(drawn.errors_m) <= 0.075


@pytest.mark.long
def test_unread_plants_lowered_every_twenty_days_are_foreseen_within_six_centimetres() -> None:
    """The study found 5.9 cm a week ahead over 40 to 80 draws, and intervals holding 82 to 88 % before they were
    made a tenth wider."""
    draws = [_hidden_draw(seed) for seed in range(20)]
    errors = [error for drawn in draws for error in drawn.errors_m]
    inside = [held for drawn in draws for held in drawn.inside]
    assert sum(errors) / len(errors) <= 0.060
    assert 0.85 <= sum(inside) / len(inside) <= 0.97


def _hidden_errors(hidden: str, marked: list[str]) -> list[float]:
    """Week-ahead errors [m] of the hidden plant's tip; every 20 days it is lowered back to 50 cm under wire."""
    diary, leaders = ohio_diary(labels=(hidden, *marked))
    truth = {v.day: v.length_cm / 100 for v in ohio_visits() if v.label == hidden}
    mine = leaders[hidden]
    first = min(truth)
    wire_m, let_out_m = 2.2, 0.0
    tips: dict[date, float] = {}
    for number, day in enumerate(sorted(truth)):
        if number and number % 3 == 0:
            wanted = truth[day] - let_out_m - (wire_m - 0.5)
            if wanted > 0:
                let_out_m += wanted
                lowered(diary, day, mine, f"O1-{hidden}", let_out_m=round(wanted, 2), tip_under_wire_m=0.50)
        tips[day] = truth[day] - let_out_m
    entries = [e for e in diary.entries if not (e.kind == "measured" and f'"{mine}"' in e.body and e.day > first)]
    errors = []
    days = sorted(truth)
    for origin, later in pairwise(days[3:]):
        coming = outlook(fold(entries, origin)).leaders[mine]
        if tips[later] > tips[origin]:  # not lowered on that very visit
            errors.append(abs(coming.days[later].tip_z_m.mid - tips[later]))
    return errors
