"""Margins of tunnel, fleece and barrels, and what they ask: each speaks when something should change, once."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import stdev

import pytest

from tests.chores.given import DAY, holding, loads, season
from tunneltui.care.advice import Advice
from tunneltui.care.covers import covers, expected_night, nights_words
from tunneltui.care.frost import barrels_hold_k, cover_m2, night
from tunneltui.care.heat import feels
from tunneltui.care.heat_hours import day_heat
from tunneltui.care.margin import day_margin, night_margin
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import STEPS
from tunneltui.chores.minding import with_cautions
from tunneltui.holding.model import Tunnel
from tunneltui.journal.kinds_care import Air, Forecast
from tunneltui.memo import Stages
from tunneltui.pages.air import overhead_words
from tunneltui.season.state import Season
from tunneltui.values import replace

TONIGHT = DAY + timedelta(days=1)


def _issued(low_c: float, high_c: float = 20.0, **changes: object) -> Season:
    """A season on whose day such weather is issued for the day and the night after."""
    made = Forecast(str(DAY), (12.0, low_c), (high_c, 20.0))
    return replace(season(), forecasts=((DAY, made),), **changes)  # type: ignore[arg-type]


def _tunnel(here: Season) -> Tunnel:
    return here.holding.tunnels[0]


def _asked(here: Season) -> dict[str, Advice]:
    return {one.kind: one for one in covers(here, _tunnel(here))}


def _with_nights(count: int, inside_over: list[float]) -> Season:
    """A season with so many nights whose issued minimum was 5 and whose inside one was so much over it."""
    days = [DAY - timedelta(days=n + 1) for n in range(count)]
    airs = {day: Air("sensor", 5.0 + inside_over[n % len(inside_over)], 24.0) for n, day in enumerate(days)}
    issued = tuple((day, Forecast(str(day), (5.0,), (20.0,))) for day in reversed(days))
    return replace(season(), airs={"W": airs}, forecasts=issued)


def test_without_own_nights_the_margin_is_the_published_one() -> None:
    """Savage 1980: +1.3 K mean; Guttormsen 1972: little different, so the low end is nothing."""
    margin = night_margin(season(), "W")
    assert (margin.low_k, margin.mid_k, margin.high_k, margin.own_days) == (0.0, 1.3, 3.0, 0)


def test_a_few_own_nights_pull_the_middle_and_keep_the_published_spread() -> None:
    margin = night_margin(_with_nights(3, [2.5]), "W")
    assert margin.mid_k == pytest.approx((3 * 2.5 + 3 * 1.3) / 6)
    assert (margin.low_k, margin.high_k, margin.own_days) == (0.0, 3.0, 3)


def test_from_a_week_on_the_spread_is_the_tunnels_own() -> None:
    own = [1.0, 2.0, 3.0, 0.0]
    margin = night_margin(_with_nights(8, own), "W")
    spread = 1.645 * stdev(own * 2)
    assert margin.mid_k == pytest.approx((8 * 1.5 + 3 * 1.3) / 11)
    assert margin.high_k - margin.mid_k == pytest.approx(spread)
    assert margin.mid_k - margin.low_k == pytest.approx(spread)
    assert margin.low_k < 0, "a tunnel may be colder than outside on a clear night"


def test_an_estimate_of_the_air_is_no_own_night() -> None:
    here = _with_nights(8, [2.0])
    guessed = {day: replace(air, source="estimate") for day, air in here.airs["W"].items()}
    assert night_margin(replace(here, airs={"W": guessed}), "W").own_days == 0


def test_barrels_hold_what_their_heat_pays_for() -> None:
    """619 L cooling 10 K pay for 2 K over 60 m2 of film at 6 W/m2K through 10 h: 25.92 MJ (specific heat of water
    4.186 kJ/kg K)."""
    assert barrels_hold_k(619, 60) == pytest.approx(2.0, abs=0.002)
    plain, wet = night(-1.0, fleeces=0), night(-1.0, fleeces=0, barrels_add_k=2.0)
    gained = [wet.low_c - plain.low_c, wet.mid_c - plain.mid_c, wet.high_c - plain.high_c]
    assert gained == pytest.approx([0.0, 1.0, 2.0])


def test_a_tunnel_knows_its_own_barrels() -> None:
    dry, wet = _issued(0.0), _issued(0.0, holding=holding(barrels_l=1000.0))
    held_k = barrels_hold_k(1000.0, cover_m2(10.0, 5.5))
    more = expected_night(wet, _tunnel(wet), 0.0, fleeces=0).high_c
    assert more == pytest.approx(expected_night(dry, _tunnel(dry), 0.0, fleeces=0).high_c + held_k)


@pytest.mark.parametrize(("low_c", "asked", "must"), [(3.0, False, False), (2.0, True, False), (0.0, True, True)])
def test_fleece_goes_on_before_a_cold_night(low_c: float, asked: bool, must: bool) -> None:
    """Outside minima of 2 and less; a must where the coldest the margin allows freezes."""
    found = _asked(_issued(low_c)).get("fleece")
    assert (found is not None) is asked
    if found is not None:
        assert found.must is must
        assert "no cover is a promise" in found.why
        assert "by published nights" in found.why


@pytest.mark.parametrize(("low_c", "asked"), [(5.0, False), (6.0, True)])
def test_fleece_comes_off_when_nights_are_mild(low_c: float, asked: bool) -> None:
    found = _asked(_issued(low_c, fleece_on={"W": True})).get("fleece")
    assert (found is not None) is asked
    assert found is None or found.proposal == "fleece off"


def test_fleece_that_is_on_is_not_asked_for_again() -> None:
    assert "fleece" not in _asked(_issued(-2.0, fleece_on={"W": True}))


@pytest.mark.parametrize(
    ("low_c", "layers", "asked"), [(-2.5, 1, False), (-2.7, 1, True), (-4.0, 1, True), (-4.0, 2, False)]
)
def test_a_second_fleece_where_frost_is_likely_under_the_first(low_c: float, layers: int, asked: bool) -> None:
    """Tunnel and fleece add 1.3 K each on the mean (Savage 1980, extension pages): 0 degC at -2.6 outside."""
    found = _asked(_issued(low_c, fleece_on={"W": True}, fleece_layers={"W": layers})).get("fleece")
    assert (found is not None) is asked
    if found is not None:
        assert found.must
        assert "under two" in found.why


@pytest.mark.parametrize(("high_c", "asked"), [(22.7, False), (22.9, True)])
def test_doors_open_for_what_is_expected_inside(high_c: float, asked: bool) -> None:
    """27 degC inside, 4.2 K over outside (Savage 1980)."""
    assert day_margin(season(), "W").mid_k == 4.2
    assert ("vents" in _asked(_issued(12.0, high_c))) is asked
    assert "vents" not in _asked(_issued(12.0, high_c, doors_open={"W": True}))


@pytest.mark.parametrize(("low_c", "asked"), [(10.0, False), (9.9, True)])
def test_open_doors_shut_before_a_cool_night(low_c: float, asked: bool) -> None:
    found = _asked(_issued(low_c, 18.0, doors_open={"W": True})).get("vents")
    assert (found is not None) is asked
    assert found is None or found.proposal == "doors shut before dusk"


@pytest.mark.parametrize(("on", "high_c", "proposal"), [(False, 31.0, "shade on"), (True, 23.0, "shade off")])
def test_shade_goes_on_and_off(on: bool, high_c: float, proposal: str) -> None:
    """The flowers that heat harms open nine days later (Purdue)."""
    found = _asked(_issued(15.0, high_c, shade_on={"W": on}))["shade"]
    assert found.proposal == proposal
    if not on:
        assert "on trusses that open about Sat 29 Aug" in found.why
    assert "shade" not in _asked(_issued(15.0, high_c, shade_on={"W": not on}))


def test_nothing_is_asked_without_weather() -> None:
    assert not _asked(season())


@pytest.mark.parametrize(
    ("lows", "says"),
    [
        ((), "No weather is issued"),
        (
            (11.0, 6.0, 9.0, 12.0),
            "Nights of 6 to 12 degC outside are issued, under 10 degC: in by night, out by day.",
        ),
        ((4.0, 10.0, 11.0, 12.0), "they may stay out, sheltered"),
    ],
)
def test_trays_harden_by_the_coming_nights(lows: tuple[float, ...], says: str) -> None:
    """10 degC: popular sources agreeing. The first figure is last night's."""
    issued = ((DAY, Forecast(str(DAY), lows)),) if lows else ()
    assert says in nights_words(replace(season(), forecasts=issued))


