"""A holding's text from outside, checked: every fault at once, with file, line, key, what was found and wanted.

One of the two modules that import pydantic; only the edge of the program imports it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, is_dataclass
from functools import cache
from itertools import islice
from typing import Any, TypeVar, cast, get_args, get_origin
from zoneinfo import available_timezones

from pydantic import TypeAdapter, ValidationError

from tunneltui.holding.consistency import disagreements
from tunneltui.holding.expected import core, expected, hints, nearest
from tunneltui.holding.lines import Path, key_lines, nearest_line
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import read_table
from tunneltui.holding.user_error import UserError

_T = TypeVar("_T")

MOST_FAULTS = 300
"""Of one sort; nobody reads more."""
_BEYOND = 1e9
"""No length, load or count of a holding reaches this."""
_HIDDEN = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
"""What moves a cursor, breaks a line or turns text around: names are shown on screens and sheets."""
_LINES = re.compile("[\n\t]")
_AT_LINE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")


@dataclass(frozen=True, slots=True)
class KeyFault:
    """One thing that is wrong in a file."""

    file: str
    line: int
    key: str
    found: str
    expected: str

    def __str__(self) -> str:
        where = f"{self.file}, line {self.line}"
        return f"{where}{', ' if self.key else ''}{self.key}: found {self.found}, wanted {self.expected}"


class HoldingFaults(UserError):
    """Every fault of a holding's text, each on a line."""

    def __init__(self, faults: Iterable[KeyFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, self.faults)), "Nothing was changed. Put this right and try again.")


@dataclass(frozen=True, slots=True)
class _FaultWithoutLine:
    """A fault before its line is known."""

    path: Path
    found: str
    expected: str


def checked_holding(text: str, file: str = "holding.toml") -> Holding:
    """The holding a text describes.

    Raises:
        HoldingFaults: with every fault of the text; only the first where it is not TOML at all.
    """
    try:
        return _checked(text, file)
    except RecursionError:
        deep = KeyFault(file, 1, "", "tables or lists within each other hundreds deep", "a holding")
        raise HoldingFaults([deep]) from None


def _checked(text: str, file: str) -> Holding:
    table = _read(text, file)
    faults = [*_first(_unfit_values(table, ())), *_first(_unknown_keys(Holding, table, ()))]
    holding: Holding | None = None
    try:
        holding = _adapter().validate_json(json.dumps(table, default=str), strict=True)
    except ValidationError as fault:
        faults += _first(_of_their_kind(fault))
    except ValueError:
        # A whole number of thousands of digits; it is among the unfit values.
        holding = None
    faults += [_FaultWithoutLine(d.path, d.found, d.expected) for d in _first(disagreements(table, _zones()))]
    if faults or holding is None:
        raise HoldingFaults(_with_lines(faults, text, file, table))
    return holding


def _read(text: str, file: str) -> dict[str, Any]:
    try:
        return read_table(text)
    except ValueError as fault:
        raise HoldingFaults([_not_toml(str(fault), text, file)]) from None


def _not_toml(message: str, text: str, file: str) -> KeyFault:
    place = _AT_LINE.search(message)
    lines = text.split("\n")
    line = 1 if place is None else int(place[1] or len(lines))
    message = _AT_LINE.sub("", message)
    return KeyFault(file, line, "", _shown(lines[line - 1].strip()), f"TOML ({_shortened(message)})")


def _first(faults: Iterable[_T]) -> list[_T]:
    """Each fault may cost a search for the nearest name: what is wrong everywhere is not read to its end."""
    return list(islice(faults, MOST_FAULTS))


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


@cache
def _adapter() -> TypeAdapter[Holding]:
    return TypeAdapter(Holding)


def _unfit_values(value: Any, path: Path) -> Iterable[_FaultWithoutLine]:
    """Numbers and texts that no field could want, wherever they stand."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _unfit_values(item, (*path, key))
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from _unfit_values(item, (*path, number))
    elif isinstance(value, int | float) and not -_BEYOND < value < _BEYOND:
        yield _FaultWithoutLine(path, _shown(value), "a number that can be")
    elif isinstance(value, str) and _HIDDEN.search(value if path[0] != "notes" else _LINES.sub("", value)):
        yield _FaultWithoutLine(path, _shown(value), "text on one line, without control characters")


def _unknown_keys(cls: Any, table: Any, path: Path) -> Iterable[_FaultWithoutLine]:
    if not isinstance(table, dict):
        return
    fields = hints(cls)
    for key, value in table.items():
        if key not in fields:
            near = nearest(key, fields)
            meant = f"{near}?" if near else f"one of {', '.join(fields)}"
            yield _FaultWithoutLine((*path, key), f"the unknown key {_shown(key)}", meant)
            continue
        hint = core(fields[key])
        if is_dataclass(hint):
            yield from _unknown_keys(hint, value, (*path, key))
        elif get_origin(hint) is tuple and isinstance(value, list):
            for number, item in enumerate(value):
                inner = core(get_args(hint)[0])
                yield from _unknown_keys(inner, item, (*path, key, number)) if is_dataclass(inner) else ()


def _of_their_kind(fault: ValidationError) -> Iterable[_FaultWithoutLine]:
    """Values of a wrong kind, out of their limits, or missing."""
    for error in fault.errors(include_url=False, include_context=False):
        path = tuple(error["loc"])
        want = _expected_at(path)
        missing = error["type"] in ("missing", "missing_argument")
        yield _FaultWithoutLine(path, "nothing" if missing else _shown(error["input"]), want)


def _expected_at(path: Path) -> str:
    hint: Any = Holding
    for part in path:
        inner = core(hint)
        if isinstance(part, int):
            hint = get_args(inner)[0]
        elif is_dataclass(inner):
            hint = hints(cast(Any, inner))[part]
        else:
            hint = get_args(inner)[1]
    return expected(hint)


def _with_lines(
    faulty: Iterable[_FaultWithoutLine], text: str, file: str, table: dict[str, Any]
) -> list[KeyFault]:
    """In the order of the file; the first fault of a key tells of it."""
    lines = key_lines(text)
    once: dict[Path, _FaultWithoutLine] = {}
    for value in faulty:
        once.setdefault(value.path, value)
    faults = [
        KeyFault(file, nearest_line(lines, path), _named(path, table), value.found, value.expected)
        for path, value in once.items()
    ]
    return sorted(faults, key=lambda fault: fault.line)


def _named(path: Path, table: Any) -> str:
    """Such as ``tunnels W, rows 1, places W1-07, x_m``: elements by their own names where they have one."""
    words: list[str] = []
    for part in path:
        if not isinstance(part, int):
            words.append(str(part))
            table = table.get(part) if isinstance(table, dict) else None
            continue
        table = table[part] if isinstance(table, list) and part < len(table) else None
        words[-1] += f" {_name_of(table, part)}"
    return ", ".join(_shortened(word) for word in words)


def _name_of(element: Any, number: int) -> str:
    if isinstance(element, dict):
        for key in ("key", "name", "number"):
            if isinstance(element.get(key), str | int):
                return str(element[key])
    return f"no. {number + 1}"


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and not -_BEYOND < value < _BEYOND:
        return "a huge number"
    # ascii() also shows what would hide or turn the text around it: control and right-to-left marks.
    if isinstance(value, str):
        return _shortened(f'"{value}"' if value.isprintable() else ascii(value))
    return _shortened(json.dumps(value, default=str))


def _shortened(text: str) -> str:
    text = text if text.isprintable() else ascii(text)
    return text if len(text) <= 80 else f"{text[:77]}..."
