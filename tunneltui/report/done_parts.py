"""The parts of the line typed at the end of a walk, understood but not yet looked up.

Parts are separated by ``;`` and may be:

- ``1-6, 8``: these lines of the sheet, as it said; ``8 but 07``: without what is at 07; ``3 up to W1-13``: as far
  as that plant; ``line 12`` where a number could be taken for a place;
- ``11 run``: line 11 is to be decided, and this is the answer;
- ``all``, ``W1 all``, ``all but 07, 12``: every line that was left, but for those places; never what is to be
  decided, looked at, weighed or walked;
- ``W1-07``, ``07, W1-12``: what the sheet said at those places alone; a number with a 0 before it is a place;
- ``14 slid``, ``14 string 8 popped``, ``14 snapped``: a clip that failed at place 14, an accident;
- ``cherry 6.2``, ``4 6,2 kg``: a weighed pick, by its name or its line;
- ``14 tip 40``: the tip at place 14 hangs 40 cm under the wire, after lowering where that was on the sheet;
- ``note ...``: a note, to the end of the part.

A row's name before a part (``W1: 14 slid``) holds for it and those after it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from tunneltui.cells import Unit
from tunneltui.holding.user_error import UserError
from tunneltui.journal.kinds_holding_up import HowFailed, PlantDropped, StemKinked, TipSnapped
from tunneltui.pages.units import in_metric
from tunneltui.values import replace

FAILED: dict[str, HowFailed] = {
    "popped": "popped_open",
    "popped open": "popped_open",
    "broke": "broke",
    "broken": "broke",
    "slid": "slid",
    "slipped": "slid",
    "pulled out": "stem_pulled_out",
    "stem pulled out": "stem_pulled_out",
    "knot": "knot",
    "twine": "twine",
    "knocked": "knocked",
    "knocked off": "knocked",
}
ACCIDENTS = {"snapped": TipSnapped, "tip snapped": TipSnapped, "kinked": StemKinked, "dropped": PlantDropped}

_PLACE = r"[^\s,;.]*\d[^\s,;.]*"
"""A place or leader, or its number: any word with a digit, as on the label at the place."""
_PLACES = rf"{_PLACE}(?:\s*(?:,|and|\s)\s*{_PLACE})*"
_NUMBER = r"\d+(?:[.,]\d+)?"
_LINE = r"[1-9]\d{0,3}"
_SPAN = rf"{_LINE}(?:\s*(?:-|to)\s*{_LINE})?"
_LINES = rf"(?:lines? )?{_SPAN}(?:\s*(?:,|and|\s)\s*(?:lines? )?{_SPAN})*"
"""Numbers of lines and stretches of them; none begins with a 0."""

What = Literal["all", "lines", "choice", "only", "failed", "accident", "picked", "tip", "note"]


class LinePart(Struct, frozen=True):
    """One part of the line."""

    what: What
    text: str
    row: str = ""
    lines: tuple[int, ...] = ()
    places: tuple[str, ...] = ()
    """For ``all`` and ``lines`` those left out."""
    up_to: str = ""
    """The last place that was done."""
    word: str = ""
    """How it failed, the accident, the answer, the cultivar or the note."""
    amount: float = 0.0


def parsed_line(line: str, rows: Sequence[str]) -> list[LinePart]:
    """The line's parts; ``rows`` are the names that may stand before a part.

    Raises:
        UserError: a part is not understood; it is quoted.
    """
    parts: list[LinePart] = []
    row = ""
    by_lower = {name.lower(): name for name in rows}
    for text in (part.strip() for part in re.split(r"[;\n]", line)):
        head, _, rest = text.partition(" ")
        named = by_lower.get(head.rstrip(":").lower())
        if named is not None:
            row, text = named, rest.strip()
        parts += [replace(part, row=row) for part in _parts(text)]
    return parts


def _parts(text: str) -> list[LinePart]:
    """Mostly one; ``1-6, 8 but 07`` are two: what is left out is left out of the last line alone."""
    lower = re.sub(r"\s+", " ", text.lower()).rstrip(".")
    if match := re.fullmatch(rf"({_LINES})\s*(?:,|and)\s*({_LINE} (?:but|except|save|up to) .+)", lower):
        return [LinePart("lines", text, lines=_lines(match[1])), *_parts(match[2])]
    return [_part(text, lower)] if text else []


def _part(text: str, lower: str) -> LinePart:
    if match := re.fullmatch(rf"(?:all|everything)(?:\s+(?:but|except|save)\s+({_PLACES}))?", lower):
        return LinePart("all", text, places=_places(match[1]))
    if match := re.fullmatch(rf"({_LINES}) (?:but|except|save) ({_PLACES})", lower):
        return LinePart("lines", text, lines=_lines(match[1]), places=_places(match[2]))
    if match := re.fullmatch(rf"({_LINES}) up to ({_PLACE})", lower):
        return LinePart("lines", text, lines=_lines(match[1]), up_to=match[2])
    if re.fullmatch(_LINES, lower):
        return LinePart("lines", text, lines=_lines(lower))
    if re.fullmatch(_PLACES, lower):
        return LinePart("only", text, places=_places(lower))
    if match := re.fullmatch(
        rf"(line {_LINE}|{_PLACE}(?: (?:string (?:[a-z]+\d+/)?\d+|head|wire)(?: [a-z])?)?) ({'|'.join(FAILED)})",
        lower,
    ):
        return LinePart("failed", text, places=(match[1],), word=match[2])
    if match := re.fullmatch(rf"({_PLACES}) ({'|'.join(ACCIDENTS)})", lower):
        return LinePart("accident", text, places=_places(match[1]), word=match[2])
    if match := re.fullmatch(rf"({_PLACE}) tip ({_NUMBER}) ?(cm|in)?", lower):
        return LinePart("tip", text, places=(match[1],), amount=_amount(match[2], "cm", match[3]))
    if match := re.match(r"note[: ]\s*(.+)", text, re.I | re.S):
        return LinePart("note", text, word=match[1].strip())
    if match := re.fullmatch(rf"(\S.*?) ({_NUMBER}) ?(kg|g|lb|oz)?", lower):
        return LinePart("picked", text, word=match[1], amount=_amount(match[2], "kg", match[3]))
    if match := re.fullmatch(rf"({_LINES}) ([a-z][a-z ]*)", lower):
        return LinePart("choice", text, lines=_lines(match[1]), word=match[2])
    raise UserError(
        f"{text!r} is not understood, so nothing was written.",
        "Parts may be: 1-6, 8; 8 but 07; 3 up to W1-13; 11 run; all; all but 07, 12; 14 slid; "
        "14 string 8 popped; 14 snapped; cherry 6.2; 14 tip 40; note ...",
    )


def _lines(text: str) -> tuple[int, ...]:
    lines: dict[int, None] = {}
    for first, last in re.findall(rf"({_LINE})(?:\s*(?:-|to)\s*({_LINE}))?", text):
        if last and int(last) < int(first):
            raise UserError(f"{first}-{last} runs backwards.", f"Write {last}-{first}.")
        lines |= dict.fromkeys(range(int(first), int(last or first) + 1))
    return tuple(lines)


def _places(text: str | None) -> tuple[str, ...]:
    return tuple(re.findall(_PLACE, text or ""))


def _amount(text: str, metric: Unit, unit: str | None) -> float:
    """In the metric unit; a number without a unit is in the grower's."""
    value = in_metric(float(text.replace(",", ".")), metric, unit or "")
    if value is None:
        raise UserError(f"{text} {unit} is no amount in {metric}.")
    return round(value, 4)
