"""What the grower said of files with the same headings: which column holds what, the units, the order of days.

Kept in ``imports.toml`` beside the settings, one table a shape, so that the next such file needs no flags; the
grower may edit it. One that cannot be read is reported and never written over.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path

import tomli_w
from pydantic import TypeAdapter, ValidationError

from tunneltui.holding.user_error import UserError
from tunneltui.store.folders import private_folder
from tunneltui.store.sheet_days import DayOrder
from tunneltui.store.sheet_meaning import CountedAs
from tunneltui.store.write_file import write_file

FILE = "imports.toml"
TOO_LONG = 1_000_000
"""Bytes; no file of hints is so long, whatever lies in its place."""


@dataclass(frozen=True, slots=True)
class SheetHints:
    """What flags of an import say of a file's shape."""

    columns: Mapping[str, str] = field(default_factory=dict)
    """Headings by what they hold."""
    dates: DayOrder | None = None
    length_as: CountedAs | None = None
    trusses_as: CountedAs | None = None
    stems: int | None = None
    """Stems each row is the mean of."""
    units: Mapping[str, str] = field(default_factory=dict)
    """Units by what a column holds."""

    def over(self, before: SheetHints) -> SheetHints:
        """These hints, and of those before all that these leave open."""
        return SheetHints(
            {**before.columns, **self.columns},
            self.dates or before.dates,
            self.length_as or before.length_as,
            self.trusses_as or before.trusses_as,
            self.stems or before.stems,
            {**before.units, **self.units},
        )


Shapes = dict[str, dict[str, SheetHints]]
"""By kind of import, then by headings."""


def hints_before(folder: Path, kind: str, shape: str) -> SheetHints:
    """What is known of files of this kind with these headings; nothing where they are new.

    Raises:
        UserError: the file of hints cannot be read.
    """
    return _read(folder / FILE).get(kind, {}).get(shape, SheetHints())


def keep_hints(folder: Path, kind: str, shape: str, hints: SheetHints) -> Path:
    """Keeps it for the next file with these headings; returns the file it is kept in.

    Raises:
        UserError: the file cannot be read or written.
    """
    file = private_folder(folder) / FILE
    shapes = _read(file)
    shapes.setdefault(kind, {})[shape] = hints
    return write_file(file, tomli_w.dumps({kind: _plain(hints_of) for kind, hints_of in shapes.items()}))


def _plain(shapes: Mapping[str, SheetHints]) -> dict[str, dict[str, object]]:
    return {
        shape: {name: value for name, value in asdict(hints).items() if value} for shape, hints in shapes.items()
    }


def _read(file: Path) -> Shapes:
    try:
        with file.open("rb") as opened:
            return TypeAdapter(Shapes).validate_python(tomllib.loads(opened.read(TOO_LONG).decode("utf-8-sig")))
    except FileNotFoundError:
        return {}
    except ValidationError as fault:
        first = fault.errors()[0]
        where = ", ".join(str(part) for part in first["loc"])
        raise UserError(f"{file}: {where}: {first['msg']}.", _AWAY) from fault
    except (OSError, ValueError, RecursionError) as fault:
        raise UserError(f"{file} cannot be read: {fault}.", _AWAY) from fault


_AWAY = "Put it right, or move it away."
