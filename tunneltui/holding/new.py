"""The text that ``tunneltui new`` begins with: a holding to edit by hand, with comments on what to fill in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import tomli_w

from tunneltui.holding.crops import USUAL, Crop, crop_of
from tunneltui.holding.model import Training, Weekday
from tunneltui.holding.user_error import UserError


@dataclass(frozen=True, slots=True)
class Start:
    """What a grower can say before anything else. Lengths in m."""

    name: str = "My tunnels"
    tunnel_key: str = "W"
    tunnel_name: str = "west tunnel"
    length_m: float = 12.0
    width_m: float = 5.0
    rows: int = 2
    places_per_row: int = 12
    spacing_m: float = 0.5
    wire_height_m: float = 2.1
    training: Training = "tiered"
    cultivars: Sequence[str] = (f"{USUAL.key} 1",)
    zone: str = "UTC"
    latitude_deg: float | None = None
    work_days: Sequence[Weekday] = ()


def starter(start: Start) -> str:
    """A holding's text that passes the check: rows side by side, a string over every place.

    Raises:
        UserError: there would be no place, or the rows do not fit into the tunnel.
    """
    _fits(start)
    head = _HEAD.format(name=_pair("name", start.name), zone=_pair("zone", start.zone), **_known(start))
    parts = [head]
    parts += [_cultivar(cultivar) for cultivar in dict.fromkeys(start.cultivars)]
    parts.append(_KINDS)
    parts.append(_tunnel(start))
    parts += [_row(start, number) for number in range(1, start.rows + 1)]
    return "\n".join(parts)


def _fits(start: Start) -> None:
    row_m = start.places_per_row * start.spacing_m
    if start.rows < 1 or start.places_per_row < 1 or not start.cultivars:
        raise UserError(
            "A tunnel begins with at least one row, one place and one cultivar.", "Say how many there are."
        )
    if row_m > start.length_m + 1e-9:
        raise UserError(
            f"{start.places_per_row} places {start.spacing_m:g} m apart need {row_m:g} m, "
            f"the tunnel is {start.length_m:g} m long.",
            "Say fewer places a row, or a smaller spacing.",
        )
    never = next((name for name in start.cultivars if not _crop(name).tiered), None)
    if start.training == "tiered" and never is not None:
        raise UserError(
            f"Stems of {never} are too brittle for tiers.",
            "Begin with laid_down or pinched_at_wire; single rows can be trained otherwise in the holding later.",
        )


def _known(start: Start) -> dict[str, str]:
    latitude = "# latitude_deg = 52.0" if start.latitude_deg is None else f"latitude_deg = {start.latitude_deg}"
    days = ", ".join(f'"{day}"' for day in start.work_days)
    return {"latitude": latitude, "work_days": f"work_days = [{days}]" if days else '# work_days = ["Mon", "Sat"]'}


def _cultivar(name: str) -> str:
    """Of the crop or the kind its name begins with, as in ``cherry 1``; else the usual ones."""
    crop, word = _crop(name), _first_word(name)
    fruit = word if word in crop.kinds else crop.kinds[0]
    return _CULTIVAR.format(
        key=_pair("key", name),
        crop=_pair("crop", crop.key),
        kinds=", ".join(crop.kinds),
        fruit=_pair("fruit", fruit),
    )


def _crop(name: str) -> Crop:
    return crop_of(_first_word(name))


def _first_word(name: str) -> str:
    return next(iter(name.split()), "").lower()


def _tunnel(start: Start) -> str:
    return _TUNNEL.format(
        key=_pair("key", start.tunnel_key),
        name=_pair("name", start.tunnel_name),
        length_m=start.length_m,
        width_m=start.width_m,
    )


def _row(start: Start, number: int) -> str:
    return _ROW.format(
        number=number,
        partner=number + 1 if number % 2 else number - 1,
        wire_height_m=start.wire_height_m,
        length_m=_m(start.places_per_row * start.spacing_m),
        across_m=_m(start.width_m * number / (start.rows + 1)),
        training=start.training,
        strings="\n".join(_strings(start)),
        places="\n".join(_places(start, number)),
    )


def _strings(start: Start) -> Iterator[str]:
    for number in range(1, start.places_per_row + 1):
        yield f'    {{ number = {number}, x_m = {_x_m(start, number)}, twine = "twine" }},'


def _places(start: Start, row: int) -> Iterator[str]:
    """One a line; the cultivars in blocks along the walk."""
    digits = max(2, len(str(start.places_per_row)))
    cultivars = list(dict.fromkeys(start.cultivars))
    for number in range(1, start.places_per_row + 1):
        walked = (row - 1) * start.places_per_row + number - 1
        cultivar = cultivars[walked * len(cultivars) // (start.rows * start.places_per_row)]
        name = _pair("name", f"{start.tunnel_key}{row}-{number:0{digits}}")
        yield f"    {{ {name}, x_m = {_x_m(start, number)}, {_pair('cultivar', cultivar)} }},"


def _x_m(start: Start, number: int) -> float:
    return _m((number - 0.5) * start.spacing_m)


def _m(length_m: float) -> float:
    """To the millimetre: nobody lays out a row more finely."""
    return round(length_m, 3)


def _pair(key: str, value: str) -> str:
    """``key = "value"`` with whatever the value holds written as TOML wants it."""
    return tomli_w.dumps({key: value}).strip()


_HEAD = """\
# What stands in your tunnels. Everything here may be edited; what you leave out is unknown or usual.
# `tunneltui holding check` says what is wrong, with the line. Lengths are in metres, forces in newton
# (1 kg hangs with 9.8 newton). Lines that begin with # are left out; take the # away to fill one in.

