"""Numbers as growers say them: turns of the hook, neighbours on the wire, kg on a clip, days of the week."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tunneltui.loads.result import CornerLoad
from tunneltui.season.state import Leader, Season

G_N_PER_KG = 9.80665
HAND_M = 0.10
"""A hand's breadth on the wire (common practice, no source)."""


def cm(metres: float) -> str:
    return f"{round(metres * 100)} cm"


def kg(newton: float) -> str:
    """A load in kg, to 0.1 kg."""
    return f"{newton / G_N_PER_KG:.1f} kg"


def kg_band(low_n: float, high_n: float) -> str:
    return f"{low_n / G_N_PER_KG:.1f} to {high_n / G_N_PER_KG:.1f} kg"


def chance_words(chance: float) -> str:
    """Whole percent; what rounds to nothing is not said to be nothing."""
    return "under 1%" if chance < 0.005 else f"{chance:.0%}"


def day_word(day: date, today: date) -> str:
    """today, tomorrow, Sat within a week, else Sat 29 Aug."""
    ahead = (day - today).days
    if ahead == 0:
        return "today"
    if ahead == 1:
        return "tomorrow"
    if 1 < ahead < 7:
        return day.strftime("%a")
    return f"{day.strftime('%a')} {day.day} {day.strftime('%b')}"


def many(count: int, thing: str, things: str = "") -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {things or thing + 's'}"


def bed_words(bed: str) -> str:
    """A bed by what the grower calls it: the word stands once, whether or not the name holds it."""
    return bed if "bed" in bed.lower() else f"bed {bed}"


def listed(names: Sequence[str], most: int = 4) -> str:
    """Names with commas; past ``most`` the rest is counted."""
    if len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def stem_name(season: Season, leader: Leader, row: str = "") -> str:
    """A leader without its letter where one is meant to stand at its place, and without the row it is spoken of
    in. Looks at that leader alone."""
    standing = season.layout.places.get(leader.place)
    alone = standing is not None and standing.place.leaders == 1 and leader.name == f"{leader.place}a"
    name = leader.place if alone else leader.name
    return name.removeprefix(f"{leader.row}-") if row == leader.row else name


def turn_m(season: Season, leader: Leader) -> float | None:
    """Twine let out by one turn of the leader's hook, where its kind says."""
    if leader.hook is None:
        return None
    kinds = {kind.key: kind.turn_m for kind in season.holding.hooks}
    return kinds.get(leader.hook.kind)


def let_out(metres: float, one_turn_m: float | None) -> str:
    """``one turn``, ``1½ turns``, or centimetres where a turn's length is unknown."""
    if one_turn_m is None:
        return cm(metres)
    halves = round(2 * metres / one_turn_m)
    if halves == 1:
        return "half a turn"
    if halves == 2:
        return "one turn"
    return f"{halves // 2}{'½' if halves % 2 else ''} turns"


def hook_place(season: Season, loop: str, u_m: float) -> str:
    """A place on the wire by its nearest string: ``over string 9``, ``a hand past string W2/9``."""
    strings = season.strings_of_loop(loop)
    if not strings:
        here, x_m = season.layout.loops[loop].row_at(u_m)
        return f"at {max(x_m, 0):.1f} m on {here}"
    nearest = min(strings, key=lambda s: abs(s.u_m - u_m))
    return f"{_away(u_m - nearest.u_m)} {season.string_name(nearest.id)}"


def _away(by_m: float) -> str:
    hands = round(abs(by_m) / HAND_M)
    side = "past" if by_m > 0 else "short of"
    if hands == 0:
        return "over"
    if hands == 1:
        return f"a hand {side}"
    if hands == 2:
        return f"two hands {side}"
    return f"{cm(round(abs(by_m) / 0.05) * 0.05)} {side}"


def corner_words(corner: CornerLoad) -> str:
    """What hangs over a row's end, and how it pulls on the frames there."""
    hangs = f"{listed(corner.heads)}, {kg(corner.load_n)}" if corner.heads else "no head just now"
    if corner.side_pull_n is None:
        return f"End of {corner.row}, nothing overhead: {hangs}; on what, is not noted"
    if corner.over == "end_bar":
        return f"End of {corner.row}, end bar: {hangs}; it bends and does not pull the frames sideways"
    return f"End of {corner.row}, cross wire: {hangs}; pulls the frames sideways with {kg(corner.side_pull_n)}"
