"""The growers' book of the house: raising, beds, planting, air, water, feed, stores, minutes and notes."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

from tunneltui.demo.house import EVENING, MORNING, House, due, near
from tunneltui.demo.plant import TrialLine, young_plant
from tunneltui.demo.trellis import TrainedStem
from tunneltui.demo.weather import DemoDay, Outside
from tunneltui.holding.layout import Standing
from tunneltui.holding.model import Tunnel
from tunneltui.journal.kinds_care import Air, Doors, Fed, Fleece, Forecast, Watered
from tunneltui.journal.kinds_crop import Stocked, StrengthTested
from tunneltui.journal.kinds_holding_up import Hung
from tunneltui.journal.kinds_journal import Timed
from tunneltui.journal.kinds_standing import (
    BedMade,
    Germinated,
    Hardened,
    HoldingSet,
    MarkedPlant,
    Planted,
    PottedOn,
    Sown,
)

RAISING_DAYS = 54
"""From sowing to planting."""
WEAK_VIGOUR = 0.42
COLD_C = 6.0
_LOGGER_FROM = (5, 12)


def open_book(house: House, day: date, toml: str) -> None:
    """The holding as it stands, the stores, and what the clips held in the winter's bucket tests."""
    diary, holding = house.diary, house.layout.holding
    diary.at(day, 14.0, MORNING)
    diary.alone(HoldingSet(toml))
    diary.act()
    for kind in holding.clips:
        diary.write(Stocked("clip", kind.key, 400.0))
    for twine in holding.twines:
        diary.write(Stocked("twine", twine.key, 3.0))
    for hook in holding.hooks:
        diary.write(Stocked("hook", hook.key, 30.0))
    diary.write(Stocked("feed", "house feed", 20.0))
    for kind in holding.clips:
        diary.act()
        for load_n in (20.0, 30.0, 45.0):
            held = house.luck.gauss(38, 12) > load_n
            diary.write(StrengthTested(kind.key, load_n, held))


