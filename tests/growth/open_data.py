"""The open registrations as plain values, read from the folder that TUNNELTUI_OPEN_DATA names.

Sources: Ohio 2024 cherry trial, CEA Open Data collection (Kim, Dao, Tran, Kubota); Autonomous Greenhouse
Challenge, second edition (Hemming et al. 2020, 4TU.ResearchData, doi 10.4121/uuid:88d22c60-21b3-4ea8-90db-
20249a5be2a7). Nothing of them is kept in the repository.
"""

from __future__ import annotations

import csv
import os
from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import pytest

EPOCH = date(1899, 12, 30)
"""Day nought of spreadsheet serial days."""

needs_open_data = pytest.mark.skipif(
    "TUNNELTUI_OPEN_DATA" not in os.environ,
    reason="TUNNELTUI_OPEN_DATA does not name the folder of open registrations",
)


def folder() -> Path:
    return Path(os.environ["TUNNELTUI_OPEN_DATA"])


def rows(name: str) -> list[dict[str, str]]:
    """A table's rows, with blanks and percent signs taken off its headings and cells."""
    with (folder() / name).open(encoding="utf-8-sig", newline="") as file:
        return [
            {key.strip().lstrip("%"): value.strip() for key, value in row.items() if key}
            for row in csv.DictReader(file)
        ]


@dataclass(frozen=True)
class Visit:
    """One registration of one stem in Ohio."""

    day: date
    label: str
    grown_cm: float
    length_cm: float
    new_trusses: float
    picked_trusses: float
    leaves: float


@cache
def ohio_visits() -> tuple[Visit, ...]:
    return tuple(
        Visit(
            date.fromisoformat(row["Date"]),
            row["Label"],
            float(row["Stem length"]),
            float(row["Crop height"]),
            float(row["Number of flowering trusses"]),
            float(row["Number of harvested trusses"]),
            float(row["Remaining leaves"]),
        )
        for row in rows("ohio/crop.csv")
    )


@cache
def ohio_air() -> dict[date, float]:
    """Daily means of the five-minute air temperatures; repeated times count once."""
    readings: dict[str, float] = {}
    for row in rows("ohio/air-5min.csv"):
        if row["T Air"]:
            readings[row["Time"]] = float(row["T Air"])
    days: dict[date, list[float]] = defaultdict(list)
    for time, value in readings.items():
        days[date.fromisoformat(time[:10])].append(value)
    return {day: sum(values) / len(values) for day, values in days.items() if len(values) >= 100}


IN_DOUBT = (date(2024, 9, 20), date(2024, 11, 15))
"""Picks whose rows hold a longer interval than the others (README of the data)."""


@cache
def ohio_picks() -> dict[date, float]:
    """Kg picked per day over all samples."""
    kg: dict[date, float] = defaultdict(float)
    for row in rows("ohio/harvest.csv"):
        kg[date.fromisoformat(row["Date"])] += float(row["Total yield"])
    return dict(sorted(kg.items()))


@dataclass(frozen=True)
class Compartment:
    """One lit compartment of the challenge: means of ten stems."""

    grown_cm: dict[date, float]
    trusses: dict[date, float]
    picks: dict[date, tuple[float, float]]
    """Kg per m2 and days from flower to ripe, by pick day."""
    stems_m2: dict[date, float]
    air_c: dict[date, float]


def _serial(text: str) -> date:
    return EPOCH + timedelta(days=int(float(text)))


@cache
def compartment(number: int) -> Compartment:
    name = f"challenge/compartment-{number}"
    crop = rows(f"{name}/crop.csv")
    numbers = {
        key: {_serial(r["Time"]): float(r[key]) for r in crop}
        for key in ("Stem_elong", "Cum_trusses", "stem_dens")
    }
    picks = {}
    for row in rows(f"{name}/harvest.csv"):
        # The first row of compartment 1 says 43510 and means 43875 (README of the data).
        day = _serial("43875" if row["time"] == "43510" else row["time"])
        picks[day] = (float(row["ProdA"]) + float(row["ProdB"]), float(row["Truss development time"]))
    air = {date.fromisoformat(r["date"]): float(r["slab_mean_c"]) for r in rows(f"{name}/slab-daily.csv")}
    known = {key: {d: v for d, v in values.items() if v == v} for key, values in numbers.items()}
    return Compartment(known["Stem_elong"], known["Cum_trusses"], picks, known["stem_dens"], air)
