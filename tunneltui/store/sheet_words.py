"""What headings of growers' sheets say, in six languages: traits, units, months, totals (``sheet_words.toml``).

A heading is compared by its plain words: without capitals, accents, signs, bracketed notes and its unit.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Literal

SheetKind = Literal["measurements", "picks", "air"]
KINDS: tuple[SheetKind, ...] = ("measurements", "picks", "air")

_WORDS = tomllib.loads((Path(__file__).parent / "sheet_words.toml").read_text("utf-8"))
UNITS: dict[str, list[str]] = _WORDS["units"]
"""Each unit by its usual sign, and how sheets write it."""
_UNIT_OF = {word: unit for unit, words in UNITS.items() for word in words}
IN_BASE: dict[str, float] = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048} | {
    "kg": 1.0,
    "g": 0.001,
    "lb": 0.45359237,
    "oz": 0.45359237 / 16,
}
"""In metres and kilograms. Inch, foot and pound by the international yard and pound agreement of 1959 (NIST SP
811, appendix B.8)."""
LENGTHS, WEIGHTS = ("mm", "cm", "m", "in", "ft"), ("kg", "g", "lb", "oz")

_OTHER: dict[str, str] = _WORDS["other"]
MONTHS = {word: number for number, words in enumerate(_OTHER["months"].split(";"), 1) for word in words.split()}
"""Number of a month by its name or short name, accents taken off."""
TOTALS = frozenset(_OTHER["totals"].split())
"""A row that begins with one of these sums up the rows above it."""
PLANT_WORDS = frozenset(_OTHER["plants"].split())
"""Words beside the number of a plant in a heading."""


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Words without capitals, accents, signs and what stands in brackets: ``T Air (°C)`` is ``t air``."""
    bare = re.sub(r"[(\[{].*?[)\]}]", " ", text.casefold().replace("ß", "ss"))
    bare = "".join(c for c in unicodedata.normalize("NFKD", bare) if not unicodedata.combining(c))
    bare = re.sub(r"(?<=[a-z])#|#(?=\s*[a-z])|[º°]\s*[cf]?\b", " ", bare)
    return re.sub(r"[^0-9a-z\u0370-\uffff]+", " ", bare).strip()


@lru_cache(maxsize=4096)
def unit_in(heading: str) -> str:
    """The unit a heading names, in brackets or as its last word; '' where it names none."""
    folded = heading.casefold().strip()
    for inside in re.findall(r"[(\[{](.*?)[)\]}]", folded):
        for word in (inside.strip(), *re.split(r"[\s,;/]+", inside.strip())):
            if word in _UNIT_OF:
                return _UNIT_OF[word]
    last = re.search(r"(?:^|[\s_,./:-])([^\s_,./:()\[\]-]+)$", folded)
    if last and last[1] in _UNIT_OF and (last[0] != last[1] or len(last[1]) > 1 or last[1] in '%"'):
        return _UNIT_OF[last[1]]
    return ""


def unit_of(word: str) -> str:
    """The unit that a word by itself names, as in a row of units; '' where it is none."""
    return _UNIT_OF.get(word.casefold().strip().strip("()[]{}.").strip(), "")


def without_unit(heading: str) -> str:
    """The heading's plain words, and no unit behind them."""
    words = plain(heading)
    unit = unit_in(heading)
    if unit:
        for spelled in sorted(UNITS[unit], key=len, reverse=True):
            bare = plain(spelled)
            if bare and words.endswith(f" {bare}"):
                return words[: -len(bare)].strip()
    return words


@lru_cache(maxsize=4)
def _meanings(kind: SheetKind) -> Mapping[str, str]:
    meanings: dict[str, str] = {}
    for meaning, phrases in _WORDS[kind].items():
        for phrase in phrases.split(";"):
            meanings.setdefault(" ".join(phrase.split()), meaning)
    return meanings


def names(kind: SheetKind) -> tuple[str, ...]:
    """What is looked for in files of that kind; ``--map`` takes these names."""
    return tuple(_WORDS[kind])


_SAY_LITTLE = frozenset(_OTHER["little"].split())


@lru_cache(maxsize=4096)
def meaning(kind: SheetKind, heading: str) -> str:
    """What a heading says in files of that kind; '' where it is not known."""
    meanings = _meanings(kind)
    words = without_unit(heading)
    for tried in (words, plain(heading), words.replace("_", " ")):
        if tried in meanings:
            return meanings[tried]
    if kind != "air":
        short = " ".join(word for word in words.split() if word not in _SAY_LITTLE)
        if short in meanings:
            return meanings[short]
    if kind == "picks" and not words and unit_in(heading) in WEIGHTS:
        return "kg"
    squeezed = words.replace(" ", "")
    return (
        next((meant for phrase, meant in meanings.items() if phrase.replace(" ", "") == squeezed), "")
        if squeezed
        else ""
    )


def heading_of(kind: SheetKind, meant: str) -> str:
    """A heading that says it: the word itself where that is one."""
    meanings = _meanings(kind)
    return (
        meant
        if meanings.get(meant) == meant
        else next((words for words, key in meanings.items() if key == meant), meant)
    )


def known_anywhere(cell: str) -> bool:
    """Whether a cell is a heading of any kind of sheet."""
    return any(meaning(kind, cell) for kind in KINDS)


def sums_up(cell: str) -> bool:
    """Whether a row that begins with the cell sums up the rows above it."""
    words = plain(cell).split()
    return bool(words) and words[0] in TOTALS and not any(word.isdigit() for word in words)
