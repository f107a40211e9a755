"""A body from outside, checked: from a form, a command line, JSON or TOML.

One of the two modules that import pydantic; only the edge of the program imports it. JSON and TOML are held to
their types, text typed by hand is read as what the field wants. Unknown keys are refused.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import field, make_dataclass
from datetime import date, timedelta
from functools import cache
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from msgspec import NODEFAULT

from tunneltui.holding.expected import core, expected, hints, nearest
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import BEYOND, BodyFault, defaults_of, from_plain
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds import KIND_OF, KINDS, SPEAKS_OF_THE_FUTURE, Body
from tunneltui.journal.sense import nonsense

if TYPE_CHECKING:
    from pydantic import TypeAdapter, ValidationError

LONGEST_TEXT = 20_000
"""Letters of one value; a note may be as long. A holding is longer and has its own check."""
_HAS_ITS_OWN_CHECK = frozenset({"toml"})


def checked_body(kind: str, mapping: Mapping[str, Any], *, text: bool) -> Body:
    """The body that a mapping of keys to values describes.

    With ``text`` the values are as typed by hand: "6.2" is a number, "no" is false, lists are parted by commas.

    Raises:
        UserError: there is no such kind, or one plain sentence for each key that does not fit.
    """
    cls = _cls(kind)
    fields = hints(cls)
    sentences = [_unknown(kind, key, fields) for key in mapping if key not in fields]
    given = {key: value for key, value in mapping.items() if key in fields}
    sentences += [
        say for key, value in given.items() if (say := _unfit(key, value) or _no_day(key, value, fields))
    ]
    if sentences:
        raise _trouble(kind, sentences)
    body = (_plainly_typed(cls, given, fields) if text else None) or _read_or_refuse(kind, cls, given, text)
    if say := nonsense(body):
        raise _trouble(kind, [say])
    return body


def required_keys(kind: str) -> list[str]:
    """The keys that an entry of the kind cannot do without."""
    return [key for key, default in defaults_of(_cls(kind)).items() if default is NODEFAULT]


def what_it_takes(kind: str) -> str:
    """A sentence: which keys an entry of the kind needs, and which it may have."""
    needed = required_keys(kind)
    may = [key for key in defaults_of(_cls(kind)) if key not in needed]
    parts = [f"{verb} {', '.join(keys)}" for verb, keys in (("needs", needed), ("may have", may)) if keys]
    return f"{kind} {' and '.join(parts)}." if parts else f"{kind} takes nothing more."


def checked_day(kind: str, day: date, today: date) -> date:
    """The day, which may lie ahead only where the kind speaks of the future (rule 9).

    Raises:
        UserError: the day is later than ``today``, or more than a year ahead.
    """
    if kind not in SPEAKS_OF_THE_FUTURE and day > today:
        raise UserError(
            f"{day.isoformat()} is still to come, today is {today.isoformat()}.",
            "Only what has happened is noted; give today's day or an earlier one.",
        )
    if day > today + timedelta(days=366):
        raise UserError(f"{day.isoformat()} is more than a year ahead.", "Give a nearer day.")
    return day


def _cls(kind: str) -> type:
    cls = KINDS.get(kind)
    if cls is None:
        near = nearest(kind, KINDS)
        hint = f"Did you mean {near}?" if near else f"Kinds: {', '.join(KINDS)}."
        raise UserError(f"There is no kind of entry called {_shown(kind)}.", hint)
    return cls


def _trouble(kind: str, sentences: Iterable[str], hint: str = "") -> UserError:
    problem = "\n".join(f"{kind}: {say}" for say in sentences)
    return UserError(problem, " ".join(filter(None, ("Nothing was written.", hint))))


def _unknown(kind: str, key: str, fields: Mapping[str, Any]) -> str:
    near = nearest(str(key), fields)
    meant = f"did you mean {near}?" if near else f"{kind} has {', '.join(fields) or 'no keys'}."
    return f"{_shown(key)} is not known here, {meant}"


def _unfit(key: str, value: Any) -> str:
    """Why no field could take a value, whatever it wants; '' where one could."""
    if isinstance(value, str):
        if len(value) > LONGEST_TEXT and key not in _HAS_ITS_OWN_CHECK:
            return f"{key} has {len(value):,} letters, at most {LONGEST_TEXT:,} can be kept."
        if not _can_be_written(value):
            return f"{key} holds half a character, it cannot be kept."
        return ""
    if isinstance(value, int | float):
        return "" if -BEYOND < value < BEYOND else f"{key} is {_shown(value)}, a number that can be was wanted."
    if isinstance(value, list | tuple):
        return next((say for item in value if (say := _unfit(key, item))), "")
    return ""


def _no_day(key: str, value: Any, fields: Mapping[str, Any]) -> str:
    # pydantic would take "2026" for seconds since 1970.
    if core(fields[key]) is not date or not isinstance(value, str):
        return ""
    try:
        date.fromisoformat(value.strip())
    except ValueError:
        return f"{key} is {_shown(value)}, {expected(fields[key])} was wanted."
    return ""


def _can_be_written(value: str) -> bool:
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def _plainly_typed(cls: type, given: Mapping[str, Any], fields: Mapping[str, Any]) -> Body | None:
    """The body where all of it is typed plainly: as pydantic would read it, which takes 70 ms to be there. None
    where it is not, or does not fit; that pydantic then reads or refuses."""
    try:
        plain = {key: _plain_value(core(fields[key]), value) for key, value in given.items()}
        return from_plain(Draft(KIND_OF[cls], "", ""), cls, plain)
    except (BodyFault, TypeError, ValueError):
        return None


def _plain_value(wanted: Any, given: Any) -> Any:
    """What JSON would say. Raises ``TypeError`` or ``ValueError`` where that is not plain."""
    if wanted == tuple[str, ...] and isinstance(given, list):
        return given
    if wanted is str and isinstance(given, str):
        return given
    if wanted is bool and given in ("yes", "no"):
        return given == "yes"
    if wanted is float and re.fullmatch(r"-?\d{1,9}(\.\d{1,9})?", given, re.ASCII):
        return float(given)
    if wanted is int and re.fullmatch(r"-?\d{1,9}", given, re.ASCII):
        return int(given)
    if get_origin(wanted) is Literal and given in get_args(wanted):
        return given
    raise ValueError(given)


def _read_or_refuse(kind: str, cls: type, given: Mapping[str, Any], text: bool) -> Body:
    from pydantic import ValidationError

    try:
        return _read(cls, given, text)
    except ValidationError as fault:
        raise _trouble(kind, _sentences(fault, hints(cls)), what_it_takes(kind)) from None
    except (RecursionError, OverflowError, TypeError):
        raise _trouble(kind, ["these values cannot be read at all."]) from None


def _read(cls: type, given: Mapping[str, Any], text: bool) -> Body:
    if text:
        read = _adapter(cls).validate_python({key: _typed(cls, key, value) for key, value in given.items()})
    else:
        read = _adapter(cls).validate_json(json.dumps(given, default=_plain), strict=True)
    return cls(**vars(read))


def _plain(value: Any) -> str:
    """TOML gives days as days."""
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value)} is no value of JSON or TOML")


def _typed(cls: type, key: str, value: Any) -> Any:
    """Text by hand, made ready where pydantic would read it otherwise than a grower means it."""
    if not isinstance(value, str):
        return value
    kind = core(hints(cls)[key])
    if get_origin(kind) is tuple:
        return [part.strip() for part in value.split(",") if part.strip()]
    if kind is date:
        return date.fromisoformat(value.strip())
    return value if kind is str else value.strip()


@cache
def _adapter(cls: type) -> TypeAdapter[Any]:
    """Of a dataclass with the fields of the kind: pydantic reads no struct."""
    from pydantic import TypeAdapter

    of_types = hints(cls)
    fields = [
        (key, of_types[key], field() if default is NODEFAULT else field(default=default))
        for key, default in defaults_of(cls).items()
    ]
    return TypeAdapter(make_dataclass(cls.__name__, fields))


def _sentences(fault: ValidationError, fields: Mapping[str, Any]) -> list[str]:
    by_key: dict[str, str] = {}
    for error in fault.errors(include_url=False, include_context=False):
        if not error["loc"]:
            return ["these values cannot be read at all."]
        key = str(error["loc"][0])
        if error["type"].startswith("missing"):
            by_key.setdefault(key, f"{key} is missing: {expected(fields[key])}.")
        else:
            by_key.setdefault(key, f"{key} is {_shown(error['input'])}, {expected(fields[key])} was wanted.")
    return list(by_key.values())


def _shown(value: Any) -> str:
    if isinstance(value, list | tuple | dict):
        return "a list" if not isinstance(value, dict) else "a table"
    if isinstance(value, int) and not -BEYOND < value < BEYOND:
        return "a huge number"
    plain = value if isinstance(value, str) and value.isprintable() else ascii(value)
    shown = plain if len(plain) <= 80 else f"{plain[:77]}..."
    return f'"{shown}"' if isinstance(value, str) else shown
