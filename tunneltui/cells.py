"""What is said, as typed cells: the one way a sentence is made, so that units are applied to quantities only.

A rule or a page never formats a number with its unit into a string. It says a sentence with blanks::

    from tunneltui.cells import Day, cm, kg, many, say

    say("Let out {}, hang the hook {}", cm(0.4), "over string 11")    # Let out 40 cm, hang the hook over string 11
    say("{} carries {} of {}", clip.kind, load(23.0), load(30.0))     # straw clip carries 2.3 kg of 3.1 kg
    say("{} due {}", many(3, "head"), Day(due, today))                # 3 heads due tomorrow

The template is our own words. A ``str`` put into it is a grower's own word (a name, a place, a kind of clip) and
is shown as it was written whatever the units are: "Bed north 5 m" stays. A ``date`` is said as ``Thu 20 Aug``; an
``int`` as it is; a ``float`` is refused, since it would have no unit. Another sentence may stand in a blank too.

What comes out is a ``Sentence``: a ``str`` in metric (documents, tests and logs need nothing more) that remembers
its cells. ``localized(sentence, units)`` says it in the grower's units; a ``str`` that is no sentence passes as it
is. Join sentences with ``+``, ``joined`` or a blank of another one; an f-string would forget the cells.

This module knows nothing of the house and is imported by all of it, also before the first paint.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import date
from functools import lru_cache
from string import Formatter
from typing import Any, Literal, NamedTuple

G_M_PER_S2 = 9.80665
"""Standard gravity (CGPM 1901): loads are said as weights."""
LB_IN_KG = 0.45359237
FT_IN_M = 0.3048
"""Both by definition (international yard and pound agreement of 1959)."""
GAL_IN_LITRES = 3.785411784
"""US gallon of 231 cubic inches, by definition."""

Unit = Literal["m", "cm", "mm", "m2", "kg", "g", "N", "kg/m2", "min/kg", "L", "degC", "K", "min", ""]
"""How a quantity is shown in metric; its value is in the SI unit behind it (``cm`` and ``mm``: m, ``g``: kg,
``N``: newton, shown as a weight in kg, ``K``: a difference of temperatures, shown in degC)."""
Role = Literal["", "must", "near", "done", "gone", "chosen", "quiet", "place", "heading"]
"""What a colour may mean (a sign or a word stands beside it)."""


class Units(NamedTuple):
    """What the grower reads and types. Kept, worked out and written to JSON is SI."""

    imperial: bool = False


METRIC = Units()
IMPERIAL = Units(imperial=True)


class Scale(NamedTuple):
    """``shown = si * times + plus``, followed by ``name``; ``decimals`` as fine as it is usually worth saying."""

    name: str
    times: float
    decimals: int = 0
    plus: float = 0.0


_SCALES: dict[str, tuple[Scale, Scale]] = {
    "m": (Scale("m", 1, 1), Scale("ft", 1 / FT_IN_M)),
    "cm": (Scale("cm", 100), Scale("in", 12 / FT_IN_M)),
    "mm": (Scale("mm", 1000), Scale("in", 12 / FT_IN_M)),
    "m2": (Scale("m2", 1, 1), Scale("ft2", 1 / FT_IN_M**2)),
    "kg": (Scale("kg", 1, 1), Scale("lb", 1 / LB_IN_KG)),
    "g": (Scale("g", 1000), Scale("oz", 16 / LB_IN_KG)),
    "N": (Scale("kg", 1 / G_M_PER_S2, 1), Scale("lb", 1 / G_M_PER_S2 / LB_IN_KG)),
    "kg/m2": (Scale("kg/m2", 1, 1), Scale("lb/ft2", FT_IN_M**2 / LB_IN_KG)),
    "min/kg": (Scale("min a kg", 1, 1), Scale("min a lb", LB_IN_KG)),
    "L": (Scale("L", 1), Scale("US gal", 1 / GAL_IN_LITRES)),
    "degC": (Scale("degC", 1), Scale("degF", 1.8, plus=32.0)),
    "K": (Scale("degC", 1), Scale("degF", 1.8)),
    "min": (Scale("min", 1), Scale("min", 1)),
    "": (Scale("", 1), Scale("", 1)),
}
_LONG_NAMES = {
    "kg": ("kilograms", "pounds"),
    "m": ("metres", "feet"),
    "cm": ("centimetres", "inches"),
    "L": ("litres", "US gallons"),
}
_COARSE = 0.05
"""A figure in the other system that is farther off than this share gets a decimal more."""


def scale(unit: Unit, units: Units = METRIC) -> Scale:
    """How a quantity of that unit is shown; for axes, heads of columns and fields."""
    return _SCALES[unit][units.imperial]


class Text(NamedTuple):
    """A grower's own words: never converted, never read as markup."""

    text: str
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:  # noqa: ARG002
        return self.text