{name}
# Your time zone, such as "Europe/Lisbon".
{zone}
# Degrees north; with it the forecasts know how long your days are.
{latitude}

[work]
# Minutes there are for the morning round.
minutes = 60
# How high you reach from the ground.
reach_m = 2.1
# Days you work in the tunnels; left out: learned from what you tick.
{work_days}
# Days you pick; left out: two of the days you work, as far apart as they lie.
# pick_days = ["Mon", "Thu"]
# Day of the last pick; left out: until frost takes it.
# bed_wanted_back = 2026-10-15
"""

_CULTIVAR = """\
[[cultivars]]
{key}
{crop}
# One of: {kinds}
{fruit}
# One ripe fruit, and fruits on a truss; left out: usual for its kind.
# fruit_g = ?
# fruits_per_truss = ?
"""

_KINDS = """\
[[clips]]
key = "clip"
# From the packet, if its maker gives one; left out: unknown.
# rating_n = ?
biodegradable = false

[[twines]]
key = "twine"
# From the spool; left out: unknown.
# breaking_n = ?
# Metres on one, to count what the season still asks for.
# spool_m = ?

[[hooks]]
key = "hook"
# Twine that one turn lets out: measure one. Left out: let-out is said in cm.
# turn_m = ?
"""

_TUNNEL = """\
[[tunnels]]
# Every place name begins with it.
{key}
{name}
length_m = {length_m}
width_m = {width_m}
hoop_every_m = 2.0
# Crop weight on one hoop: ask the tunnel's maker. Left out: unknown, and shown as unknown.
# crop_allowed_kg_per_hoop = ?
# Height of the plastic over the rows; tips that reach it scorch.
# plastic_height_m = ?
"""

_ROW = """\
[[tunnels.rows]]
number = {number}
# Measure it.
wire_height_m = {wire_height_m}
length_m = {length_m}
# From the left wall, seen from the door.
across_m = {across_m}
# tiered, laid_down or pinched_at_wire
training = "{training}"
# Heads pass into that row at this row's end; both rows say so.
# loop_with = {partner}
# What is overhead between the two wires: end_bar, cross_wire or nothing.
# corner = "end_bar"
# Lowered and stripped as one job on that day.
# work_day = "Sun"
wire_diameter_mm = 2.5
# How tight the wire is, if you know it.
# pretension_n = ?
# Left out: the wire hangs from every hoop.
# hanger_every_m = ?
strings = [
{strings}
]
places = [
{places}
]
"""
