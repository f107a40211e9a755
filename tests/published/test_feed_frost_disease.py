"""Feed arithmetic, frost tables and disease weather against published examples."""

from __future__ import annotations

from datetime import date

import pytest

from tunneltui.care import feed, frost
from tunneltui.care.disease_weather import SMITH_HOURS, DayAir, blight_day, blight_weather, leaf_mould_hours
from tunneltui.care.heat import feels, harms_set, hot_day, overhead_done_by
from tunneltui.care.heat_hours import DayHeat


def test_powder_by_the_cornell_example() -> None:
    """N. Mattson, Cornell: 20-10-20 at 150 ppm N, 1:200 takes 20.25 oz in a US gallon of concentrate; label
    rounding, 2 %. 20.03 oz/gal is 150 g/L."""
    per_litre = 150 / (20 * 10)
    concentrate_g_l = per_litre * 200
    assert concentrate_g_l == pytest.approx(20.25 * 28.3495 / 3.78541, rel=0.02)
    assert feed.strength_from_powder(feed.Label(20, 10, 20), per_litre).n_mg_l == pytest.approx(150)
    assert feed.stock_ml_per_litre(200) == 5


def test_two_salts_in_one_tank() -> None:
    """0.55 g/L of 13-0-44 and 0.37 g/L of 12-62-0 give 116 N, 101 P, 200 K (a grower's published recipe, +-1)."""
    a = feed.strength_from_powder(feed.Label(13, 0, 44), 0.55)
    b = feed.strength_from_powder(feed.Label(12, 62, 0), 0.37)
    assert a.n_mg_l + b.n_mg_l == pytest.approx(116, abs=1)
    assert a.p_mg_l + b.p_mg_l == pytest.approx(101, abs=1)
    assert a.k_mg_l + b.k_mg_l == pytest.approx(200, abs=1)


def test_density_moves_a_liquid_by_itself() -> None:
    """An invented label 5-2-7, 6 mL a litre: N 300, P 52.4, K 348.7 at density 1; 360 N at 1.2 (oxides
    by standard atomic masses)."""
    thin = feed.strength_from_liquid(feed.Label(5, 2, 7), 6)
    assert thin.n_mg_l == pytest.approx(300, abs=0.1)
    assert thin.p_mg_l == pytest.approx(52.4, abs=0.1)
    assert thin.k_mg_l == pytest.approx(348.7, abs=0.1)
    dense = feed.strength_from_liquid(feed.Label(5, 2, 7, density_kg_l=1.2), 6)
    assert dense.n_mg_l == pytest.approx(360, abs=0.1)
    by_volume = feed.strength_from_liquid(feed.Label(5, 2, 7, by="w/v", density_kg_l=1.2), 6)
    assert by_volume.n_mg_l == pytest.approx(thin.n_mg_l)


def test_oxides_from_atomic_masses() -> None:
    """Standard atomic masses: P 30.974, K 39.098, Ca 40.078, Mg 24.305, O 15.999."""
    assert pytest.approx(feed.PHOSPHORUS_OF_OXIDE, abs=1e-4) == 2 * 30.974 / (2 * 30.974 + 5 * 15.999)
    assert pytest.approx(feed.POTASSIUM_OF_OXIDE, abs=1e-4) == 2 * 39.098 / (2 * 39.098 + 15.999)
    assert pytest.approx(feed.CALCIUM_OF_OXIDE, abs=1e-4) == 40.078 / (40.078 + 15.999)
    assert pytest.approx(feed.MAGNESIUM_OF_OXIDE, abs=1e-4) == 24.305 / (24.305 + 15.999)


def test_ppm_needs_its_scale() -> None:
    assert [feed.ppm_from_ec(2.5, scale) for scale in ("500", "640", "700")] == [1250, 1600, 1750]
    with pytest.raises(KeyError):
        feed.ppm_from_ec(2.5, "")


def test_a_label_over_a_hundred_percent_is_refused() -> None:
    with pytest.raises(ValueError, match="more than there is"):
        feed.strength_from_powder(feed.Label(60, 30, 20), 1.0)


@pytest.mark.parametrize(
    ("plants", "said"), [(2, "part of a can"), (5, "1 to 2 cans"), (10, "1 to 3 cans"), (25, "4 to 6 cans")]
)
def test_cans_are_a_range(plants: int, said: str) -> None:
    """A can for some five plants is common practice, no source."""
    assert feed.cans_words(plants) == said


def test_barrels_hold_little() -> None:
    """Specific heat of water 4.186 kJ/kg K: 200 L cooling 10 K give 8.372 MJ; a 60 m2 cover, 6 W/m2K, 2 K warmer
    for 10 h loses 25.92 MJ."""
    assert frost.barrel_heat_mj(200, 10) == pytest.approx(8.372)
    assert frost.tunnel_loss_mj(60, 6, 2, 10) == pytest.approx(25.92)


