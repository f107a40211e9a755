"""Days as they stand beside a picture or in a list."""

from __future__ import annotations

from datetime import date


def day_words(day: date) -> str:
    """Such as ``Thu 20 Aug``."""
    return f"{day:%a} {day.day} {day:%b}"