# ------------------------------------------------------------------------------------------ the person


def _hot_day(hours: int = 24) -> Air:
    night, noon = (16.0,) * 8, (34.0,) * 8
    hours_c = (*night, *(25.0,) * 2, *noon, *(24.0,) * (hours - 18))
    return Air("sensor", 16.0, 34.0, 24.0, hours_c, (60.0,) * hours)


def _after(day: date, air: Air, *issued: Forecast) -> Season:
    return replace(season(), airs={"W": {day: air}}, forecasts=tuple((DAY, one) for one in issued))


def test_overhead_work_is_done_before_the_heat() -> None:
    """Hour 10 is the first of 34 degC at 60 %: over 40, great discomfort (Environment Canada); 25 degC is not."""
    assert feels(25, 60).humidex < 40 < feels(34, 60).humidex
    heat = day_heat(_after(DAY - timedelta(days=1), _hot_day()), "W", DAY)
    assert heat is not None
    assert heat.done_by == 10
    assert overhead_words(heat).startswith("Overhead work done by 10:00")
    assert "safe" not in overhead_words(heat)


def test_overhead_chores_say_by_what_hour() -> None:
    """Only those with raised arms, only in a tunnel that will be hot, once for all of a day."""
    hot = _after(DAY - timedelta(days=1), _hot_day())
    overhead = Chore("a", "lower", "W1", "W1", 0.0, 0.0, "limp", DAY, DAY, False, True, "lower", "It is due.", ())
    below = overhead._replace(overhead=False)
    said = [one.cautions for one in with_cautions(Stages(), hot, loads(), [overhead, below])]
    by = "Overhead by 10:00, or in the cool of the evening: the heat between strains greatly."
    assert [by in cautions for cautions in said] == [True, False]
    (cool,) = with_cautions(Stages(), season(), loads(), [overhead])
    assert cool.cautions == (STEPS,)


def test_a_cooler_forecast_moves_the_hours_and_keeps_the_vapour() -> None:
    """10 K cooler, 24 degC inside: the same vapour is near saturation, and no hour strains greatly."""
    here = _after(DAY - timedelta(days=1), _hot_day(), Forecast(str(DAY), (10.0,), (19.8,)))
    heat = day_heat(here, "W", DAY)
    assert heat is not None
    assert max(t for t in heat.hours_c if t is not None) == pytest.approx(24.0)
    assert max(rh for rh in heat.hours_rh if rh is not None) == 100.0
    assert heat.done_by is None
    assert overhead_words(heat) == ""


def test_without_hours_of_humidity_nothing_is_said() -> None:
    dry = replace(_hot_day(), hours_rh=(None,) * 24)
    assert day_heat(_after(DAY - timedelta(days=1), dry), "W", DAY) is None
    assert day_heat(season(), "W", DAY) is None