class Words(NamedTuple):
    """Our own words, without a quantity."""

    text: str
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:  # noqa: ARG002
        return self.text


class Quantity(NamedTuple):
    """``value`` in SI, said in ``unit``; ``decimals`` of the metric figure, None for the unit's own;
    ``signed``: a plus stands before it."""

    value: float
    unit: Unit
    decimals: int | None = None
    signed: bool = False
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:
        return _with_unit(self.figure(units), self.unit, units)

    def figure(self, units: Units = METRIC) -> str:
        """Without its unit, for a column that has it in its head."""
        return _figures((self.value,), self.unit, self.decimals, units, signed=self.signed)[0]


class Range(NamedTuple):
    """From ``low`` to ``high``, both in SI; one figure where both read alike."""

    low: float
    high: float
    unit: Unit
    decimals: int | None = None
    between: str = " to "
    signed: bool = False
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:
        return _with_unit(self.figure(units), self.unit, units)

    def figure(self, units: Units = METRIC) -> str:
        low, high = _figures((self.low, self.high), self.unit, self.decimals, units, signed=self.signed)
        return low if low == high else f"{low}{self.between}{high}"


class Day(NamedTuple):
    """``Thu 20 Aug``; seen from ``today``: today, tomorrow, Sat within a week. English on any machine."""

    day: date
    today: date | None = None
    year: bool = False
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:  # noqa: ARG002
        return day_word(self.day, self.today) + (f" {self.day.year}" if self.year else "")


class Share(NamedTuple):
    """A share of one: in whole percent, or as a chance, ``1 in 20``."""

    share: float
    chance: bool = False
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:  # noqa: ARG002
        if not self.chance:
            return f"{self.share:.0%}"
        if self.share >= 0.4:
            return f"{round(self.share * 10)} in 10"
        return f"1 in {round(1 / self.share)}" if self.share >= 0.001 else "under 1 in 1000"


class UnitName(NamedTuple):
    """The name of a unit alone, for the head of a column or a field; ``long``: kilograms."""

    unit: Unit
    long: bool = False
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:
        return _LONG_NAMES[self.unit][units.imperial] if self.long else scale(self.unit, units).name


class Mark(NamedTuple):
    """A sign with its word: ``!`` must. A list shows ``sign``, a reader hears ``word``."""

    sign: str
    word: str
    role: Role = ""

    def __str__(self) -> str:
        return self.shown()

    def shown(self, units: Units = METRIC) -> str:  # noqa: ARG002
        return self.sign


Cell = Text | Words | Quantity | Range | Day | Share | UnitName | Mark


class Sentence(str):
    """Cells one after the other; as a ``str`` it reads in metric."""

    __slots__ = ("cells",)
    cells: tuple[Cell, ...]

    def __new__(cls, *cells: Cell) -> Sentence:
        self = super().__new__(cls, "".join([cell.shown() for cell in cells]))
        self.cells = cells
        return self

    def __add__(self, other: str) -> Sentence:
        return Sentence(*self.cells, *_cells_of(other, Words))

    def __radd__(self, other: str) -> Sentence:
        return Sentence(*_cells_of(other, Words), *self.cells)

    def __getnewargs__(self) -> tuple[Any, ...]:
        return self.cells


Sayable = str | int | date | Cell
"""What may stand in a blank of a template."""


