"""What to do about air, water and health today: only where it differs from how things stand.

Each advice is a range with its source. Local rules, labels and licensed practice come first, and nothing here
says that a night, a dose or a structure is safe.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from tunneltui.care.disease_weather import LEAF_MOULD_RH, blight_weather, grey_mould_hours, leaf_mould_hours
from tunneltui.care.frost import FROST_C, night
from tunneltui.care.heat import SET_MEAN_C
from tunneltui.care.tunnel_air import Inside, air_on, day_air, issued_for, recent_inside
from tunneltui.care.water import TUNNEL_DAY_K, TunnelDay, Water, crop_factor, drip_minutes, water
from tunneltui.growth.outlook import Outlook
from tunneltui.holding.layout import row_id
from tunneltui.holding.model import Row, Tunnel
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Doors, Fleece, Scouted, Shade, Watered
from tunneltui.season.state import Season

AREA_PER_PLANT_M2 = 0.4
"""Ground a plant roots in where the bed's area is not given; 2.5 plants/m2, common practice."""
WATER_AGAIN_DAYS = 7
"""Without a drip timer, ask anew after so many days."""
FLEECE_ON_OUTSIDE_C = 2.0
FLEECE_OFF_OUTSIDE_C = 6.0
"""Outside minima at which to cover and uncover; a clear night may be no warmer inside. Common practice."""
DOORS_OPEN_INSIDE_C = 27.0
DOORS_SHUT_NIGHT_C = 10.0
SHADE_ON_INSIDE_C = 35.0
SHADE_OFF_INSIDE_C = 28.0
"""From memory (water-feed-climate.md section 5), common practice."""
MOULD_DAYS, MOULD_HOURS = 3, 12
GREY_MOULD_DAILY_HOURS = 5


@dataclass(frozen=True, slots=True)
class Advice:
    kind: Literal["water", "fleece", "vents", "shade", "scout"]
    about: str
    """Row or tunnel."""
    must: bool
    when: Literal["early and dry", "midday", "any"]
    proposal: str
    why: str
    source: str
    body: Body
    """The entry that says it was done."""


def advice(season: Season, outlook: Outlook) -> list[Advice]:
    """All that care asks today, in the order of the holding's tunnels."""
    found: list[Advice] = []
    for tunnel in season.holding.tunnels:
        if not any(season.leaders_of_row(row_id(tunnel, row)) for row in tunnel.rows):
            continue
        found += _covers(season, tunnel)
        found += _scouting(season, tunnel)
        for row in tunnel.rows:
            found += _watering(season, outlook, tunnel, row)
    return found


def row_water(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row) -> tuple[Water, int] | None:
    """(litres a plant and day, plants) of a row; None where no air was read or nothing stands."""
    leaders = season.leaders_of_row(row_id(tunnel, row))
    inside = recent_inside(season, tunnel.key)
    if not leaders or inside is None or season.holding.latitude_deg is None:
        return None
    plants = len({leader.plant for leader in leaders})
    stems = [outlook.stem(leader.id, season.day) for leader in leaders]
    flowering = sum(stem.flowering_truss for stem in stems) / len(stems)
    out = [leader.tip_taken_out_on for leader in leaders if leader.tip_taken_out_on is not None]
    weeks_out = (season.day - min(out)).days / 7 if len(out) == len(leaders) else None
    day = _tunnel_day(season, tunnel, inside)
    return water(day, crop_factor(flowering, weeks_out), _area_m2(season, tunnel, row)), plants


def _tunnel_day(season: Season, tunnel: Tunnel, inside: Inside) -> TunnelDay:
    latitude = season.holding.latitude_deg or 0.0
    doy = season.day.timetuple().tm_yday
    return TunnelDay(
        latitude, doy, inside.min_c, inside.max_c, tunnel.film_light_share, inside.rh_min, inside.rh_max
    )


def _area_m2(season: Season, tunnel: Tunnel, row: Row) -> float:
    """Ground for one plant: the bed's, shared among the plants of all rows that stand on it."""
    bed = next((bed for bed in tunnel.beds if bed.key == row.bed), None)
    if bed is None or bed.area_m2 is None:
        return AREA_PER_PLANT_M2
    rows = [row_id(tunnel, other) for other in tunnel.rows if other.bed == row.bed]
    plants = len({leader.plant for name in rows for leader in season.leaders_of_row(name)})
    return bed.area_m2 / max(1, plants)


def _watering(season: Season, outlook: Outlook, tunnel: Tunnel, row: Row) -> Iterable[Advice]:
    found = row_water(season, outlook, tunnel, row)
    if found is None:
        return
    asked, plants = found
    name = row_id(tunnel, row)
    last = _last_watered(season, (name, tunnel.key, ""))
    bed = next((bed for bed in tunnel.beds if bed.key == row.bed), None)
    litres = f"{asked.low_l:.1f} to {asked.high_l:.1f} L a plant and day"
    source = "FAO-56, inside radiation method and Hargreaves; crop factor known to 30 %"
    if bed is not None and bed.drip_lph_per_plant is not None:
        low, high = (drip_minutes(x, bed.drip_lph_per_plant) for x in (asked.low_l, asked.high_l))
        if last is not None and last[1].minutes is not None:
            if low <= last[1].minutes <= high:
                return
            change = f"timer {last[1].minutes:.0f} to {(low + high) / 2:.0f} min"
        else:
            change = f"timer {low:.0f} to {high:.0f} min a day"
        middle = Watered(minutes=round((low + high) / 2))
    else:
        if last is not None and (season.day - last[0]).days < WATER_AGAIN_DAYS:
            return
        change = f"water {name}, {asked.low_l * plants:.0f} to {asked.high_l * plants:.0f} L a day for {plants}"
        middle = Watered(litres=round(asked.mid_l * plants, 1))
    why = f"{name} asks {litres} by the last days' air; look at the soil first"
    yield Advice("water", name, False, "any", change, why, source, middle)


