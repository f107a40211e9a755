"""Random holdings over everything the rules must hold for, made as a grower makes one: with what ``new`` writes,
edited, and checked by the same checker."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta
from random import Random
from typing import Any, Literal

import tomli_w

from tests.seasons.truth.nature import Which
from tunneltui.holding.check import checked_holding
from tunneltui.holding.layout import Layout, layout
from tunneltui.holding.model import WEEKDAYS, Weekday, Work
from tunneltui.holding.new import Start, starter

YEAR = 2027
LAST_DAY = date(YEAR, 11, 15)
"""Seasons without a day for the bed and without frost are followed to here."""
MINUTES_A_LEADER = 4.2
"""Of a week: twisting or clipping, lowering, shoots, leaves and its share of the pick, as fixed passes need them.
Houses whose minutes fall short of it are drawn again: full minutes mean that weekly passes can be kept up."""
Style = Literal["tiered", "laid_down", "pinched_at_wire", "upright"]
Minutes = float | Literal["full", "unlimited"]
"""Share of the house's minutes, all of them, or as many as are wanted."""
Truth = Which | Literal["mixed"]
"""Mixed: houses of even seeds have the first truth, those of odd ones the other."""


@dataclass(frozen=True, slots=True)
class Sort:
    """A cultivar and how it truly grows."""

    key: str
    fruit: str
    week_cm: float
    """Of stem in a week at 20 degC."""
    truss_factor: float
    """On the usual weight of a truss of its kind."""
    ripens_by: float


@dataclass(frozen=True, slots=True, eq=False)
class House:
    """One tunnel, its crop and its grower's week."""

    seed: int
    toml: str
    plan: Layout
    sorts: dict[str, Sort]
    style: Style
    cucumber: bool
    leaders: int
    """Wanted on each plant."""
    planted_on: date
    begins_on: date
    """First day in the journal: the planting, or a day in mid season."""
    day_known: bool
    """Whether a grower who begins in mid season still knows the day of planting."""
    latitude_deg: float
    minutes: int
    work_days: tuple[Weekday, ...]
    hooks_noted: bool
    air_noted: Literal["none", "thermometer", "logger"]
    ends_on: date | None
    """The bed is wanted back; None: until frost."""
    truth: Which = "first"

    @property
    def mid_season(self) -> bool:
        return self.begins_on > self.planted_on

    @property
    def stems(self) -> int:
        return self.leaders * len(self.plan.places)

    def says(self) -> str:
        rows = "+".join(str(len(row.places)) for _, row in self.plan.rows.values())
        loops = "closed" if any(x.closed for x in self.plan.loops.values()) else "looped"
        joined = loops if any(len(x.stretches) > 1 for x in self.plan.loops.values()) else "single"
        wire = next(iter(self.plan.rows.values()))[1].wire_height_m
        begun = f"begun {self.begins_on:%d %b}" if self.mid_season else f"planted {self.planted_on:%d %b}"
        return (
            f"{rows} places x{self.leaders}, {joined} {self.style}, wire {wire:g}, "
            f"{'cucumber' if self.cucumber else f'{len(self.sorts)} cultivars'}, {begun}, "
            f"{self.latitude_deg:.0f} N, {self.minutes} min {len(self.work_days)} days, "
            f"{'hooks noted' if self.hooks_noted else 'nothing noted'}, air {self.air_noted}, {self.truth} truth"
        )


def house(
    seed: int, *, minutes: Minutes = "full", most_leaders: int | None = None, truth: Truth = "first"
) -> House:
    """The house of a seed; ``most_leaders`` draws again until it is that small."""
    which = truth if truth != "mixed" else "other" if seed % 2 else "first"
    luck = Random(f"house {seed}")
    while True:
        made = _drawn(luck, seed, minutes)
        enough = made[1] * len(made[2]) >= MINUTES_A_LEADER * made[0].stems
        if enough and (most_leaders is None or made[0].stems <= most_leaders):
            return replace(made[0], truth=which)


def _drawn(luck: Random, seed: int, minutes: Minutes) -> tuple[House, int, tuple[Weekday, ...]]:
    cucumber = luck.random() < 1 / 8
    rows = luck.choices((1, 2, 3), (5, 4, 2))[0]
    places = luck.randint(8, 30)
    leaders = luck.choices((1, 2), (3, 1))[0]
    style = _style(luck, cucumber)
    sorts = _sorts(luck, cucumber)
    there = luck.randint(6, 18) * 5
    days = _work_days(luck)
    planted_on = date(YEAR, 4, 15) + timedelta(days=luck.randint(0, 40))
    ends_on = date(YEAR, 9, 20) + timedelta(days=luck.randint(0, 42)) if luck.random() < 0.5 else None
    latitude_deg = round(luck.uniform(38, 58), 1)
    mid_season = luck.random() < 0.25
    begins_on = date(YEAR, 6, 25) + timedelta(days=luck.randint(0, 45)) if mid_season else planted_on
    told = _told(there, minutes)
    text = _toml(luck, rows, places, leaders, style, list(sorts), latitude_deg, told, days, ends_on)
    made = House(
        seed,
        text,
        layout(checked_holding(text)),
        sorts,
        style,
        cucumber,
        leaders,
        planted_on,
        begins_on,
        day_known=luck.random() < 0.5,
        latitude_deg=latitude_deg,
        minutes=told,
        work_days=days,
        hooks_noted=luck.random() < 0.5,
        air_noted=luck.choice(("none", "thermometer", "logger")),
        ends_on=ends_on,
    )
    return made, there, days