def test_few_springs_give_a_list_and_no_day() -> None:
    mild = [(date(2018, 4, day), 2.0) for day in range(1, 21)]
    hardly_read = [(date(2017, 6, day), 9.0) for day in range(1, 31)]
    springs = [(date(year, 4, 20), -1.0) for year in range(2019, 2026)] + mild + hardly_read
    seen = frost.last_frosts(springs)
    assert seen.nine_in_ten_past is None
    assert len(seen.days) == 7
    assert seen.springs_without == 1


def test_night_is_a_spread_whose_cold_end_gains_nothing() -> None:
    expected = frost.night(-1.0, fleeces=1)
    assert expected.low_c == -1.0
    assert expected.low_c < expected.mid_c < expected.high_c


def _day(low_c: float, humid: int, missing: int = 0) -> DayAir:
    rh: list[float | None] = [92.0] * humid + [None] * missing
    return DayAir(low_c, (15.0,) * 24, tuple(rh + [60.0] * (24 - len(rh))))


def test_blight_weather_on_the_worked_days() -> None:
    """Hutton criteria (AHDB): two running days, 10 degC or more, six hours at 90 % or more; the Smith period
    before it asked eleven. Day list and answers worked by hand."""
    days = [_day(*d) for d in ((9.9, 12), (10, 6), (10, 6), (12, 5), (11, 11), (11, 11), (10, 24), (9.9, 24))]
    assert [i for i, met in enumerate(blight_weather(days)) if met] == [2, 5, 6]
    assert [i for i, met in enumerate(blight_weather(days, SMITH_HOURS)) if met] == [5, 6]


def test_missing_hours_that_could_decide_give_unknown() -> None:
    assert blight_day(_day(12, 5, missing=1)) is None
    assert blight_day(_day(12, 4, missing=1)) is False
    assert blight_day(_day(12, 6, missing=5)) is True
    assert blight_weather([_day(12, 6), _day(12, 5, missing=1)])[1] is None


@pytest.mark.parametrize("hours", [23, 24, 25])
def test_days_on_which_the_clock_changes_count_their_own_hours(hours: int) -> None:
    """Europe/London: 29 March 2026 has 23 hours, 25 October 25. Six humid hours are six on any of them."""
    met = DayAir(11.0, (12.0,) * hours, (92.0,) * 6 + (60.0,) * (hours - 6))
    short = DayAir(11.0, (12.0,) * hours, (92.0,) * 5 + (60.0,) * (hours - 5))
    unknown = DayAir(11.0, (12.0,) * hours, (92.0,) * 5 + (60.0,) * (hours - 6) + (None,))
    assert (blight_day(met), blight_day(short), blight_day(unknown)) == (True, False, None)
    all_day = DayAir(11.0, (20.0,) * hours, (95.0,) * hours)
    assert leaf_mould_hours(all_day) == (hours, hours)


@pytest.mark.parametrize("hours", [23, 24, 25])
def test_work_is_done_by_the_same_hour_of_the_clock(hours: int) -> None:
    """The hour that is told twice or left out lies before dawn; noon is noon."""
    before_noon = hours - 12
    day = DayHeat((15.0,) * before_noon + (38.0,) * 12, (60.0,) * hours, date(2026, 10, 25), 0.0, issued=True)
    assert day.done_by == 12


def test_leaf_mould_needs_more_than_85_percent() -> None:
    """Rutgers: below 85 % it does not occur."""
    at = DayAir(12, (20.0,) * 24, (85.0,) * 24)
    over = DayAir(12, (20.0,) * 24, (85.1,) * 24)
    assert leaf_mould_hours(at) == (0, 0)
    assert leaf_mould_hours(over) == (24, 24)


def test_heat_for_set_and_person() -> None:
    """Purdue: three hours above 40 degC on two days can fail a truss. Humidex 42.35 at 30 degC, dew point 25."""
    hot, mild = hot_day([41.0] * 3 + [20.0] * 21, 24.0), hot_day([41.0] * 2 + [20.0] * 22, 24.0)
    unread = hot_day([41.0] * 2 + [None] * 22, None)
    assert [harms_set(hot, before) for before in (hot, mild, unread)] == [True, False, None]
    assert harms_set(mild, hot) is False
    assert harms_set(unread, hot) is None
    assert harms_set(hot_day((), 26.0)) is True, "a mean over 25 to 26 degC (Agronomy 2014, 4(1):167)"
    assert feels(30, 75).words.startswith("great")
    assert overhead_done_by([20.0] * 11 + [36.0], [60.0] * 12) == 11
