"""The holding as TOML text and back (``holding.check`` tells every fault of a text from outside at once).

Keys are the field names of ``holding.model``. Reading leaves out keys it does not know, so that a newer
version's holding can still be worked with; writing leaves out what equals its default.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import tomli_w
from annotated_types import Ge, Gt, Le, Len

from tunneltui.holding.model import Holding

Reader = Callable[[Any], Any]

LONGEST_TEXT = 4_000_000
"""Letters; twenty thousand places written out take about half of it."""
MOST_PARTS = 100
"""Parts of a dotted key; tomllib takes time with their square, and a holding needs four."""
_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_LONG_KEY = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?:[ \t]*+\.[ \t]*+{_PART}){{{MOST_PARTS}}}")


def from_toml(text: str) -> Holding:
    """The holding a text describes that was checked when it came in; what came in another way is refused here.

    Raises:
        ValueError: the text is not TOML, or a value is not of its field's type or out of its limits. Whether names
            in it agree is not looked at here.
    """
    try:
        holding = _read(Holding, read_table(text))
    except (TypeError, RecursionError) as fault:
        raise ValueError(f"this text is no holding: {fault}") from fault
    assert isinstance(holding, Holding)  # noqa: S101 - for the reader and the type checker
    return holding


def read_table(text: str) -> dict[str, Any]:
    """The table that a TOML text holds, before anything is asked of it.

    Raises:
        ValueError: the text is not TOML, or is made so that reading it would take minutes.
        RecursionError: tables or lists stand within each other hundreds deep.
    """
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"{len(text):,} letters are too many, at most {LONGEST_TEXT:,} are read")
    if _LONG_KEY.search(text):
        raise ValueError(f"a key of more than {MOST_PARTS} parts")
    return tomllib.loads(text)


def to_toml(holding: Holding) -> str:
    """The holding as TOML text; ``from_toml`` gives back an equal one."""
    return tomli_w.dumps(_table(holding))


def _table(value: Any) -> dict[str, Any]:
    return {f.name: _plain(item) for f in fields(value) if (item := getattr(value, f.name)) != _default(f)}


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return _table(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def _default(f: Any) -> Any:
    return f.default if f.default_factory is MISSING else f.default_factory()


def _read(cls: Any, table: Any) -> Any:
    if not isinstance(table, dict):
        raise ValueError(f"a table was wanted for {cls.__name__.lower()}")
    readers = _readers(cls)
    return cls(**{key: readers[key](value) for key, value in table.items() if key in readers})


@cache
def _readers(cls: type) -> dict[str, Reader]:
    return {name: _reader(hint) for name, hint in get_type_hints(cls, include_extras=True).items()}


def _reader(hint: Any) -> Reader:
    """What turns a TOML value into a field of that type; ``X | None`` reads as ``X``, None is left out."""
    origin, parts = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _within(_reader(parts[0]), parts[1:])
    if origin in (Union, UnionType):
        return _reader(next(part for part in parts if part is not type(None)))
    if origin is Literal:
        return _one_of(parts)
    if origin is tuple:
        return _list_of(_reader(parts[0]))
    if origin is dict:
        return _mapping_to(_reader(parts[1]))
    if is_dataclass(hint):
        return lambda table: _read(hint, table)
    return _READERS[hint]


def _within(read_one: Reader, limits: tuple[Any, ...]) -> Reader:
    def read(value: Any) -> Any:
        read = read_one(value)
        for limit in limits:
            fits = _LIMITS.get(type(limit))
            if fits is not None and not fits(read, limit):
                raise ValueError(f"{value!r} is out of its limits")
        return read

    return read


_LIMITS: dict[type, Callable[[Any, Any], bool]] = {
    Ge: lambda value, limit: bool(value >= limit.ge),
    Gt: lambda value, limit: bool(value > limit.gt),
    Le: lambda value, limit: bool(value <= limit.le),
    Len: lambda value, limit: limit.min_length <= len(value) <= (limit.max_length or len(value)),
}


def _one_of(allowed: tuple[Any, ...]) -> Reader:
    def read(value: Any) -> Any:
        if value not in allowed or isinstance(value, bool):
            raise ValueError(f"one of {', '.join(map(str, allowed))} was wanted, not {value!r}")
        return value

    return read


def _list_of(read_one: Reader) -> Reader:
    def read(value: Any) -> Any:
        if not isinstance(value, list):
            raise ValueError(f"a list was wanted, not {value!r}")
        return tuple(map(read_one, value))

    return read


def _mapping_to(read_one: Reader) -> Reader:
    def read(value: Any) -> Any:
        if not isinstance(value, dict):
            raise ValueError(f"a table was wanted, not {value!r}")
        return {key: read_one(item) for key, item in value.items()}

    return read


def _a_text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError(f"text was wanted, not {value!r}")
    return value


def _a_bool(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError(f"true or false was wanted, not {value!r}")
    return value


def _a_whole_number(value: Any) -> int:
    if not isinstance(value, int) or isinstance(value, bool):
        raise ValueError(f"a whole number was wanted, not {value!r}")
    return value


def _a_number(value: Any) -> float:
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise ValueError(f"a number was wanted, not {value!r}")
    return float(value)


def _a_day(value: Any) -> date:
    if not isinstance(value, date) or isinstance(value, datetime):
        raise ValueError(f"a day was wanted, not {value!r}")
    return value


_READERS: dict[type, Reader] = {
    str: _a_text,
    bool: _a_bool,
    int: _a_whole_number,
    float: _a_number,
    date: _a_day,
}
