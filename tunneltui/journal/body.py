"""Bodies as JSON text and back, for entries that were checked when they came in.

Outside data goes through ``journal.check`` first. Reading leaves unknown keys alone (a newer version's), and
raises ``BodyFault`` where a known key does not fit its kind: the fold then sets the entry aside.
"""

from __future__ import annotations

import json
from dataclasses import fields
from datetime import date
from functools import cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import KIND_OF, KINDS, Body

Answers = tuple[str, str, str]
"""(chore kind, about, due day as ISO text): the chore that an entry ticks off (rule 6)."""


class BodyFault(ValueError):
    """A body does not fit its kind."""


def to_json(body: Body, answers: Answers | None = None) -> str:
    """A body as JSON text; ``None`` and default values are left out, keys in the order of the dataclass."""
    plain = {f.name: _plain(getattr(body, f.name)) for f in fields(body) if not _is_default(body, f)}
    if answers is not None:
        plain["answers"] = list(answers)
    return json.dumps(plain, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def draft(about: str, body: Body, answers: Answers | None = None, id: str = "") -> Draft:  # noqa: A002
    """An entry yet to be written, from a typed body."""
    return Draft(KIND_OF[type(body)], about, to_json(body, answers), id)


def typed(entry: Entry | Draft) -> Body | None:
    """The body as its kind's dataclass; None for a kind this version does not know.

    Raises:
        BodyFault: the JSON does not fit the kind.
    """
    cls = KINDS.get(entry.kind)
    if cls is None:
        return None
    plain = parsed(entry)
    known = _readers(cls)
    try:
        return cls(**{name: read(plain[name]) for name, read in known.items() if name in plain})
    except (TypeError, ValueError) as fault:
        raise BodyFault(f"{entry.kind} {entry.id}: {fault}") from fault


def parsed(entry: Entry | Draft) -> dict[str, Any]:
    """The body's JSON object. Raises ``BodyFault`` where it is none."""
    try:
        plain = json.loads(entry.body)
    except ValueError as fault:
        raise BodyFault(f"{entry.kind} {entry.id}: {fault}") from fault
    if not isinstance(plain, dict):
        raise BodyFault(f"{entry.kind} {entry.id}: the body is no JSON object")
    return plain


def answers(entry: Entry) -> Answers | None:
    """The chore this entry ticks off, if any."""
    if '"answers"' not in entry.body:
        return None
    given = parsed(entry).get("answers")
    if isinstance(given, list) and len(given) == 3:
        return (str(given[0]), str(given[1]), str(given[2]))
    return None


def _is_default(body: Body, f: Any) -> bool:
    value = getattr(body, f.name)
    return value is None or value == f.default


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return list(value)
    return value


@cache
def _readers(cls: type) -> dict[str, Any]:
    return {name: _reader(hint) for name, hint in get_type_hints(cls).items()}


def _reader(hint: Any) -> Any:
    """What turns a JSON value into a field of that type; ``X | None`` reads as ``X``."""
    if get_origin(hint) in (Union, UnionType):
        hint = next(part for part in get_args(hint) if part is not type(None))
    if get_origin(hint) is tuple:
        return _a_list
    if get_origin(hint) is Literal:
        return _a_text
    return _READERS[hint]


def _a_list(value: Any) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise ValueError("a list was wanted")
    return tuple(value)


def _a_bool(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError("true or false was wanted")
    return value


def _a_text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError("text was wanted")
    return value


def _a_number(value: Any) -> float | int:
    if isinstance(value, bool) or not isinstance(value, int | float) or value != value:
        raise ValueError("a number was wanted")
    return value


_READERS: dict[type, Any] = {
    date: date.fromisoformat,
    bool: _a_bool,
    str: _a_text,
    int: _a_number,
    float: _a_number,
}
