"""Random rows of every kind: numbers, days and texts at the ends of what their fields take, and beyond."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from datetime import date, timedelta
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from annotated_types import Ge, Gt, Le, Len
from msgspec import NODEFAULT

from tests.season.entries import TWO_ROWS, Book, planted
from tunneltui.holding.layout import string_id
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import defaults_of
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KINDS, VERSION
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import Clipped, Hung
from tunneltui.journal.kinds_standing import Measured, TrussCounted
from tunneltui.journal.valid import FIRST_DAY, LAST_DAY, LAST_US

DAY = date(2026, 6, 10)
TEXTS = ("", "x", "\x1b[31m", "\u202eodd", "a\0b", "[b]bold[/b]", "é" * 300, "\n\n", "{}", "cherry 1", "beef 3")
NAMES = ("W1-01", "W1-02", "W2-01", "W1-02+b", "W1-01a", "W1", "W2", "W", "hung", "clip", "e0004", "no such")
KEPT_DAYS = (FIRST_DAY, LAST_DAY, DAY, DAY - timedelta(1), DAY + timedelta(1), date(2026, 4, 1), date(2024, 2, 29))
CHORES = ("lower", "pick", "clip", "deleaf", "side_shoot", "look", "put_right", "mark", "no such chore")


def base() -> list[Entry]:
    """Five plants of two cultivars in two rows, hung, clipped, read and picked once."""
    book: Book = planted()
    book.write(Hung("W1-01", 0.6, spare_m=6.0, hook_kind="hook"), "W1-01", day=1, id="hung")
    book.write(Clipped("W1-01", 1.0, string=string_id("W1", 2)), "W1-01", day=40, id="clip")
    for week in (4, 5, 6):
        for n in (1, 2):
            read = Measured(f"W1-0{n}", length_m=0.3 * week, flowering_truss=week - 3)
            book.write(read, f"W1-0{n}", day=7 * week)
    book.write(TrussCounted("W1-01", 1, 6), "W1-01", day=45)
    book.write(Picked("cherry 1", kg=2.0), "W1", day=60)
    return book.entries


def any_row(draw: random.Random, number: int) -> Entry:
    """A row of a kind this program knows, seldom of one it does not; its body fits more often than not."""
    kind = draw.choice(sorted(KINDS)) if draw.random() < 0.98 else "of_tomorrow"
    body = _body(draw, kind)
    if draw.random() < 0.3:
        body["answers"] = [draw.choice(CHORES), draw.choice(NAMES), draw.choice(KEPT_DAYS).isoformat()]
    if draw.random() < 0.1:
        body["pieces"] = [draw.choice(NAMES)]
    if draw.random() < 0.05:
        body[draw.choice(TEXTS)] = draw.choice([None, [], {}, 1e308, -1, True, "x"])
    return Entry(
        id=f"row{number}",
        act=f"act {number}",
        device="other",
        day=DAY if draw.random() < 0.7 else draw.choice(KEPT_DAYS),
        at_us=draw.choice([0, LAST_US, 10**15, draw.randrange(LAST_US)]),
        by=draw.choice(TEXTS),
        about=draw.choice(NAMES) if draw.random() < 0.8 else draw.choice(TEXTS),
        kind=kind,
        v=draw.choice([VERSION, VERSION, 0, 1_000_000]),
        body=json.dumps(body, ensure_ascii=draw.random() < 0.5),
    )


def _body(draw: random.Random, kind: str) -> dict[str, Any]:
    cls = KINDS.get(kind)
    if cls is None:
        return {"text": draw.choice(TEXTS)}
    hints = get_type_hints(cls, include_extras=True)
    asked = [
        key for key, default in defaults_of(cls).items() if draw.random() < (0.97 if default is NODEFAULT else 0.5)
    ]
    body = {name: _value(draw, hints[name]) for name in asked}
    if "toml" in body:
        body["toml"] = _toml(draw)
    if "act" in body and draw.random() < 0.3:
        body["act"] = "act of clip"
    return body


def _toml(draw: random.Random) -> str:
    """The holding with one value of it spoiled, or whole."""
    lines = to_toml(TWO_ROWS).splitlines()
    at = draw.randrange(len(lines))
    name = lines[at].partition(" = ")[0]
    lines[at] = draw.choice([lines[at], "", f"{name} = 0", f"{name} = -1", f"{name} = 1e9", f'{name} = "\\u001b"'])
    return "\n".join(lines)


def _value(draw: random.Random, hint: Any) -> Any:
    if get_origin(hint) in (Union, UnionType):
        if draw.random() < 0.4:
            return None
        hint = next(part for part in get_args(hint) if part is not type(None))
    low, high = -1e12, 1e12
    if get_origin(hint) is Annotated:
        hint, *limits = get_args(hint)
        for limit in limits:
            if isinstance(limit, Len):
                low, high = limit.min_length, limit.max_length or 1e12
            low = getattr(limit, "ge", low) if isinstance(limit, Ge) else low
            low = limit.gt + 1e-300 if isinstance(limit, Gt) else low  # type: ignore[operator]
            high = getattr(limit, "le", high) if isinstance(limit, Le) else high
    if get_origin(hint) is tuple:
        return [_value(draw, get_args(hint)[0]) for _ in range(draw.choice([0, 1, 2, 24, 26]))]
    if get_origin(hint) is Literal:
        return draw.choice(get_args(hint))
    return _READ[hint](draw, low, high)


def _number(draw: random.Random, low: float, high: float) -> float:
    middle = draw.uniform(low, min(high, low + 10))
    return draw.choice([low, high, middle, middle, 0.0, -0.0, 5e-324, -1.0, 1e300, low + 1e-9])


def _text(draw: random.Random, *_: float) -> str:
    return draw.choice(NAMES) if draw.random() < 0.7 else draw.choice(TEXTS)


_READ: dict[type, Callable[[random.Random, float, float], Any]] = {
    float: _number,
    int: lambda draw, low, high: int(max(-1e12, min(1e12, _number(draw, low, high)))),
    str: _text,
    bool: lambda draw, *_: draw.random() < 0.5,
    date: lambda draw, *_: draw.choice(KEPT_DAYS).isoformat(),
}
