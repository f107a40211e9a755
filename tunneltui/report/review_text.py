"""The look back and fair comparisons as plain text, metric or imperial."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tunneltui.holding.trouble import Trouble
from tunneltui.report.plain import joined, wrapped
from tunneltui.report.review_words import Section, fair_words, sections
from tunneltui.report.units import Units
from tunneltui.review.fair import Fair
from tunneltui.review.fair_units import What
from tunneltui.review.look_back import LookBack

SECTIONS = ("yields", "compared", "weeks", "stems", "clips", "hours", "beds", "held", "notes", "clearing")
"""What may be asked for by itself."""
KINDS: tuple[What, ...] = ("cultivar", "row", "training", "season")


def review_text(back: LookBack, units: Units, only: str = "") -> str:
    """``only`` is the key of one section; '' for all."""
    wanted = [section for section in sections(back, units) if only in ("", section.key)]
    lines: list[str] = []
    for section in wanted:
        lines += [*([""] if lines else []), *_section(section)]
    return joined(lines)


def _section(section: Section) -> Iterator[str]:
    yield section.title
    for item in section.items:
        if section.kept_together:
            yield f"  {item.words}"
        else:
            yield from wrapped(item.words, "  ", "    ", as_typed=True)


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
    return joined([line for words in fair_words(found, units) for line in wrapped(words, "", "  ", as_typed=True)])
