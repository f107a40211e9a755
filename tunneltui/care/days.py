"""Days as they are said in a sentence."""

from __future__ import annotations

from datetime import date


def said(day: date) -> str:
    """Such as ``Thu 20 Aug``."""
    return f"{day:%a} {day.day} {day:%b}"
