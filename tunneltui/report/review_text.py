"""The look back and fair comparisons as plain text, metric or imperial."""

from __future__ import annotations

from collections.abc import Sequence

from tunneltui.cells import Units
from tunneltui.holding.trouble import Trouble
from tunneltui.pages.page import NOTHING, Page
from tunneltui.pages.season import fair_words, season_page
from tunneltui.pages.text import plain_text, wrapped
from tunneltui.review.fair import Fair
from tunneltui.review.fair_units import What
from tunneltui.review.look_back import LookBack

SECTIONS = ("yields", "compared", "weeks", "stems", "clips", "hours", "beds", "held", "notes", "clearing")
"""What may be asked for by itself."""
KINDS: tuple[What, ...] = ("cultivar", "row", "training", "season")


def review_text(back: LookBack, units: Units, only: str = "") -> str:
    """``only`` is the key of one section; '' for all."""
    page = season_page(back)
    wanted = tuple(section for section in page.sections if only in ("", section.key))
    return plain_text(Page(NOTHING, wanted), units)


def section_asked(words: Sequence[str]) -> str:
    """The section named after ``review``; '' where none is."""
    if not words:
        return ""
    if len(words) > 1 or words[0] not in SECTIONS:
        raise Trouble(
            f"{' '.join(words)!r} is no question of the review.",
            f"Ask for {', '.join(SECTIONS)}, or: review compare cultivar 'a 1' 'b 2'.",
        )
    return words[0]


def compared(words: Sequence[str]) -> tuple[What, Sequence[str]]:
    """What is to be compared, and the names, from ``compare WHAT NAME...``; no name means all."""
    what = next((kind for kind in KINDS if words[1:2] == [kind]), None)
    if what is None:
        raise Trouble(
            f"{' '.join(words)!r} is no question of the review.", "Such as: review compare cultivar 'a 1' 'b 2'."
        )
    return what, words[2:]


def fair_text(found: Fair, units: Units) -> str:
    return "".join(f"{line}\n" for words in fair_words(found) for line in wrapped(words, "", "  ", units=units))