def raise_trays(house: House, day: date, planted_on: date, cultivars: dict[str, int], label: str) -> None:
    """Whatever the trays of one batch ask for on this day: a spare fifth is sown."""
    diary = house.diary
    ago = (planted_on - day).days
    steps = {RAISING_DAYS: "sow", RAISING_DAYS - 8: "up", RAISING_DAYS - 26: "pot", 7: "harden"}
    step = steps.get(ago)
    if step is None:
        return
    diary.at(day, 9.0, MORNING)
    for cultivar, plants in cultivars.items():
        tray, sown = f"{label} {cultivar}", plants + max(2, plants // 5)
        diary.act()
        if step == "sow":
            diary.write(Sown(tray, cultivar, sown))
        elif step == "up":
            diary.write(Germinated(tray, sown - house.luck.randrange(0, 2)))
        elif step == "pot":
            diary.write(PottedOn(tray, plants + 1))
        else:
            diary.write(Hardened(tray))


def make_beds(house: House, day: date, tunnel: Tunnel) -> None:
    house.diary.at(day, 10.0, MORNING)
    for bed in tunnel.beds:
        house.diary.alone(BedMade(bed.key, bed.made or "forked over"), tunnel.key)


def plant_out(
    house: House, standing: Standing, line: TrialLine, weak: bool, marked: bool, day: date, seed: int
) -> TrainedStem:
    """One plant set, its hook hung over it."""
    diary, place, row = house.diary, standing.place, standing.row
    luck = Random(f"{seed}/{place.name}")
    vigour = WEAK_VIGOUR if weak else max(0.8, luck.gauss(1.0, 0.05))
    diary.act()
    plant = young_plant(line, vigour, luck)
    buried_m = near(abs(house.luck.gauss(0.06, 0.02)), 0.01)
    name = diary.write(Planted(place.cultivar, buried_m=buried_m), place.name, due("plant_out", place.name, day))
    hooks = house.layout.holding.hooks
    hook = "" if not hooks else hooks[0].key if row.training == "tiered" else hooks[-1].key
    spare_m = 0.3 if row.training == "pinched_at_wire" else 4.2
    hook_u_m = near(standing.u_m, 0.01)
    diary.write(Hung(name, hook_u_m, spare_m, hook), place.name)
    if marked:
        diary.write(MarkedPlant(name), place.name)
    return TrainedStem(
        id=name,
        name=f"{place.name}a",
        place=place.name,
        row=standing.row_id,
        loop=standing.loop.id,
        cultivar=place.cultivar,
        training=row.training,
        root_u_m=standing.u_m,
        limit_z_m=row.wire_height_m,
        planted=day,
        plant=plant,
        luck=luck,
        clip_luck=Random(f"{seed}/clips of {place.name}"),
        tip_z_m=plant.length_m,
        hook_u_m=hook_u_m,
        weak=weak,
        marked=marked,
    )


def read_air(house: House, tunnel: str, air: DemoDay, by_logger: bool) -> None:
    """The day's air noted in the evening: by a logger, else from the max-min thermometer on most days."""
    luck, diary = house.luck, house.diary
    if by_logger and (air.day.month, air.day.day) >= _LOGGER_FROM:
        if luck.random() < 0.03:
            return
        body = Air(
            "sensor",
            round(air.min_c, 1),
            round(air.max_c, 1),
            round(air.mean_c, 1),
            air.hours_c,
            air.hours_rh,
            readings=288,
        )
    elif luck.random() < 0.72:
        body = Air("hand", near(air.min_c + luck.gauss(0, 0.3), 0.5), near(air.max_c + luck.gauss(0, 0.3), 0.5))
    else:
        return
    diary.at(air.day, 21.0, EVENING)
    diary.alone(body, tunnel)


def water(house: House, tunnel: str, plants: int, air: DemoDay, first_days: bool) -> None:
    """Every second day, by how bright it was."""
    litres = plants * (0.25 if first_days else 0.35 + 0.075 * air.light_mj) * 2
    house.diary.at(air.day, 8.2, MORNING)
    house.diary.alone(Watered(near(litres, 5)), tunnel, due("water", tunnel, air.day))


def feed(house: House, tunnel: str, plants: int, day: date) -> None:
    house.diary.at(day, 8.5, MORNING)
    body = Fed("house feed", cans=float(max(1, round(plants / 5))))
    house.diary.alone(body, tunnel, due("feed", tunnel, day))


def cover(house: House, tunnel: str, air: DemoDay, young: bool) -> None:
    """Fleece over young plants on the evening of a cold day, off again in the morning."""
    if tunnel in house.fleeced:
        house.diary.at(air.day, 7.5, MORNING)
        house.diary.alone(Fleece(False), tunnel, due("fleece", tunnel, air.day))
        house.fleeced.remove(tunnel)
    if young and air.min_c < COLD_C:
        house.diary.at(air.day, 20.0, EVENING)
        house.diary.alone(Fleece(True), tunnel, due("fleece", tunnel, air.day))
        house.fleeced.add(tunnel)


def open_doors(house: House, tunnel: str, day: date) -> None:
    house.diary.at(day, 9.5, MORNING)
    house.diary.alone(Doors(True), tunnel)


def time_a_job(house: House, chore: str, plants: int, minutes_each: float) -> None:
    minutes = plants * minutes_each * house.luck.gauss(1, 0.12)
    house.diary.alone(Timed(chore, near(max(1.0, minutes), 0.5), plants))


def note_forecast(house: House, coming: list[Outside]) -> None:
    """The weather issued this morning for outside, surer of today than of the days after."""
    house.diary.at(coming[0].day, 6.2, MORNING)
    lows, highs = [], []
    for ahead, out in enumerate(coming):
        missed_c = house.luck.gauss(0, 0.7 + 0.35 * ahead)
        lows.append(float(round(out.min_c + missed_c)))
        highs.append(float(round(out.max_c + missed_c)))
    house.diary.alone(Forecast(coming[0].day.isoformat(), tuple(lows), tuple(highs)))


def days_between(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]
