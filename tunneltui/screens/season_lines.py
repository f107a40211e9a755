"""The look back as lines under headings; the whole words of one of them beside the list. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tunneltui.report.review_words import Section, sections, span_words
from tunneltui.report.units import Units
from tunneltui.review.fair_units import What
from tunneltui.review.look_back import LookBack
from tunneltui.review.seasons import season_span
from tunneltui.review.yields import By
from tunneltui.screens.parts import Line, Part

GROUPS: tuple[By, ...] = ("cultivar", "row", "bed", "tunnel", "place")
COMPARED: tuple[What, ...] = ("cultivar", "row", "training", "season")
CURVES = frozenset({"seasons", "weeks"})
"""Sections beside which the curves are drawn where there is room for one thing only."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What of the journal is looked back at; Nones ask for everything that was noted."""

    since: date | None
    until: date | None
    by: By = "cultivar"
    compare: What = "cultivar"


@dataclass(frozen=True, slots=True)
class Told:
    """One line's section and its words, uncut."""

    section: str
    words: str


def season_lines(back: LookBack, units: Units) -> tuple[list[Line], dict[str, Told]]:
    """Every section under its heading, and what each line says in full by its key."""
    lines: list[Line] = []
    told: dict[str, Told] = {}
    for section in sections(back, units):
        key = f"section {section.key}"
        lines.append(Line(key, (Part(f" {section.title}", "bold"),), heading=True))
        told[key] = Told(section.key, section.title)
        for number, item in enumerate(section.items):
            key = item.key or f"{section.key} {number}"
            lines.append(Line(key, _parts(section, item.words)))
            told[key] = Told(section.key, item.words)
    return lines, told


def _parts(section: Section, words: str) -> tuple[Part, ...]:
    """A name before its colon stands out; columns and sentences do not."""
    name, colon, rest = words.partition(": ")
    if section.kept_together or not colon or len(name) > 30:
        return (Part(words),)
    return (Part(f"{name}:", "bold"), Part(f" {rest}"))


def whole_season(back: LookBack, units: Units) -> list[str]:
    """Every section with every word, one thing a line, for a page that breaks lines by itself."""
    lines: list[str] = []
    for section in sections(back, units):
        lines += [*([""] if lines else []), f"{section.title}:", *(item.words for item in section.items)]
    return lines


def title(asked: Asked) -> str:
    said = span_words(asked.since, asked.until)
    return f"{said[:1].upper()}{said[1:]}, by {asked.by}"


def season_before(years: list[int], asked: Asked, last: int) -> tuple[date | None, date | None]:
    """The span after a press of the key: the season before, past the first one everything, then the last again."""
    if asked.since is None and asked.until is None:
        return season_span(last)
    earlier = [year for year in years if asked.since is not None and year < asked.since.year]
    return season_span(max(earlier)) if earlier else (None, None)