def say(template: str, *blanks: Sayable, **named: Sayable) -> Sentence:
    """The template with its blanks (``{}`` in order, ``{name}`` by name) filled.

    Raises:
        TypeError: a bare float, which says no unit.
        IndexError, KeyError: a blank that nothing fills.
    """
    cells: list[Cell] = []
    filled = 0
    for words, blank in _template(template):
        if words:
            cells.append(Words(words))
        if blank is None:
            continue
        if blank:
            value = named[blank]
        else:
            value = blanks[filled]
            filled += 1
        cells += _cells(value)
    return Sentence(*cells)


@lru_cache(maxsize=1024)
def _template(template: str) -> tuple[tuple[str, str | None], ...]:
    return tuple((words, blank) for words, blank, _, _ in Formatter().parse(template))


def _cells(value: Sayable) -> Iterable[Cell]:
    if isinstance(value, str):
        return _cells_of(value, Text)
    if isinstance(value, date):
        return (Day(value),)
    if isinstance(value, int):
        return (Words(str(value)),)
    if isinstance(value, tuple):
        return (value,)
    raise TypeError(f"{value!r} has no unit: say cm(...), kg(...) or Quantity(...)")


def _cells_of(text: str, kind: type[Text] | type[Words]) -> tuple[Cell, ...]:
    if isinstance(text, Sentence):
        return text.cells
    return (kind(text),) if text else ()


def words(text: str) -> Sentence:
    """Our own words without a quantity, as a sentence."""
    return Sentence(*_cells_of(text, Words))


def joined(between: str, parts: Iterable[str]) -> Sentence:
    """``between.join(parts)`` that keeps the cells."""
    cells: list[Cell] = []
    for part in parts:
        if cells:
            cells.append(Words(between))
        cells += _cells_of(part, Text)
    return Sentence(*cells)


def inked(role: Role, text: str) -> Sentence:
    """The same with every cell in one role."""
    return Sentence(*(cell._replace(role=role) for cell in _cells_of(text, Text)))


def without_prefix(text: str, prefix: str) -> str:
    """``text.removeprefix(prefix)`` that keeps the cells; a quantity is no part of a prefix."""
    if not text.startswith(prefix):
        return text
    cells, left = list(_cells_of(text, Words)), prefix
    while left and cells:
        first = cells[0]
        if not isinstance(first, Text | Words):
            return text
        taken = min(len(first.text), len(left))
        left = left[taken:]
        cells[0] = first._replace(text=first.text[taken:])
        if not cells[0].text:  # type: ignore[union-attr]
            del cells[0]
    return Sentence(*cells)


def clause(text: str, *ends: str) -> Sentence:
    """What comes before the first of ``ends`` in our own words; of a quantity nothing is cut off."""
    kept: list[Cell] = []
    for cell in _cells_of(text, Words):
        if isinstance(cell, Words) and (at := [cell.text.index(end) for end in ends if end in cell.text]):
            return Sentence(*kept, cell._replace(text=cell.text[: min(at)]))
        kept.append(cell)
    return Sentence(*kept)


def capital(text: str) -> Sentence:
    """With a capital first letter, where it begins with our own words."""
    first, *rest = _cells_of(text, Words) or (Words(""),)
    if isinstance(first, Words):
        first = first._replace(text=first.text[:1].upper() + first.text[1:])
    return Sentence(first, *rest)


def localized(text: str, units: Units) -> str:
    """A sentence in the grower's units, from then on plain text; any other ``str`` as it is."""
    if not isinstance(text, Sentence):
        return text
    return "".join([cell.shown(units) for cell in text.cells]) if units.imperial else str(text)


def to_data(value: Any) -> Any:
    """As JSON keeps it: tuples as lists, a sentence that depends on units as its cells."""
    if isinstance(value, Sentence):
        if not any(isinstance(cell, Quantity | Range) for cell in value.cells):
            return str(value)
        return {"cells": [[type(cell).__name__, *map(_field, cell)] for cell in value.cells]}
    if isinstance(value, tuple | list):
        return [to_data(item) for item in value]
    if isinstance(value, dict):
        return {key: to_data(item) for key, item in value.items()}
    return value


def _field(value: Any) -> Any:
    return value.isoformat() if isinstance(value, date) else value


def from_data(kept: dict[str, Any]) -> Any:
    """Object hook of ``json.loads`` for what ``to_data`` made: a sentence, or the mapping as it is."""
    cells = kept.get("cells")
    return Sentence(*(_cell(name, fields) for name, *fields in cells)) if cells is not None else kept


