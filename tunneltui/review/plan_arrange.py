"""Arrangements worked out side by side: which cultivar where, how many leaders, rows single or double."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from statistics import fmean

from tunneltui.holding.crops import crop_of
from tunneltui.holding.layout import Layout, layout
from tunneltui.holding.model import Holding, Row, Tunnel
from tunneltui.holding.setting_out import SettingOut, as_it_is, set_out
from tunneltui.review.plan_order import arrange
from tunneltui.review.plan_values import RowKind, Wishes
from tunneltui.values import replace

AS_PLANTED, BY_VIGOUR, WIDER, LAID_DOWN = "as-planted", "by-vigour", "wider", "laid-down"
ONE_LEADER, TWO_LEADERS = "one-leader", "two-leaders"
SHORT_APART = "short-apart"
SINGLE_ROWS, DOUBLE_ROWS = "single-rows", "double-rows"
DOUBLE_GAP_M = 2.0
"""Rows further apart than this are not looped as a double row. Assumed."""


def arrangements(
    holding: Holding, given: SettingOut, length_m: Mapping[str, float], wishes: Wishes
) -> dict[str, SettingOut]:
    """By name of the plan, those beside ``given`` itself, which stands now; one that would be as another here is
    left out."""
    kinds: dict[str, RowKind] = {BY_VIGOUR: wishes.rows, SINGLE_ROWS: "single", DOUBLE_ROWS: "double"}
    settings: dict[str, SettingOut] = {}
    for name, kind in kinds.items():
        rows = with_rows_joined(holding, given, kind)
        arranged = _with_leaders(holding, by_vigour(holding, rows, length_m), given, wishes.leaders, length_m)
        if name == BY_VIGOUR or all(arranged.partners != other.partners for other in settings.values()):
            settings[name] = arranged
    setting = by_vigour(holding, with_rows_joined(holding, given, wishes.rows), length_m)
    heads = fmean(n for n, cultivar in zip(given.leaders, given.cultivars, strict=True) if cultivar)
    leaders, other = (1, ONE_LEADER) if (wishes.leaders or heads) > 1.5 else (2, TWO_LEADERS)
    more = {
        WIDER: wider(holding, settings[BY_VIGOUR]),
        other: _with_leaders(holding, setting, given, leaders, length_m),
    }
    return settings | {name: arranged for name, arranged in more.items() if arranged not in settings.values()}


SHORT_OF_MEAN = 0.75
"""A cultivar that stays under this share of its loop's mean stem holds back those behind it. Assumed."""


def short_cultivars(cultivars: Sequence[str], length_m: Mapping[str, float]) -> frozenset[str]:
    """Those of a loop that stay short of the others."""
    planted = [cultivar for cultivar in cultivars if cultivar]
    if len(set(planted)) < 2:
        return frozenset()
    mean_m = sum(length_m[cultivar] for cultivar in planted) / len(planted)
    return frozenset(c for c in planted if length_m[c] < SHORT_OF_MEAN * mean_m)


def short_apart(holding: Holding, given: SettingOut, length_m: Mapping[str, float]) -> SettingOut | None:
    """Each loop's short cultivars at its beginning, the last on the way round, where no longer stem comes up from
    behind; the others keep their order. None where no loop mixes short and long ones so. Stems that stop at the
    wire pass no other."""
    cultivar_of = given.cultivar_of
    new = dict(cultivar_of)
    for loop, short in _short_by_loop(holding, given, length_m):
        behind = [cultivar_of[name] for name in loop if cultivar_of[name] in short]
        others = [cultivar_of[name] for name in loop if cultivar_of[name] not in short]
        new |= dict(zip(loop, [*behind, *others], strict=True))
    arranged = replace(given, cultivars=tuple(new[place] for place in given.places))
    return None if arranged == given else _as_they_had(holding, arranged, given, length_m)


def all_short(holding: Holding, given: SettingOut, length_m: Mapping[str, float]) -> frozenset[str]:
    """Cultivars that stay short in any loop in which heads pass each other."""
    return frozenset(name for _, short in _short_by_loop(holding, given, length_m) for name in short)


def _short_by_loop(
    holding: Holding, given: SettingOut, length_m: Mapping[str, float]
) -> Iterator[tuple[list[str], frozenset[str]]]:
    """Each loop's places whose heads travel, and its short cultivars."""
    cultivar_of = given.cultivar_of
    stops = {row for row, way in zip(given.rows, given.trainings, strict=True) if way == "pinched_at_wire"}
    places = layout(set_out(holding, given)).places
    for every in _loops(holding, given):
        loop = [name for name in every if places[name].row_id not in stops]
        yield loop, short_cultivars([cultivar_of[name] for name in loop], length_m)


def as_planted(holding: Holding, intended: Mapping[str, str], heads: Mapping[str, int]) -> SettingOut:
    """What stands now, where it stands now; ``heads`` of the plant at each place where one stood."""
    plain = as_it_is(holding)
    return replace(
        plain,
        cultivars=tuple(intended.get(place, "") for place in plain.places),
        leaders=tuple(map(heads.get, plain.places, plain.leaders)),
    )


def by_vigour(holding: Holding, given: SettingOut, length_m: Mapping[str, float]) -> SettingOut:
    """The same cultivars on the same places by ``plan_order.arrange``."""
    places = layout(set_out(holding, given))
    new = arranged(places, given.cultivar_of, length_m)
    return replace(given, cultivars=tuple(new[place] for place in given.places))


