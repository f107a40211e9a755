"""Numbers as growers type them: a comma for a point, units left out, and sentences where one does not fit."""

from __future__ import annotations

import math
import re

from tunneltui.cells import Unit
from tunneltui.pages.units import localize, shown


class NotANumber(ValueError):
    """What was typed is no number, or none that can be meant; its text is a sentence."""


def number(text: str, least: float, most: float, what: str, unit: Unit = "") -> float:
    """``text`` as a number between ``least`` and ``most``, all three figures of ``unit`` in metric.

    Raises:
        NotANumber: with a sentence that says what was wanted.
    """
    cleaned = text.strip().replace(",", ".").replace("−", "-")
    if not re.fullmatch(r"[+-]?\d{0,9}(\.\d{0,6})?", cleaned, re.ASCII) or not re.search(r"\d", cleaned):
        raise NotANumber(f"{localize(what)}: a number was wanted, such as 6.2.")
    value = float(cleaned)
    if not math.isfinite(value) or not least <= value <= most:
        figures = (shown(f"{figure:g}", unit) for figure in (least, most, value))
        raise NotANumber("{}: between {} and {} was wanted, {} was typed.".format(localize(what), *figures))
    return value


def optional(text: str, least: float, most: float, what: str, unit: Unit = "") -> float | None:
    """None where nothing was typed. Raises ``NotANumber``."""
    return number(text, least, most, what, unit) if text.strip() else None
