"""A whole made-up season: weather, growth and the growers' week, day by day, written down as entries.

Laws are in ``weather``, ``plant`` and ``trellis``; what the growers do in ``stems_work``, ``crop_work`` and
``house_book``. Everything follows from the holding, the seed and the days asked for: the same three give the same
bytes. The truth kept beside the entries is what forecasts are tested against; they never see it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random

from tunneltui.demo import crop_work, happenings, house_book, lowering, stems_work
from tunneltui.demo.diary import Diary
from tunneltui.demo.house import MORNING, House
from tunneltui.demo.plant import Drive, TrialLine, drive, grow, season_line
from tunneltui.demo.trellis import TrainedStem
from tunneltui.demo.weather import DemoDay, Outside, inside, outside
from tunneltui.holding.layout import Standing, layout
from tunneltui.holding.model import WEEKDAYS, Holding, Tunnel, Weekday
from tunneltui.holding.toml import to_toml
from tunneltui.journal.entry import Entry

PLANTED = (4, 25)
PLANTED_LATE = (6, 29)
"""Rows that end at the wire follow an earlier crop."""
MARKED_EACH = 2
"""Marked plants for each cultivar of a loop."""
USUAL_WORK_DAY: Weekday = "Thu"
LOOKED_ON = ("Wed", "Sat")
TWISTED_EVERY_DAYS = 12
"""Heads that are not clipped are wound round their twine this often, counted from 4 January."""
WEAK = frozenset({"cherry 4"})
_OPENED_DAYS_BEFORE_SOWING = 4
FORECAST_AHEAD = timedelta(days=5)


@dataclass(slots=True)
class StemTruth:
    """What one leader truly did. Days are local days, values those of the evening."""

    name: str
    cultivar: str
    row: str
    length_m: dict[date, float] = field(default_factory=dict)
    tip_z_m: dict[date, float] = field(default_factory=dict)
    let_out_m: dict[date, float] = field(default_factory=dict)
    """Twine let out since planting: tip + let out is where the tip would be, had nothing been lowered."""
    flowered: dict[int, date] = field(default_factory=dict)
    ripened: dict[int, date] = field(default_factory=dict)


@dataclass(slots=True)
class Truth:
    """What the season truly was, by leader id; hidden from every forecast."""

    leaders: dict[str, StemTruth] = field(default_factory=dict)
    picked_kg: dict[tuple[date, str, str], float] = field(default_factory=dict)
    """By day, row and cultivar, before the scale."""
    airs: dict[str, dict[date, DemoDay]] = field(default_factory=dict)
    """By tunnel; some days beyond the last."""


@dataclass(frozen=True, slots=True)
class MadeSeason:
    entries: list[Entry]
    truth: Truth
    stems: list[TrainedStem]
    """As they stand on the last evening."""


def simulate(
    holding: Holding, seed: int, until: date, *, toml: str = "", weak: frozenset[str] = WEAK
) -> list[Entry]:
    """The entries alone; see ``made_season``."""
    return made_season(holding, seed, until, toml=toml, weak=weak).entries


def made_season(
    holding: Holding, seed: int, until: date, *, toml: str = "", weak: frozenset[str] = WEAK
) -> MadeSeason:
    """A season in that holding up to and including the day ``until``.

    ``toml`` is the holding's text as it is to stand in the journal (None given: written anew); ``weak`` names
    the cultivars that make about half of their neighbours' growth.
    """
    plan = layout(holding)
    house = House(plan, Diary(seed, holding.zone), Random(f"{seed}/hands"))
    planted, late = date(until.year, *PLANTED), date(until.year, *PLANTED_LATE)
    batches = _batches(list(plan.places.values()), planted, late)
    begin = planted - timedelta(days=house_book.RAISING_DAYS + _OPENED_DAYS_BEFORE_SOWING)
    house_book.open_book(house, begin, toml or to_toml(holding))
    lines = {c.key: season_line(c.fruit, Random(f"{seed}/{c.key}")) for c in holding.cultivars}
    truth = Truth(picked_kg=house.picked_kg)
    weather = outside(begin, until + FORECAST_AHEAD, holding.latitude_deg or 51.5, Random(f"{seed}/weather"))
    truth.airs = {tunnel.key: _tunnel_airs(weather, tunnel, seed) for tunnel in holding.tunnels}
    for number, day in enumerate(house_book.days_between(begin, until)):
        house.airs = {tunnel: days[day] for tunnel, days in truth.airs.items()}
        _raise_and_plant(house, day, batches, lines, weak, seed)
        if house.stems:
            house_book.note_forecast(house, weather[number : number + FORECAST_AHEAD.days])
            _grow(house, {tunnel: drive(air) for tunnel, air in house.airs.items()})
            _work(house, day)
            _remember(house, day, truth)
        happenings.happen(house, day)
    return MadeSeason(house.diary.entries, truth, house.stems)


def _tunnel_airs(weather: list[Outside], tunnel: Tunnel, seed: int) -> dict[date, DemoDay]:
    rng = Random(f"{seed}/air {tunnel.key}")
    warmer_c = rng.gauss(0.6, 0.3)
    return {out.day: inside(out, tunnel.film_light_share, warmer_c, rng) for out in weather}


def _batches(places: list[Standing], planted: date, late: date) -> dict[tuple[date, str], list[Standing]]:
    """Places by planting day and tunnel; a place without a cultivar stays empty."""
    batches: dict[tuple[date, str], list[Standing]] = {}
    for standing in places:
        if not standing.place.cultivar:
            continue
        first = planted if standing.tunnel is places[0].tunnel else planted + timedelta(days=1)
        day = late if standing.row.training == "pinched_at_wire" else first
        batches.setdefault((day, standing.tunnel.key), []).append(standing)
    return batches


def _raise_and_plant(
    house: House,
    day: date,
    batches: dict[tuple[date, str], list[Standing]],
    lines: dict[str, TrialLine],
    weak: frozenset[str],
    seed: int,
) -> None:
    for (planting_day, tunnel), places in batches.items():
        if day > planting_day:
            continue
        counts = Counter(standing.place.cultivar for standing in places)
        house_book.raise_trays(house, day, planting_day, dict(counts), f"{tunnel} {planting_day:%b}")
        if (planting_day - day).days == 14:
            house_book.make_beds(house, day, places[0].tunnel)
        if day == planting_day:
            _plant(house, day, places, lines, weak, seed)


def _plant(
    house: House, day: date, places: list[Standing], lines: dict[str, TrialLine], weak: frozenset[str], seed: int
) -> None:
    house.diary.at(day, 10.0, MORNING)
    marked: Counter[tuple[str, str]] = Counter()
    for standing in places:
        cultivar = standing.place.cultivar
        is_weak = cultivar in weak
        key = (standing.loop.id, cultivar)
        # The second and third of a block are marked: the first stands at the draughty end.
        seen = marked[key]
        marked[key] += 1
        is_marked = 1 <= seen <= MARKED_EACH or is_weak
        stem = house_book.plant_out(house, standing, lines[cultivar], is_weak, is_marked, day, seed)
        house.stems.append(stem)
    order = list(house.layout.places)
    house.stems.sort(key=lambda stem: order.index(stem.place))


def _grow(house: House, drives: dict[str, Drive]) -> None:
    for stem in house.stems:
        tunnel, _ = house.layout.rows[stem.row]
        stem.tip_z_m += grow(stem.plant, drives[tunnel.key], stem.luck)


def _work(house: House, day: date) -> None:
    """What the growers do on this day."""
    holding = house.layout.holding
    weekday = WEEKDAYS[day.weekday()]
    stems_work.repair(house, day)
    if weekday in holding.work.pick_days:
        crop_work.pick(house, day)
    for tunnel in holding.tunnels:
        _tend_tunnel(house, tunnel.key, day)
    _tend_rows(house, day, weekday)
    if weekday == "Wed":
        crop_work.measure(house, day)
    if weekday in LOOKED_ON:
        stems_work.look(house, day)
    for tunnel in holding.tunnels:
        by_logger = tunnel is holding.tunnels[0]
        house_book.read_air(house, tunnel.key, house.airs[tunnel.key], by_logger)


def _tend_rows(house: House, day: date, weekday: Weekday) -> None:
    """Rows on their work day, shoots and leaves in the morning, the loop lowered in the evening."""
    rows = [row for row in house.rows() if house.in_row(row)]
    at_work = [row for row in rows if (house.layout.rows[row][1].work_day or USUAL_WORK_DAY) == weekday]
    for row in at_work:
        _row_morning(house, row, day)
    for loop in dict.fromkeys(house.layout.loop_of_row[row].id for row in at_work):
        lowered = lowering.lower_loop(house, loop, day)
        if lowered >= 5 and house.luck.random() < 0.5:
            house_book.time_a_job(house, "lower", lowered, 1.25)
    if day.timetuple().tm_yday % TWISTED_EVERY_DAYS == 4:
        for row in rows:
            if house.layout.rows[row][1].training != "tiered":
                stems_work.twist_in(house, row, day)


def _row_morning(house: House, row: str, day: date) -> None:
    plants = len(house.in_row(row))
    house.diary.at(day, 8.0, MORNING)
    crop_work.side_shoot(house, row, day)
    crop_work.deleaf(house, row, day)
    crop_work.prune_trusses(house, row, day)
    crop_work.take_tips_out(house, row, day)
    if house.luck.random() < 0.3:
        house_book.time_a_job(house, "side_shoot", plants, 0.4)
    tunnel, _ = house.layout.rows[row]
    if house.airs[tunnel.key].max_c < 19 and day.month < 7:
        crop_work.pollinate(house, row, day)


def _tend_tunnel(house: House, tunnel: str, day: date) -> None:
    stems = [stem for stem in house.stems if house.layout.rows[stem.row][0].key == tunnel]
    if not stems:
        return
    air, since = house.airs[tunnel], (day - stems[0].planted).days
    if day.toordinal() % 2 == 0:
        house_book.water(house, tunnel, len(stems), air, since < 14)
    if WEEKDAYS[day.weekday()] == "Thu" and since > 24:
        house_book.feed(house, tunnel, len(stems), day)
    house_book.cover(house, tunnel, air, young=since < 30)
    if air.max_c > 29 and day.toordinal() % 3 == 0:
        house_book.open_doors(house, tunnel, day)


def _remember(house: House, day: date, truth: Truth) -> None:
    for stem in house.stems:
        kept = truth.leaders.setdefault(stem.id, StemTruth(stem.name, stem.cultivar, stem.row))
        kept.length_m[day] = stem.length_m
        kept.tip_z_m[day] = stem.tip_z_m
        kept.let_out_m[day] = stem.let_out_m
        for truss in stem.plant.trusses:
            if truss.flowered == day:
                kept.flowered[truss.number] = day
            if truss.ripened == day:
                kept.ripened[truss.number] = day