def arranged(places: Layout, cultivar_of: Mapping[str, str], length_m: Mapping[str, float]) -> dict[str, str]:
    """The same cultivars on the same places by ``plan_order.arrange``; places left empty stay so, and a crop that
    is never tiered stays in its own places: its heads pass no others."""
    kept = {name: c for name, c in cultivar_of.items() if _never_tiered(places, c)}
    loops = loops_of(places, {name: c for name, c in cultivar_of.items() if name not in kept})
    given = [cultivar_of[name] for loop in loops for name in loop]
    dealt = arrange([len(loop) for loop in loops], given, length_m)
    new = {
        name: cultivar
        for loop, mine in zip(loops, dealt, strict=True)
        for name, cultivar in zip(loop, mine, strict=True)
    }
    return {name: new.get(name, kept.get(name, "")) for name in cultivar_of}


def _never_tiered(places: Layout, cultivar: str) -> bool:
    record = places.cultivars.get(cultivar)
    return record is not None and not crop_of(record.crop).tiered


def loops_of(places: Layout, cultivar_of: Mapping[str, str]) -> list[list[str]]:
    """Places with a cultivar, of each loop, along the way round."""
    in_order = sorted(places.places.items(), key=lambda item: item[1].u_m)
    return [[n for n, s in in_order if s.loop.id == loop and cultivar_of.get(n)] for loop in places.loops]


def rearranged(given: SettingOut, from_place: Mapping[str, str]) -> SettingOut:
    """By place the place whose plants, with their leaders, are to stand there instead."""
    stands = {
        place: (cultivar, leaders)
        for place, cultivar, leaders in zip(given.places, given.cultivars, given.leaders, strict=True)
    }
    new = [stands[from_place.get(place, place)] for place in given.places]
    return replace(given, cultivars=tuple(c for c, _ in new), leaders=tuple(n for _, n in new))


def wider(holding: Holding, given: SettingOut) -> SettingOut:
    """Every fourth place of a loop left empty."""
    return _emptied(given, {name for loop in _loops(holding, given) for name in loop[3::4]})


def _with_leaders(
    holding: Holding, setting: SettingOut, stood: SettingOut, leaders: int | None, length_m: Mapping[str, float]
) -> SettingOut:
    """None: as many as each cultivar's plants had. Else one a plant, or as many heads from half the plants: every
    second place empty, its neighbour with two. Weak ones among longer get one, for two heads of a weak plant are
    weaker still (common practice, no source)."""
    if leaders is None:
        return _as_they_had(holding, setting, stood, length_m)
    if leaders == 1:
        return replace(setting, leaders=tuple(1 for _ in setting.places))
    emptied: set[str] = set()
    doubled: set[str] = set()
    cultivar_of = setting.cultivar_of
    for loop in _loops(holding, setting):
        weak = short_cultivars([cultivar_of[name] for name in loop], length_m)
        waiting = ""
        for name in loop:
            if cultivar_of[name] in weak:
                waiting = ""
            elif waiting and cultivar_of[waiting] == cultivar_of[name]:
                emptied.add(name)
                doubled.add(waiting)
                waiting = ""
            else:
                waiting = name
    left = _emptied(setting, emptied)
    return replace(left, leaders=tuple(2 if name in doubled else 1 for name in left.places))


def _as_they_had(
    holding: Holding, setting: SettingOut, stood: SettingOut, length_m: Mapping[str, float]
) -> SettingOut:
    had: dict[str, list[int]] = {}
    for cultivar, heads in zip(stood.cultivars, stood.leaders, strict=True):
        had.setdefault(cultivar, []).append(heads)
    weak = all_short(holding, stood, length_m)
    leaders = tuple(1 if cultivar in weak else had[cultivar].pop(0) for cultivar in setting.cultivars)
    return replace(setting, leaders=leaders)


def _loops(holding: Holding, given: SettingOut) -> list[list[str]]:
    return loops_of(layout(set_out(holding, given)), given.cultivar_of)


def _emptied(given: SettingOut, names: set[str]) -> SettingOut:
    return replace(
        given,
        cultivars=tuple(
            "" if place in names else cultivar
            for place, cultivar in zip(given.places, given.cultivars, strict=True)
        ),
    )


def with_rows_joined(holding: Holding, given: SettingOut, kind: RowKind) -> SettingOut:
    """Rows each for itself, or two neighbours of a tunnel looped where they are near enough."""
    if kind == "as_they_are":
        return given
    partner: dict[str, int] = {}
    if kind == "double":
        for tunnel in holding.tunnels:
            for row, other in _pairs(tunnel):
                partner[f"{tunnel.key}{row.number}"] = other.number
                partner[f"{tunnel.key}{other.number}"] = row.number
    return replace(given, partners=tuple(partner.get(row, 0) for row in given.rows))


def _pairs(tunnel: Tunnel) -> Iterator[tuple[Row, Row]]:
    """Pairs that are looped already stay; of the others neighbours across the tunnel, from the left wall."""
    by_number = {row.number: row for row in tunnel.rows}
    taken: set[int] = set()
    for row in tunnel.rows:
        other = by_number.get(row.loop_with) if row.loop_with is not None else None
        if other is not None and row.number not in taken:
            taken |= {row.number, other.number}
            yield row, other
    free = sorted((row for row in tunnel.rows if row.number not in taken), key=lambda row: row.across_m)
    for first, other in pairwise(free):
        if (
            first.number not in taken
            and other.number not in taken
            and abs(other.across_m - first.across_m) <= DOUBLE_GAP_M
            and first.training == other.training
        ):
            taken |= {first.number, other.number}
            yield first, other