def _told(there: int, minutes: Minutes) -> int:
    if minutes == "unlimited":
        return 1440
    return there if minutes == "full" else max(1, round(there * minutes))


def _style(luck: Random, cucumber: bool) -> Style:
    if cucumber:
        return luck.choices(("laid_down", "pinched_at_wire", "upright"), (3, 1, 1))[0]
    return luck.choices(("tiered", "laid_down", "pinched_at_wire", "upright"), (9, 5, 3, 2))[0]


def _sorts(luck: Random, cucumber: bool) -> dict[str, Sort]:
    """One to four cultivars of 18 to 28 cm a week; cucumbers 30 to 42 (from memory: their stems are faster)."""
    kinds = ("long", "short") if cucumber else ("cherry", "cocktail", "plum", "standard", "beef")
    made = {}
    for number in range(1, (1 if cucumber else luck.randint(1, 4)) + 1):
        fruit = luck.choice(kinds)
        key = f"{'cucumber' if cucumber else fruit} {number}"
        cm = luck.uniform(30, 42) if cucumber else luck.uniform(18, 28)
        made[key] = Sort(key, fruit, cm, max(0.5, luck.gauss(1.0, 0.2)), max(0.85, luck.gauss(1.0, 0.05)))
    return made


def _work_days(luck: Random) -> tuple[Weekday, ...]:
    count = luck.randint(2, 6)
    return tuple(sorted(luck.sample(WEEKDAYS, count), key=WEEKDAYS.index))


def _pick_days(days: tuple[Weekday, ...]) -> list[Weekday]:
    """Two of the work days, as far apart as they are; of two or three days the first and last."""
    if len(days) <= 2:
        return list(days)
    numbers = [WEEKDAYS.index(day) for day in days]
    pairs = [(a, b) for a in numbers for b in numbers if a < b]
    best = max(pairs, key=lambda pair: (min(pair[1] - pair[0], 7 - pair[1] + pair[0]), -pair[0]))
    return [WEEKDAYS[number] for number in best]


def _toml(
    luck: Random,
    rows: int,
    places: int,
    leaders: int,
    style: Style,
    cultivars: list[str],
    latitude_deg: float,
    minutes: int,
    days: tuple[Weekday, ...],
    ends_on: date | None,
) -> str:
    spacing_m = luck.choice((0.4, 0.45, 0.5, 0.6))
    wire_m = round(luck.uniform(2.25 if style == "upright" else 1.9, 2.4), 2)
    training = "pinched_at_wire" if style == "upright" else style
    start = Start(
        name="A tunnel",
        length_m=round(places * spacing_m + luck.uniform(0.0, 3.0), 1),
        width_m=2.0 + 1.3 * rows,
        rows=rows,
        places_per_row=places,
        spacing_m=spacing_m,
        wire_height_m=wire_m,
        training=training,
        cultivars=tuple(cultivars),
        zone="UTC",
        latitude_deg=latitude_deg,
    )
    edited: dict[str, Any] = tomllib.loads(starter(start))
    work = edited["work"]
    work |= {"minutes": minutes, "reach_m": round(luck.uniform(1.9, 2.2), 2), "pick_days": _pick_days(days)}
    if "work_days" in {one.name for one in fields(Work)}:
        work["work_days"] = list(days)
    if ends_on is not None:
        work["bed_wanted_back"] = ends_on
    tunnel_rows = edited["tunnels"][0]["rows"]
    if style in ("tiered", "laid_down") and rows >= 2 and luck.random() < 0.6:
        closed = luck.random() < 0.4
        for number, partner in ((0, 2), (1, 1)):
            tunnel_rows[number] |= {"loop_with": partner, "closed_loop": closed, "corner": "end_bar"}
    for row in tunnel_rows:
        if leaders > 1:
            row["places"] = [place | {"leaders": leaders} for place in row["places"]]
        if luck.random() < 0.3:
            row["work_day"] = luck.choice(days)
    if luck.random() < 0.5:
        edited["hooks"][0]["turn_m"] = luck.choice((0.18, 0.25, 0.30))
    return tomli_w.dumps(edited)
