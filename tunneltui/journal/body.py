"""Bodies as JSON text and back, for entries that were checked when they came in.

Outside data goes through ``journal.check`` first. Reading leaves unknown keys alone (a newer version's), and
raises ``BodyFault`` where a known key does not fit its kind: the fold then sets the entry aside.
"""

from __future__ import annotations

import json
from datetime import date
from functools import cache
from math import inf, nextafter
from types import UnionType
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le, Len
from msgspec import NODEFAULT, DecodeError
from msgspec.json import decode

from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds import KIND_OF, KINDS, Body

Answers = tuple[str, str, str]
"""(chore kind, about, due day as ISO text): the chore that an entry ticks off (rule 6)."""


BEYOND = 1e12
"""No quantity in a tunnel reaches this; a number that does is damage."""


class BodyFault(ValueError):
    """A body does not fit its kind."""


def to_json(body: Body, answers: Answers | None = None, piece: str = "") -> str:
    """A body as JSON text; ``None`` and default values are left out, keys in the order of the kind."""
    values = ((key, getattr(body, key), default) for key, default in defaults_of(body.__class__).items())
    plain = {key: _plain(value) for key, value, default in values if value is not None and value != default}
    if answers is not None:
        plain["answers"] = list(answers)
    if piece:
        plain["pieces"] = [piece]
    return json.dumps(plain, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


@cache
def defaults_of(cls: Any) -> dict[str, Any]:
    """The keys of a kind in their order, each with its default; msgspec's ``NODEFAULT`` where it must be given."""
    keys, given = cls.__struct_fields__, cls.__struct_defaults__
    return dict(zip(keys, (*(NODEFAULT,) * (len(keys) - len(given)), *given), strict=True))


def draft(about: str, body: Body, answers: Answers | None = None, piece: str = "") -> Draft:
    """An entry yet to be written, from a typed body; ``piece`` is the part of the chore it ticks off, '' all."""
    return Draft(KIND_OF[type(body)], about, to_json(body, answers, piece))


def changed(draft: Draft, **values: Any) -> Draft:
    """The draft with other values of some keys of its body; None takes a key away."""
    plain = {key: value for key, value in {**parsed(draft), **values}.items() if value is not None}
    return draft._replace(body=json.dumps(plain, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def typed(entry: Entry | Draft) -> Body | None:
    """The body as its kind's value; None for a kind this version does not know.

    Raises:
        BodyFault: the JSON does not fit the kind.
    """
    cls = KINDS.get(entry.kind)
    if cls is None:
        return None
    return from_plain(entry, cls, parsed(entry))


def from_plain(entry: Entry | Draft, cls: type, plain: dict[str, Any]) -> Body:
    """The body of an entry whose JSON object was parsed before. Raises ``BodyFault`` as ``typed`` does."""
    readers = _readers(cls)
    try:
        return cls(
            **{key: readers[key](value) for key, value in plain.items() if value is not None and key in readers}
        )
    except (TypeError, ValueError) as fault:
        raise BodyFault(f"{entry.kind} {entry.id}: {fault}") from fault


def parsed(entry: Entry | Draft) -> dict[str, Any]:
    """The body's JSON object. Raises ``BodyFault`` where it is none."""
    try:
        plain = _json(entry.body)
    except (ValueError, RecursionError) as fault:
        raise BodyFault(f"{entry.kind} {entry.id}: {fault}") from fault
    if not isinstance(plain, dict):
        raise BodyFault(f"{entry.kind} {entry.id}: the body is no JSON object")
    return plain


def _json(text: str) -> Any:
    """As ``json.loads``, in a third of its time; what only that reads, such as NaN, is left to it."""
    try:
        return decode(text)
    except (DecodeError, UnicodeEncodeError, RecursionError):
        return json.loads(text)


def answers(entry: Entry) -> Answers | None:
    """The chore this entry ticks off, if any."""
    if '"answers"' not in entry.body:
        return None
    return answers_in(parsed(entry))


def pieces_in(plain: dict[str, Any]) -> tuple[str, ...]:
    """The pieces of the chore that an entry ticks off; none: all of it."""
    given = plain.get("pieces")
    return tuple(str(piece) for piece in given) if isinstance(given, list) else ()


def answers_in(plain: dict[str, Any]) -> Answers | None:
    """The same, of a body whose JSON object was parsed before."""
    given = plain.get("answers")
    if isinstance(given, list) and len(given) == 3:
        return (str(given[0]), str(given[1]), str(given[2]))
    return None


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return list(value)
    return value


@cache
def _readers(cls: type) -> dict[str, Any]:
    return {name: _reader(hint) for name, hint in get_type_hints(cls, include_extras=True).items()}


def _reader(hint: Any) -> Any:
    """What turns a JSON value into a field of that type; ``X | None`` reads as ``X``."""
    if get_origin(hint) in (Union, UnionType):
        hint = next(part for part in get_args(hint) if part is not type(None))
    if get_origin(hint) is Annotated:
        plain, *limits = get_args(hint)
        return _within(_reader(plain), limits)
    if get_origin(hint) is tuple:
        return _list_of(get_args(hint)[0])
    if get_origin(hint) is Literal:
        return _one_of(get_args(hint))
    return _READERS[hint]


def _within(read_one: Any, limits: list[Any]) -> Any:
    """Reads as before, but only within the field's limits (a text's limits are those of its length)."""
    low, high = _limits(limits)
    if read_one is not _a_text:
        return _number(read_one is _READERS[int], low, high)

    def read(value: Any) -> Any:
        if not low <= len(read_one(value)) <= high:
            raise ValueError("it is out of its limits")
        return value

    return read


def _number(whole: bool, low: float, high: float) -> Any:
    """Also turns away NaN, the infinities and whole numbers of a thousand digits."""

    def read(value: Any) -> Any:
        kind = type(value)
        if kind is not int and (whole or kind is not float):
            raise ValueError(f"a {'whole ' if whole else ''}number was wanted")
        if not low <= value <= high:
            raise ValueError("it is out of its limits")
        return value

    return read


def _limits(limits: list[Any]) -> tuple[float, float]:
    low, high = -BEYOND, BEYOND
    for limit in limits:
        if isinstance(limit, Len):
            low, high = limit.min_length, BEYOND if limit.max_length is None else limit.max_length
        elif isinstance(limit, Gt):
            low = nextafter(float(cast(float, limit.gt)), inf)
        elif isinstance(limit, Ge):
            low = cast(float, limit.ge)
        elif isinstance(limit, Le):
            high = cast(float, limit.le)
        else:
            raise TypeError(f"no reading for {limit!r}")
    return low, high


def _list_of(hint: Any) -> Any:
    read_one, gaps = _reader(hint), type(None) in get_args(hint)

    def read(value: Any) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise ValueError("a list was wanted")
        return tuple([None if item is None and gaps else read_one(item) for item in value])

    return read


def _one_of(allowed: tuple[Any, ...]) -> Any:
    def read(value: Any) -> Any:
        if value not in allowed:
            raise ValueError(f"one of {', '.join(map(str, allowed))} was wanted")
        return value

    return read


def _a_bool(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError("true or false was wanted")
    return value


def _a_text(value: Any) -> str:
    if not isinstance(value, str):
        raise ValueError("text was wanted")
    value.encode()  # half a character, which JSON can smuggle in, could never be shown: UnicodeEncodeError
    return value


_READERS: dict[type, Any] = {
    date: date.fromisoformat,
    bool: _a_bool,
    str: _a_text,
    int: _number(True, -BEYOND, BEYOND),
    float: _number(False, -BEYOND, BEYOND),
}
