"""A sheet with a column for each plant, or for each day, turned into one row a plant and day."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tunneltui.cells import say
from tunneltui.pages.sheets import A_COLUMN_EACH
from tunneltui.store.read_table import Table
from tunneltui.store.sheet_days import heads_a_day
from tunneltui.store.sheet_doubts import Doubt
from tunneltui.store.sheet_file import SheetLine
from tunneltui.store.sheet_numbers import is_a_number
from tunneltui.store.sheet_words import PLANT_WORDS, SheetKind, heading_of, meaning, plain, unit_in
from tunneltui.values import replace

DAY, WHOSE = "Date", "Plant"
"""Columns of a turned sheet that its own heading does not name."""
_FIXED = frozenset({"day", "time", "clock", "week", "year", "row", "cultivar", "label", "grade"})
_LABEL = re.compile(r"[a-z]{0,3}\d{0,3}-?\d{1,4}[a-z]?", re.I | re.ASCII)
_TRAITS: Mapping[SheetKind, tuple[tuple[str, str], ...]] = {
    "measurements": (
        ("length=*", "what came, or the whole stem"),
        ("flowering=*", "flowering trusses"),
        ("diameter=*", "stem thickness"),
        ("leaves=*", "leaves"),
    ),
    "picks": (("kg=*", "kilograms"), ("count=*", "fruits")),
    "air": (("temp=*", "temperatures"),),
}


def as_long(table: Table, kind: SheetKind, mapped: Mapping[str, str]) -> Table:
    """The same readings, one row a plant (or cultivar, or row) and day.

    Raises:
        Doubt: what the columns hold is not said anywhere.
    """
    if kind == "air":
        return table
    if table.below:
        first, *others = (as_long(part, kind, mapped) for part in (replace(table, below=()), *table.below))
        return _joined(first, others)
    named = {column: meaning(kind, column) for column in table.columns if column not in mapped.values()}
    by_day = [column for column in table.columns if heads_a_day(_bare(column)) and not named.get(column)]
    if len(by_day) > 1:
        return _days_turned(table, kind, mapped, named, by_day)
    whose = {column: split for column in table.columns if (split := _split(table, column, kind)) is not None}
    graded = {column: grade for column in table.columns if kind == "picks" and (grade := _grade(column))}
    if len(graded) > 1 and "kg" not in named.values() and "kg" not in mapped:
        fixed = [column for column in table.columns if named.get(column) in _FIXED]
        return _turned(table, kind, fixed, {column: ("kg", grade) for column, grade in graded.items()}, "Grade")
    if kind == "picks" and not whose and "kg" not in named.values() and mapped.get("kg", "*") == "*":
        return _cultivars_turned(table, kind, mapped, named)
    if len(whose) < 2 or "label" in named.values() or "label" in mapped:
        return table
    fixed = [column for column in table.columns if named.get(column) in _FIXED and column not in whose]
    if not fixed:
        return table
    traits = {trait or _trait_of_all(table, kind, mapped) for trait, _ in whose.values()}
    return _turned(table, kind, fixed, {c: (t or next(iter(traits)), label) for c, (t, label) in whose.items()})


def _joined(first: Table, others: Sequence[Table]) -> Table:
    """Tables of several traits, one below the other, as one row a plant and day with all of them."""
    keys = tuple(column for column in first.columns if all(column in other.columns for other in others))
    columns = tuple(dict.fromkeys(column for table in (first, *others) for column in table.columns))
    rows: dict[tuple[str, ...], dict[str, str]] = {}
    begins: dict[tuple[str, ...], int] = {}
    for table in (first, *others):
        for line in table.lines:
            cells = {column: table.cell(line, column) for column in table.columns}
            key = tuple(cells[column] for column in keys)
            if set(columns) == set(keys):
                key = (*key, str(line.number))
            begins.setdefault(key, line.number)
            rows.setdefault(key, {}).update(cells)
    return replace(
        first,
        columns=columns,
        lines=tuple(
            SheetLine(begins[key], tuple(cells.get(c, "") for c in columns)) for key, cells in rows.items()
        ),
        units={column: unit for table in (*others, first) for column, unit in table.units.items()},
        notes=tuple(dict.fromkeys(note for table in (first, *others) for note in table.notes)),
        left_out=tuple(row for table in (first, *others) for row in table.left_out),
        places={column: place for place, column in enumerate(columns)},
    )


def _grade(column: str) -> str:
    """The grade whose weight a heading names, such as ``Weight class 1`` or ``ProdA``."""
    words = plain(_bare(column))
    match = re.fullmatch(
        r"(?:prod(?:uction)?|yield|weight|kg|harvest|gewicht|poids|peso)\s?"
        r"(?:class|grade|klasse|classe|clase)?\s?([ab123]|i{1,3})",
        words,
    )
    return match[1].upper() if match else ""


def _bare(column: str) -> str:
    return re.sub(r" \(\d+\)$", "", column)


def _split(table: Table, column: str, kind: SheetKind) -> tuple[str, str] | None:
    """A heading as (trait, plant), the trait '' where it names none; None where it names no plant."""
    if table.groups:
        upper, lower = table.groups[table.places[column]]
        for trait, label in ((upper, lower), (lower, upper)):
            if meaning(kind, trait) not in ("", *_FIXED) and (group := _label(label)):
                return meaning(kind, trait), group
        return None
    if meaning(kind, column):
        return None
    bare = _bare(column)
    if label := _label(bare):
        return "", label
    without = re.sub(r"[(\[{].*?[)\]}]", " ", bare)
    # A hyphen may be a part of the plant's name: W1-07 length.
    for parted_by in (r"[\s_,;:/|]+", r"[\s_,;:/|-]+"):
        words = re.split(parted_by, without.strip())
        for place, word in enumerate(words):
            if not re.search(r"\d", word) or not (label := _label(word)):
                continue
            rest = " ".join(
                other for n, other in enumerate(words) if n != place and other.casefold() not in PLANT_WORDS
            )
            if (trait := meaning(kind, rest)) and trait not in _FIXED:
                return trait, label
    return None


def _label(text: str) -> str:
    """The plant that a heading names and nothing else: ``7``, ``P7``, ``Plant 7``, ``W1-07``; else ''."""
    bare = text.strip().strip("#").strip()
    words = [word for word in re.split(r"[\s.:_#]+", bare) if word]
    kept = [word for word in words if word.casefold() not in PLANT_WORDS]
    if len(kept) != 1 or not re.search(r"\d", kept[0]) or not _LABEL.fullmatch(kept[0]):
        return ""
    prefix = re.fullmatch(r"([a-z]+)\.?(\d+[a-z]?)", kept[0], re.I)
    return prefix[2] if prefix and prefix[1].casefold() in PLANT_WORDS else kept[0]


def _trait_of_all(table: Table, kind: SheetKind, mapped: Mapping[str, str]) -> str:
    """What every column of figures holds: as mapped, else as the title says."""
    for trait, column in mapped.items():
        if column == "*":
            return trait
    title = table.title
    parts = [title, *re.split(r"[:;,|–-]| in | per | \(", title), *title.split()]
    for part in parts:
        if (trait := meaning(kind, part)) and trait not in _FIXED:
            return trait
    raise Doubt(
        f"{table.file} has a column for each {'plant' if kind == 'measurements' else 'cultivar or row'}, and "
        "nothing says what they hold.",
        "map",
        _TRAITS[kind],
    )


def _turned(
    table: Table, kind: SheetKind, fixed: Sequence[str], whose: Mapping[str, tuple[str, str]], name: str = WHOSE
) -> Table:
    whose = {column: (heading_of(kind, trait), label) for column, (trait, label) in whose.items()}
    traits = list(dict.fromkeys(trait for trait, _ in whose.values()))
    labels = list(dict.fromkeys(label for _, label in whose.values()))
    at = {(trait, label): column for column, (trait, label) in whose.items()}
    lines = []
    for line in table.lines:
        kept = [table.cell(line, column) for column in fixed]
        for label in labels:
            cells = [table.cell(line, at[trait, label]) if (trait, label) in at else "" for trait in traits]
            if any(cells):
                lines.append(SheetLine(line.number, (*kept, label, *cells)))
    columns = (*fixed, name, *traits)
    units = {column: unit for column, unit in table.units.items() if column in fixed}
    in_title = unit_in(table.title)
    for trait in traits:
        heading_units = {
            table.units[c] for c, (heading, _) in whose.items() if heading == trait and c in table.units
        }
        if len(heading_units) == 1 or (not heading_units and in_title):
            units[trait] = next(iter(heading_units), in_title)
    what = "cultivar or row" if kind == "picks" else "plant"
    note = say(A_COLUMN_EACH, len(whose), what, ", ".join(traits))
    return replace(
        table,
        columns=columns,
        lines=tuple(lines),
        units=units,
        groups=(),
        notes=(*table.notes, note),
        places={column: place for place, column in enumerate(columns)},
    )


def _days_turned(
    table: Table, kind: SheetKind, mapped: Mapping[str, str], named: Mapping[str, str], days: Sequence[str]
) -> Table:
    """Columns are days: each row's plant, or cultivar, is in its other columns."""
    fixed = [column for column in table.columns if column not in days and (named.get(column) in _FIXED)]
    if not fixed:
        first = next((column for column in table.columns if column not in days), None)
        if first is None:
            return table
        fixed = [first]
    trait = _trait_of_all(table, kind, mapped)
    columns = (*(_as_whose(named, kind, column, n) for n, column in enumerate(fixed)), DAY, trait)
    lines = [
        SheetLine(line.number, (*(table.cell(line, column) for column in fixed), _bare(day), cell))
        for line in table.lines
        for day in days
        if (cell := table.cell(line, day))
    ]
    unit = next(iter({table.units[day] for day in days if day in table.units}), unit_in(table.title))
    return replace(
        table,
        columns=columns,
        lines=tuple(lines),
        units={trait: unit} if unit else {},
        groups=(),
        notes=(*table.notes, say(A_COLUMN_EACH, len(days), "day", trait)),
        places={column: place for place, column in enumerate(columns)},
    )


def _as_whose(named: Mapping[str, str], kind: SheetKind, column: str, number: int) -> str:
    """A column of names that its heading does not explain: plants, or cultivars of a pick."""
    if named.get(column):
        return column
    return ("Cultivar" if kind == "picks" else WHOSE) if number == 0 else column


def _cultivars_turned(table: Table, kind: SheetKind, mapped: Mapping[str, str], named: Mapping[str, str]) -> Table:
    """A sheet of picks with a column for each cultivar or row."""
    fixed = [column for column in table.columns if named.get(column) in _FIXED]
    figures = [
        column
        for column in table.columns
        if not named.get(column)
        and plain(column)
        and any(is_a_number(table.cell(line, column)) for line in table.lines)
        and all(
            not (cell := table.cell(line, column)) or is_a_number(cell) or cell in "-–" for line in table.lines
        )
    ]
    if not fixed or not figures:
        return table
    trait = _trait_of_all(table, kind, mapped)
    name = "Row" if "cultivar" in named.values() else "Cultivar"
    return _turned(
        table, kind, fixed, {column: (trait, re.sub(r"\s*[(\[].*?[)\]]", "", column)) for column in figures}, name
    )