_KINDS: dict[str, type[Text | Words | Quantity | Range | Day | Share | UnitName | Mark]] = {
    kind.__name__: kind for kind in (Text, Words, Quantity, Range, Day, Share, UnitName, Mark)
}


def _cell(name: str, fields: list[Any]) -> Cell:
    if name == "Day":
        fields[:2] = [date.fromisoformat(day) if day is not None else None for day in fields[:2]]
    return _KINDS[name](*fields)


def m(metres: float, decimals: int | None = None) -> Quantity:
    return Quantity(metres, "m", decimals)


def cm(metres: float, decimals: int | None = None) -> Quantity:
    """A length in m that is said in cm."""
    return Quantity(metres, "cm", decimals)


def kg(kilograms: float, decimals: int | None = None) -> Quantity:
    return Quantity(kilograms, "kg", decimals)


def load(newton: float, decimals: int | None = None) -> Quantity:
    """A load in N, said as the weight that pulls so."""
    return Quantity(newton, "N", decimals)


def litres(value: float, decimals: int | None = None) -> Quantity:
    return Quantity(value, "L", decimals)


def degc(value: float, decimals: int | None = None) -> Quantity:
    return Quantity(value, "degC", decimals)


def as_typed(value: float, unit: Unit) -> Quantity:
    """What a grower typed, with the decimals it was typed with (at most two): ``6 kg``, ``6.25 kg``."""
    shown = value * _SCALES[unit][0].times
    return Quantity(value, unit, next((n for n in (0, 1) if math.isclose(round(shown, n), shown)), 2))


WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_word(day: date, today: date | None = None) -> str:
    """``Sat 29 Aug``; seen from ``today``: today, tomorrow, Sat within a week."""
    ahead = (day - today).days if today is not None else 7
    if ahead == 0:
        return "today"
    if ahead == 1:
        return "tomorrow"
    weekday = WEEKDAYS[day.weekday()]
    return weekday if 1 < ahead < 7 else f"{weekday} {day_and_month(day)}"


def day_and_month(day: date) -> str:
    """``29 Aug``, English on any machine."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def many(count: int, thing: str, things: str = "") -> str:
    """``1 head``, ``3 heads``, ``2 boxes`` with ``things`` given."""
    return f"{count} {thing}" if count == 1 else f"{count} {things or thing + 's'}"


def listed(names: Sequence[str], most: int = 4) -> Sentence:
    """Names with commas; past ``most`` the rest is counted."""
    if len(names) <= most:
        return joined(", ", names)
    return say("{} and {} more", joined(", ", names[:most]), len(names) - most)


def bed_words(bed: str) -> str:
    """A bed by what the grower calls it: the word stands once, whether or not the name holds it."""
    return bed if "bed" in bed.lower() else f"bed {bed}"


def one_line(text: object, most: int = 120) -> str:
    """Text from a file as one printable line, control and direction marks made visible."""
    shown = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in str(text))
    return shown if len(shown) <= most else shown[: most - 1] + "…"


def _with_unit(figure: str, unit: Unit, units: Units) -> str:
    name = scale(unit, units).name
    return f"{figure} {name}" if name else figure


def _figures(
    values: Sequence[float], unit: Unit, decimals: int | None, units: Units, *, signed: bool = False
) -> list[str]:
    metric, imperial = _SCALES[unit]
    fine = metric.decimals if decimals is None else decimals
    how = imperial if units.imperial else metric
    shown = [value * how.times + how.plus for value in values]
    if units.imperial and imperial != metric:
        fine = max(_decimals(value, fine, imperial.times / metric.times) for value in shown)
    # Adding nothing makes a figure that rounds to nothing from below 0, not -0.
    sign = "+" if signed else ""
    return [f"{round(value, fine) + 0.0:{sign}.{fine}f}" for value in shown]


def _decimals(value: float, metric_decimals: int, times: float) -> int:
    """As fine as the metric figure would be, and never so coarse that it would say something else."""
    decimals = max(0, math.ceil(metric_decimals - math.log10(times) - 0.46))
    while decimals < 4 and abs(round(value, decimals) - value) > _COARSE * abs(value):
        decimals += 1
    return decimals
