"""Random tables in random shapes, words, units and dates give their own numbers back, or a question."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tunneltui.holding.user_error import UserError
from tunneltui.store.read_air import read_air
from tunneltui.store.read_measurements import read_measurements
from tunneltui.store.read_picks import read_picks
from tunneltui.store.read_table import read_table
from tunneltui.store.sheet_doubts import Doubt

DATE_WORDS = ("Date", "Datum", "Fecha", "Data", "Jour", "Giorno", "date measured", "Messdatum")
PLANT_WORDS = ("Plant", "Label", "Plant number", "Pflanzen-Nr.", "N° plante", "Planta", "Pianta", "stem_id")
LENGTH_WORDS = (
    "Stem length",
    "Stengellengte",
    "Trieblänge",
    "Longueur de tige",
    "Longitud del tallo",
    "Lunghezza fusto",
)
UNITS: dict[str, float] = {"cm": 1.0, "mm": 10.0, "m": 0.01, "in": 1 / 2.54}
FORMS: tuple[Callable[[date], str], ...] = (
    date.isoformat,
    lambda day: f"{day:%d/%m/%Y}",
    lambda day: f"{day:%m/%d/%Y}",
    lambda day: f"{day.day}.{day.month}.{day.year}",
    lambda day: f"{day.day}-{day:%b-%y}",
    lambda day: f"{day:%B} {day.day} {day.year}",
    lambda day: f"{day:%G-W%V}",
    lambda day: str((day - date(1899, 12, 30)).days),
)


def stems_sheet(rng: random.Random) -> tuple[str, dict[tuple[str, date], float]]:
    """A sheet of whole lengths, and the lengths in cm that it tells."""
    first = date(2026, 4, 6) + timedelta(days=7 * rng.randrange(12))
    visits = [first + timedelta(days=7 * n) for n in range(rng.randint(3, 9))]
    plants = [str(n) for n in range(1, rng.randint(3, 7))]
    truth = {}
    for plant in plants:
        length = rng.uniform(40, 150)
        for day in visits:
            truth[plant, day] = round(length, 1)
            length += rng.uniform(8, 30)
    unit = rng.choice(list(UNITS))
    comma = rng.random() < 0.4
    sep = rng.choice(";\t|") if comma else rng.choice(",;\t|")
    form = rng.choice(FORMS)
    decimals = {"cm": 1, "mm": 0, "m": 3, "in": 3}[unit]

    def number(cm: float) -> str:
        text = f"{cm * UNITS[unit]:.{decimals}f}"
        return text.replace(".", ",") if comma else text

    heading = f"{rng.choice(LENGTH_WORDS)} ({unit})"
    day_word, plant_word = rng.choice(DATE_WORDS), rng.choice(PLANT_WORDS)
    shape = rng.choice(("long", "plants", "days"))
    if shape == "long":
        rows = [[day_word, plant_word, heading]]
        rows += [[form(day), plant, number(truth[plant, day])] for day in visits for plant in plants]
    elif shape == "plants":
        rows = [[heading], [day_word, *plants]]
        rows += [[form(day), *(number(truth[plant, day]) for plant in plants)] for day in visits]
    else:
        rows = [[heading], [plant_word, *map(form, visits)]]
        rows += [[plant, *(number(truth[plant, day]) for day in visits)] for plant in plants]
    if rng.random() < 0.3:
        rows.insert(0, ["Registration of one house"])
    if rng.random() < 0.3 and shape == "long":
        rows.append(["Total", "", number(sum(truth.values()))])
    return "\n".join(sep.join(row) for row in rows) + "\n", truth


def check(folder: Path, seed: int) -> bool:
    """Whether the sheet was read; its numbers must then be its own. A question is an answer too."""
    text, truth = stems_sheet(random.Random(seed))
    file = folder / "sheet.csv"
    file.write_text(text, encoding="utf-8")
    try:
        found = read_measurements(read_table(file))
    except Doubt:
        return False
    read = {(one.label, one.day): one.reading for one in found.readings}
    assert not any(one.growth_m is not None for one in read.values()), text
    lengths = {key: 100 * one.length_m for key, one in read.items() if one.length_m is not None}
    assert lengths == pytest.approx(truth, abs=0.11), text
    return True


@settings(max_examples=150, deadline=None)
@given(seed=st.integers(0, 10**9))
@example(seed=1157)  # bars between decimal commas, as many of the one as of the other
def test_a_random_sheet_gives_its_own_numbers_or_a_question(
    seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    check(tmp_path_factory.mktemp("any"), seed)


def test_most_random_sheets_need_no_question(tmp_path: Path) -> None:
    """A program that asks about everything would pass the test above."""
    read = sum(check(tmp_path, seed) for seed in range(200))
    assert read >= 150


SHARDS = tuple(
    re.split(
        " ",
        "Date Datum Plant Label Stem length Weight kg g (cm) [lb] Time Hour Temp °C °F min max total mean 1 2 3,5 "
        "1.200 1,200 2026-08-03 03/08/2026 13/13/2026 1-Jun-26 W23 KW 46237 07:00 25:00 NaN - \" ' ; , \t | sep=; "
        "P1 W1-07 120 cm",
    )
)


def shards(rng: random.Random) -> bytes:
    """Bits of sheets thrown together."""
    rows = []
    for _ in range(rng.randint(1, 9)):
        sep = rng.choice(",;\t|")
        rows.append(sep.join(rng.choice(SHARDS) for _ in range(rng.randint(0, 6))))
    text = rng.choice(("\n", "\r\n", "\n\n")).join(rows)
    return text.encode(rng.choice(("utf-8", "cp1252", "utf-16")), "replace")


def read_every_way(folder: Path, data: bytes, name: str = "shards.csv") -> None:
    """Nothing but ``UserError`` comes out of any reader."""
    file = folder / name
    file.write_bytes(data)
    with suppress(UserError):
        table = read_table(file)
        for reader in (read_measurements, read_picks, lambda found: read_air(found, "Europe/London")):
            with suppress(UserError):
                reader(table)


@settings(max_examples=150, deadline=None)
@given(seed=st.integers(0, 10**9))
def test_bits_of_sheets_give_a_table_or_a_sentence(seed: int, tmp_path_factory: pytest.TempPathFactory) -> None:
    read_every_way(tmp_path_factory.mktemp("shards"), shards(random.Random(seed)))


@pytest.mark.long
def test_ten_minutes_of_bits_of_sheets(tmp_path: Path, record_property: Callable[[str, object], None]) -> None:
    from time import monotonic

    until, n = monotonic() + 600, 0
    while monotonic() < until:
        read_every_way(tmp_path, shards(random.Random(n)))
        check(tmp_path, n)
        n += 1
    record_property("tells", f"{n} sheets of bits and as many random ones read in ten minutes, no traceback")