def _last_watered(season: Season, abouts: tuple[str, ...]) -> tuple[date, Watered] | None:
    given = [(day, watered) for day, about, watered in season.waterings if about in abouts]
    return given[-1] if given else None


def _covers(season: Season, tunnel: Tunnel) -> Iterable[Advice]:
    low, _ = issued_for(season, season.day + timedelta(days=1))
    _, high = issued_for(season, season.day)
    if low is not None:
        yield from _fleece(season, tunnel, low)
    yield from _doors(season, tunnel, low, high)
    if high is not None:
        yield from _shade(season, tunnel, high + TUNNEL_DAY_K)


def _fleece(season: Season, tunnel: Tunnel, outside_min_c: float) -> Iterable[Advice]:
    on = season.fleece_on.get(tunnel.key, False)
    expected = night(outside_min_c, fleece=not on)
    spread = f"{expected.low_c:.0f} to {expected.high_c:.0f} degC among the plants"
    source = "Savage 1980, Guttormsen 1972, Oregon row cover trials; single nights gained nothing"
    if not on and outside_min_c <= FLEECE_ON_OUTSIDE_C:
        why = f"{outside_min_c:.0f} degC forecast outside tonight; with fleece {spread}, and no cover is a promise"
        must = outside_min_c <= FROST_C
        yield Advice("fleece", tunnel.key, must, "any", "fleece on before dusk", why, source, Fleece(on=True))
    if on and outside_min_c >= FLEECE_OFF_OUTSIDE_C:
        why = f"{outside_min_c:.0f} degC forecast outside tonight: light matters more than cover"
        yield Advice("fleece", tunnel.key, False, "any", "fleece off", why, source, Fleece(on=False))


def _doors(season: Season, tunnel: Tunnel, low_c: float | None, high_c: float | None) -> Iterable[Advice]:
    stand = season.doors_open.get(tunnel.key)
    source = "common practice; fruit set suffers above a daily mean of 25 to 26 degC (Agronomy 2014, 4(1):167)"
    inside = None if high_c is None else high_c + TUNNEL_DAY_K
    if inside is not None and inside >= DOORS_OPEN_INSIDE_C and stand is not True:
        why = f"about {inside:.0f} degC expected inside by day; shut doors go higher still"
        yield Advice("vents", tunnel.key, False, "early and dry", "doors open", why, source, Doors(open=True))
    elif low_c is not None and low_c < DOORS_SHUT_NIGHT_C and stand is True:
        why = f"{low_c:.0f} degC forecast outside tonight, under {DOORS_SHUT_NIGHT_C:.0f}"
        yield Advice("vents", tunnel.key, False, "any", "doors shut before dusk", why, source, Doors(open=False))


def _shade(season: Season, tunnel: Tunnel, inside_c: float) -> Iterable[Advice]:
    on = season.shade_on.get(tunnel.key, False)
    source = "common practice; whitening took 21 % off water use (Fernandez et al. 2010)"
    if not on and inside_c >= SHADE_ON_INSIDE_C:
        yesterday = air_on(season, tunnel.key, season.day - timedelta(days=1))
        seen = f", yesterday's mean {yesterday.mean_c:.0f}" if yesterday and yesterday.mean_c is not None else ""
        why = f"about {inside_c:.0f} degC expected inside{seen}; set suffers above a mean of {SET_MEAN_C:.1f}"
        yield Advice("shade", tunnel.key, False, "midday", "shade on", why, source, Shade(on=True))
    if on and inside_c <= SHADE_OFF_INSIDE_C:
        why = f"about {inside_c:.0f} degC expected inside"
        yield Advice("shade", tunnel.key, False, "any", "shade off", why, source, Shade(on=False))


def _scouting(season: Season, tunnel: Tunnel) -> Iterable[Advice]:
    """Look for a disease on the first day its weather is met, and not again until the weather has lapsed."""
    days = [
        day_air(season, tunnel.key, season.day - timedelta(days=back)) for back in range(MOULD_DAYS + 1, 0, -1)
    ]
    blight = blight_weather(days)
    if blight[-1] and not blight[-2]:
        why = (
            "two nights of 10 degC or more with six hours at 90 %: late blight weather outdoors; under plastic it "
            "is warmer and moister than the rule allows for"
        )
        proposal = "look for brown water-soaked patches on leaves and stems"
        yield Advice("scout", tunnel.key, True, "any", proposal, why, "Hutton criteria (AHDB)", Scouted())
    mould = [leaf_mould_hours(day)[0] >= MOULD_HOURS for day in days]
    if all(mould[1:]) and not mould[0]:
        why = (
            f"{MOULD_DAYS} days of {MOULD_HOURS} hours over {LEAF_MOULD_RH:.0f} % humidity: leaf mould can spread"
        )
        proposal = "look for yellow patches with olive felt beneath"
        yield Advice("scout", tunnel.key, False, "any", proposal, why, "Rutgers, Penn State", Scouted())
    grey = [grey_mould_hours(day)[0] >= GREY_MOULD_DAILY_HOURS for day in days]
    if all(grey[2:]) and not grey[1]:
        why = "two days with five hours over 90 % humidity at 15 to 25 degC: grey mould enters fresh scars"
        yield Advice(
            "scout", tunnel.key, False, "any", "look at the scars of taken leaves", why, "HDC PC 301", Scouted()
        )
