"""Numbers as sheets write them: decimal point or comma, grouped thousands, a unit behind.

``1,200`` is 1.2 where a sheet writes decimals with a comma and 1200 where it groups thousands; which one, the
whole sheet tells or the grower.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from math import isfinite
from typing import Literal

from tunneltui.holding.user_error import Fault
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_words import IN_BASE, unit_of

DecimalSign = Literal["point", "comma"]

BLANK = frozenset(
    {
        "",
        "-",
        "–",
        "—",
        ".",
        "?",
        "nan",
        "na",
        "n/a",
        "n.a.",
        "null",
        "none",
        "#n/a",
        "#value!",
        "#div/0!",
        "#ref!",
        "x",
        "nd",
        "nb",
    }
)
"""What a cell says where nothing was read."""
_PLAIN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?", re.ASCII)
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:([,.'’ ])\d{3})(?:\1\d{3})*(?:(?!\1)[.,]\d+)?", re.ASCII)
_WITH_UNIT = re.compile(r"([+-]?[\d.,'’ ]*\d[.,]?)\s*([^\d\s.,+-][^\d]*)", re.ASCII)

_FEET_AND_INCHES = re.compile(r"(\d{1,2})\s*['\u2032]\s*(?:(\d{1,2}(?:\.\d+)?)\s*(?:[\"\u2033]|''))?", re.ASCII)


class CellFault(ValueError):
    """One cell cannot be read; the message says what was found."""


@lru_cache(maxsize=65_536)
def _parts(cell: str) -> tuple[str, str] | None:
    """A cell as its figures and its unit; None where it is no number."""
    text = cell.strip().replace("\u2212", "-").replace("\u00a0", " ").replace("\u202f", " ").replace("\u2009", " ")
    if _PLAIN.fullmatch(text) or _GROUPED.fullmatch(text):
        return text, ""
    if (tall := _FEET_AND_INCHES.fullmatch(text)) is not None:
        return f"{12 * int(tall[1]) + float(tall[2] or 0):g}", "in"
    match = _WITH_UNIT.fullmatch(text)
    if match and (unit := unit_of(match[2])):
        figures = match[1].strip()
        if _PLAIN.fullmatch(figures) or _GROUPED.fullmatch(figures):
            return figures, unit
    return None


def unit_behind(cell: str) -> str:
    """The unit that a cell writes behind its number; '' where there is none."""
    parts = _parts(cell)
    return parts[1] if parts else ""


def is_a_number(cell: str) -> bool:
    return _parts(cell) is not None


def _tells(figures: str) -> DecimalSign | Literal["either"] | None:
    """Which sign before decimals a number speaks for; "either" where it may be grouped thousands."""
    signs = [sign for sign in figures if sign in ".,"]
    if not signs:
        return None
    last: DecimalSign = "point" if signs[-1] == "." else "comma"
    if len(set(signs)) == 2:
        return last
    if len(signs) > 1:  # 1,234,567: thousands, so the other sign is for decimals
        return "comma" if last == "point" else "point"
    whole, _, decimals = figures.lstrip("+-").partition(signs[0])
    if len(decimals) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0") and decimals.isdigit():
        return "either"
    return last


def decimal_sign(
    file: str, lines: Sequence[SheetLine], units: Sequence[str], *, by_point: bool
) -> DecimalSign | None:
    """The sign before decimals of a whole sheet; None where it has no decimals. ``units`` are those of its
    columns, '' where not known; ``by_point``: the form of the file speaks for a point (cells parted by commas,
    or a spreadsheet).

    Raises:
        Doubt: a number such as 1,200 may be 1.2 or 1200 and nothing in the sheet tells.
    """
    seen: set[DecimalSign] = set()
    either: list[tuple[str, str, int]] = []
    for line in lines:
        for place, cell in enumerate(line.cells):
            if "." not in cell and "," not in cell:
                continue
            parts = _parts(cell)
            if parts is None:
                continue
            tells = _tells(parts[0])
            if tells == "either":
                either.append((parts[0], parts[1] or (units[place] if place < len(units) else ""), line.number))
            elif tells:
                seen.add(tells)
                if (tells == "point") == by_point:
                    return tells
    if seen:  # the other sign than the form of the file speaks for
        return "comma" if by_point else "point"
    if not either or (by_point and "." in either[0][0]):
        return "point" if either else None
    figures, _, number = either[0]
    sign, other = _signs(figures)
    fits = {_fits(figures, unit) for figures, unit, _ in either} - {None}
    if len(fits) == 1:
        return sign if fits.pop() else other
    whole, part = re.sub("[.,]", "", figures), figures.replace(",", ".")
    answers = ((sign, f"it is {part}"), (other, f"it is {whole}"))
    raise Doubt(f"{file}: {figures!r} (line {number}) may be {part} or {whole}.", "decimal", answers)


def _signs(figures: str) -> tuple[DecimalSign, DecimalSign]:
    """The sign that stands in a number, and the other one."""
    return ("point", "comma") if "." in figures else ("comma", "point")


_LIKELY: dict[str, tuple[float, float]] = {
    **dict.fromkeys(("mm", "cm", "m", "in", "ft"), (0.02, 25.0)),
    **dict.fromkeys(("kg", "g", "lb", "oz"), (0.005, 1000.0)),
    "C": (-45.0, 60.0),
    "F": (-50.0, 140.0),
    "%": (0.0, 105.0),
}
"""What a stem's length (m), a pick's weight (kg) and air can be. Common practice, no source."""


def _fits(figures: str, unit: str) -> bool | None:
    """Whether a number fits its unit read as a fraction (True) or as grouped thousands (False); None where both or
    neither do."""
    if unit not in _LIKELY:
        return None
    low, high = _LIKELY[unit]
    part = float(figures.replace(",", ".")) * IN_BASE.get(unit, 1.0)
    as_part, as_whole = low <= part <= high, low <= part * 1000 <= high
    return as_part if as_part != as_whole else None


def value_of(cell: str, decimal: DecimalSign | None, column: str) -> tuple[float | None, str]:
    """A cell's number and the unit behind it ('' where none is); None where the cell is blank.

    Raises:
        CellFault: it is no number, or written with the other decimal sign.
    """
    value, unit, fault = _read(cell, decimal)
    if fault:
        raise CellFault(f"{column}: {cell[:40]!r} {fault}")
    return value, unit


@lru_cache(maxsize=65_536)
def _read(cell: str, decimal: DecimalSign | None) -> tuple[float | None, str, str]:
    """A cell's number, its unit, and why it is none."""
    if cell.casefold() in BLANK:
        return None, "", ""
    parts = _parts(cell)
    if parts is None:
        return None, "", "is no number"
    figures, unit = parts
    tells = _tells(figures)
    if tells in ("point", "comma") and decimal is not None and tells != decimal:
        return None, "", Fault(f"has a {tells} in a file that writes decimals with a {decimal}")
    sign = "," if (decimal or tells) == "comma" else "."
    value = float(re.sub(r"[' ’]", "", figures).replace("." if sign == "," else ",", "").replace(",", "."))
    return (value, unit, "") if isfinite(value) else (None, "", "is too large")
