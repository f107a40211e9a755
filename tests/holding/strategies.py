"""Holdings with every field set to something, straight from the dataclasses and their limits."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from datetime import date
from typing import Annotated, Any, Literal, cast, get_args, get_origin

from annotated_types import Ge, Gt, Le, Len
from hypothesis import strategies as st

from tunneltui.holding.expected import core, hints
from tunneltui.holding.model import Holding

TEXT = st.text(st.characters(codec="utf-8"), max_size=8)


def any_holding() -> st.SearchStrategy[Holding]:
    """Values that fit their types and limits; names need not agree with one another."""
    return cast("st.SearchStrategy[Holding]", _instances(Holding))


def _instances(cls: Any) -> st.SearchStrategy[Any]:
    wanted = hints(cls)
    return st.builds(cls, **{f.name: _values(wanted[f.name]) for f in fields(cls)})


def _values(hint: Any) -> st.SearchStrategy[Any]:
    if type(None) in get_args(hint):
        return st.none() | _values(core(hint) if get_origin(core(hint)) else _first(hint))
    origin, parts = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _within(parts[0], parts[1:])
    if origin is Literal:
        return st.sampled_from(parts)
    if origin is tuple:
        return st.lists(_values(parts[0]), max_size=2).map(tuple)
    if origin is dict:
        return st.dictionaries(TEXT, _values(parts[1]), max_size=2)
    return _instances(hint) if is_dataclass(hint) else _plain(hint)


def _first(hint: Any) -> Any:
    return next(part for part in get_args(hint) if part is not type(None))


def _within(plain: Any, limits: tuple[Any, ...]) -> st.SearchStrategy[Any]:
    low = next((one.ge if isinstance(one, Ge) else one.gt for one in limits if isinstance(one, Ge | Gt)), None)
    high = next((one.le for one in limits if isinstance(one, Le)), 1e6)
    if plain is str:
        length = next(one for one in limits if isinstance(one, Len))
        return st.text(st.characters(codec="utf-8"), min_size=length.min_length, max_size=length.min_length + 8)
    if plain is int:
        return st.integers(cast(int, low), cast(int, high))
    return st.floats(cast(float, low), cast(float, high), exclude_min=any(isinstance(one, Gt) for one in limits))


def _plain(hint: Any) -> st.SearchStrategy[Any]:
    return {
        str: TEXT,
        bool: st.booleans(),
        int: st.integers(-999, 999),
        float: st.floats(-1e6, 1e6),
        date: st.dates(),
    }[hint]
