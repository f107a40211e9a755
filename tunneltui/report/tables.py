"""Tables as CSV (RFC 4180) that a spreadsheet opens without running anything in them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

Cell = str | int | float | None
_STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Header and rows, lines ended by CRLF. None is an empty cell.

    Numbers stay numbers; text that a spreadsheet would run gets an apostrophe before it (OWASP, CSV injection).
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(harmless(title) for title in header)
    for row in rows:
        writer.writerow(harmless(cell) if isinstance(cell, str) else cell for cell in row)
    return out.getvalue()


def harmless(text: str) -> str:
    return f"'{text}" if text.startswith(_STARTS_A_FORMULA) else text
