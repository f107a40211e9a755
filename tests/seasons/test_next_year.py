"""Next year's plan in simulated seasons: it does not hang on the day one asks, and holds what was weighed."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import combinations

import pytest

from tests.seasons.growers import ByTheRound
from tests.seasons.houses import YEAR, house
from tests.seasons.season import live
from tests.seasons.truth.garden import Garden
from tunneltui.chores.morning import Morning
from tunneltui.growth.outlook import Band
from tunneltui.journal.entry import Entry
from tunneltui.review.plan import plan
from tunneltui.review.plan_against import plan_held
from tunneltui.review.plan_values import Wishes
from tunneltui.season.fold import fold
from tunneltui.season.growing_year import year_on

ASKED = [date(YEAR, 8, 1) + timedelta(days=14 * n) for n in range(9)]
"""Every fortnight from 1 August to 21 November."""


def _lived(number: int) -> list[Entry]:
    kept: list[Entry] = []

    def tell(_garden: Garden, _shown: Morning, who: ByTheRound) -> None:
        kept[:] = who.door.entries

    live(house(number, most_leaders=14), "obedient", tell)
    return kept


@pytest.mark.long
@pytest.mark.parametrize("number", range(3101, 3113))
def test_next_year_stays_as_the_autumn_goes(number: int) -> None:
    """Same house and dates: the middle of next year's kilograms moves by less than a third of the narrowest band,
    every later band overlaps every earlier one, and what was weighed lies inside the last. A journal begun in mid
    season is asked for the days the plan chooses, and holds a part of the season's kilograms: they lie inside what
    would have been planned of the same days, save in rows that nobody stopped at the wire until it was begun."""
    entries = _lived(number)
    whole = fold(entries, ASKED[-1])
    planted = min(leader.planted_on for leader in {**whole.gone, **whole.leaders}.values())
    picked = [pick for pick in whole.picks if pick.picked.kg]
    lived_in = house(number, most_leaders=14)
    part = lived_in.mid_season
    wishes = Wishes() if part else Wishes(plant=year_on(planted), end=year_on(picked[-1].day))
    bands = []
    for day in ASKED:
        known = [entry for entry in entries if entry.day <= day]
        crops = plan(known, fold(known, day), wishes).standing.crops
        bands.append(Band(*(sum(getattr(crop.kg, end) for crop in crops) for end in ("low", "mid", "high"))))
    middles = [band.mid for band in bands]
    assert max(middles) - min(middles) < min(band.high - band.low for band in bands) / 3
    assert all(one.low <= other.high and other.low <= one.high for one, other in combinations(bands, 2))
    weighed = sum(pick.picked.kg or 0.0 for pick in picked)
    if not part:
        assert bands[-1].low <= weighed <= bands[-1].high
    elif lived_in.style != "pinched_at_wire":
        plants = Counter({one.plant: one.cultivar for one in {**whole.gone, **whole.leaders}.values()}.values())
        kg = [one for one in plan_held(entries, whole).figures if one.what == "kg_per_plant"]
        learned, wide = sum(one.learned * plants[one.cultivar] for one in kg), bands[-1].high / bands[-1].mid
        assert learned / wide <= weighed <= learned * wide
