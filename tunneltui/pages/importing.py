"""What a file from outside brought, or would bring, in words: how it was read, new, changed and refused rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from tunneltui.cells import Sentence, as_typed, say

MOST_TOLD = 20


class ColumnRead(NamedTuple):
    """One column as it was understood."""

    column: str
    what: str
    unit: str
    first: tuple[str, ...]
    """Its first three values, as written."""


class ImportSummary(NamedTuple):
    """What the grower should know of a file."""

    file: str
    columns: Mapping[str, str]
    reading: tuple[ColumnRead, ...]
    """How each column was understood."""
    notes: Sequence[str]
    """What was known from earlier files, detected and assumed."""
    rows: Sequence[str]
    """The first entries in words."""
    new: int
    same: int
    changed: Sequence[tuple[int, date, str]]
    """Line, day and thing of the rows that differ from the journal."""
    replaced: bool
    refused: Sequence[tuple[int, str]]
    """Line, and why."""
    left_out: Sequence[str]
    """Readings taken that make no sense."""


def import_text(brought: ImportSummary, wrap: Callable[[str], Sequence[str]]) -> str:
    """Columns, what was given and what was detected, counts, first rows, changed and refused rows."""
    lines = [f"{brought.file}: columns read as", *_columns(brought)]
    lines += [line for sentence in brought.notes for line in wrap(sentence)]
    lines += [line for row in brought.rows for line in wrap(f"  {row}")]
    if brought.rows and brought.new > len(brought.rows):
        lines.append(f"  and {brought.new - len(brought.rows)} more")
    lines.append(f"{brought.new} new, {brought.same} known already, {len(brought.changed)} changed.")
    for line, day, about in brought.changed[:MOST_TOLD]:
        lines += wrap(f"  line {line or '-'}: {day} {about or 'the house'} says otherwise now")
    if brought.changed:
        lines.append(
            "The file's values were taken and the old ones crossed out."
            if brought.replaced
            else "Nothing of these was touched; --replace crosses the old ones out and takes the file's."
        )
    if brought.refused:
        lines.append(f"{len(brought.refused)} refused:")
        lines += _first_of([f"  line {line}: {why}" for line, why in brought.refused], wrap)
    if brought.left_out:
        lines.append(f"{len(brought.left_out)} taken that make no sense; nothing is learned from them:")
        lines += _first_of([f"  {sentence}" for sentence in brought.left_out], wrap)
    return "\n".join(lines) + "\n"


def _first_of(sentences: Sequence[str], wrap: Callable[[str], Sequence[str]]) -> list[str]:
    more = [f"  and {len(sentences) - MOST_TOLD} more; --json lists all"] if len(sentences) > MOST_TOLD else []
    return [line for sentence in sentences[:MOST_TOLD] for line in wrap(sentence)] + more


def _columns(brought: ImportSummary) -> list[str]:
    """What each column was understood as, its heading, its unit and its first values."""
    if not brought.reading:
        return [f"  {name:<10} {column}" for name, column in brought.columns.items()]
    width = max(len(column.column) for column in brought.reading)
    return [
        f"  {column.what:<10} {column.column:<{width}} {column.unit:<3} {', '.join(column.first)}"[:100].rstrip()
        for column in brought.reading
    ]


# What was found out of a logger's file, a sheet of measuring or of picks


def air_read(readings: int, days: int, first: date, last: date, repeated: int, over_100: int) -> list[str]:
    sentences = [f"{readings} readings on {days} days, {first} to {last}."]
    if repeated:
        sentences.append(f"{repeated} readings were given twice for one moment; the first counts.")
    if over_100:
        sentences.append(f"{over_100} humidities over 100% were taken as 100: sensors drift in saturated air.")
    return sentences


def too_heavy(kg: float, plants: int) -> Sentence:
    return say("{} from {} plants in one pick is more than they bear", as_typed(kg, "kg"), plants)


def assumed(notes: Sequence[str]) -> list[str]:
    return ["The journal had no holding, so this was assumed:", *(f"  {note}" for note in notes)]


READ_AS_TOLD = "Read as you told of an earlier file with these headings (imports.toml beside the settings)."
KEPT_ONCE_TAKEN = "What you tell of these headings is kept once the file is taken."


def columns_kept(where: str) -> str:
    return f"Kept for the next file with these headings, in {where}."
