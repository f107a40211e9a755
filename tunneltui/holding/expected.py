"""What a field expects, as messages and the help say it: from its type and its limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import is_dataclass
from datetime import date
from difflib import get_close_matches
from functools import cache
from math import inf
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le, Len

_PLAIN = {
    str: "text",
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    date: "a day such as 2026-08-20",
}


@cache
def hints(cls: Any) -> dict[str, Any]:
    """The fields of a dataclass and their types, with their limits."""
    return get_type_hints(cls, include_extras=True)


def core(hint: Any) -> Any:
    """The type that a given value must have: without ``| None`` and limits."""
    if get_origin(hint) in (Union, UnionType):
        return core(next(part for part in get_args(hint) if part is not type(None)))
    return core(get_args(hint)[0]) if get_origin(hint) is Annotated else hint


def expected(hint: Any) -> str:
    """Such as "a number from 0 to 500", "one of tiered, laid_down, pinched_at_wire"."""
    origin, parts = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        return expected(next(part for part in parts if part is not type(None)))
    if origin is Annotated:
        return expected(parts[0]) + _limits(parts[1:])
    if origin is Literal:
        return f"one of {', '.join(map(str, parts))}"
    if origin is tuple:
        return "a list of tables" if is_dataclass(core(parts[0])) else f"a list, each {expected(parts[0])}"
    if origin is dict or is_dataclass(hint):
        return "a table"
    return _PLAIN[hint]


def limits(cls: Any, key: str) -> tuple[float, float]:
    """The least and the most that a field of a dataclass takes; infinite where it has no such limit."""
    least, most = -inf, inf
    parts: list[Any] = [hints(cls)[key]]
    while parts:
        part = parts.pop()
        if isinstance(part, Ge | Gt):
            least = float(part.ge if isinstance(part, Ge) else part.gt)  # type: ignore[arg-type]
        elif isinstance(part, Le):
            most = float(part.le)  # type: ignore[arg-type]
        parts += get_args(part)
    return least, most


def nearest(name: str, names: Iterable[str]) -> str:
    """The known name most like the one given; '' where none is near."""
    # Long names are cut: comparing is slow, and nobody mistypes a hundred letters.
    near = get_close_matches(name[:100], list(names), n=1, cutoff=0.6)
    return near[0] if near else ""


def _limits(limits: Iterable[Any]) -> str:
    words = ""
    for limit in limits:
        if isinstance(limit, Ge):
            words += f" from {limit.ge}"
        elif isinstance(limit, Gt):
            words += f" over {limit.gt}"
        elif isinstance(limit, Le):
            words += f" {'up ' if 'over' in words or not words else ''}to {limit.le}"
        elif isinstance(limit, Len):
            words += _lengths(limit)
    return words


def _lengths(limit: Len) -> str:
    if limit.min_length == limit.max_length:
        return f" of {limit.min_length} letter{'s' if limit.min_length != 1 else ''}"
    upto = "" if limit.max_length is None else f"up to {limit.max_length} letters"
    return f", {'not empty' if limit.min_length else ''}{', ' if limit.min_length and upto else ''}{upto}"
