"""A made-up fortnight whose last day asks for fleece, doors, water, feed and a look, and the day before none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from tunneltui.care.row_water import row_water
from tunneltui.care.water import Water
from tunneltui.chores.chore import Chore
from tunneltui.chores.morning import Morning, plan_morning
from tunneltui.holding.model import Bed, Cultivar, Holding, Place, Row, Tunnel
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import draft
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_care import Air, Doors, Fed, Fleece, Forecast, Watered
from tunneltui.journal.kinds_standing import HoldingSet, Measured, Planted

PLANTED = date(2026, 4, 25)
DAY = date(2026, 6, 20)
DAMP = 92.0


def _holding(light_share: float = 0.65) -> Holding:
    row = Row(1, 2.0, 6.0, bed="bed", places=tuple(Place(f"T1-{n:02d}", 0.5 * n, "round") for n in range(1, 7)))
    bed = Bed("bed", drip_lph_per_plant=2.0, area_m2=2.4)
    tunnel = Tunnel("T", "tunnel", 8.0, 3.0, film_light_share=light_share, beds=(bed,), rows=(row,))
    return Holding("a fortnight", latitude_deg=52.0, tunnels=(tunnel,), cultivars=(Cultivar("round"),))


class _Book:
    """Entries in order, an act each."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []

    def write(self, day: date, about: str, body: Body) -> str:
        number = len(self.entries)
        made = draft(about, body)
        id_ = f"e{number:04d}"
        self.entries.append(Entry(id_, f"a{number:04d}", "d", day, number + 1, "", about, made.kind, 1, made.body))
        return id_


def _fortnight(holding: Holding | None = None, warmer_k: float = 0.0) -> list[Entry]:
    book = _Book()
    book.write(PLANTED, "", HoldingSet(to_toml(holding or _holding())))
    for number in range(1, 7):
        plant = book.write(PLANTED, f"T1-{number:02d}", Planted("round"))
        book.write(DAY - timedelta(days=3), f"T1-{number:02d}", Measured(plant, length_m=1.6, flowering_truss=5))
    for back in range(1, 15):
        day = DAY - timedelta(days=back)
        # Only the last two nights are warm and damp enough for blight weather.
        humid = 7 if back <= 2 else 3
        night = 11.0 if back <= 2 else 8.0
        rh = (DAMP,) * humid + (60.0,) * (24 - humid)
        hours = (14.0 + warmer_k,) * 24
        book.write(day, "T", Air("sensor", night + warmer_k, 27.0 + warmer_k, 17.0 + warmer_k, hours, rh, 288))
    book.write(DAY - timedelta(days=7), "T", Fed())
    book.write(DAY - timedelta(days=1), "T", Doors(open=False))
    book.write(DAY - timedelta(days=1), "T1", Watered(minutes=5))
    book.write(DAY - timedelta(days=1), "T", Forecast(str(DAY - timedelta(days=1)), (9.0, 9.0), (18.0, 18.0)))
    book.write(DAY, "T", Forecast(str(DAY), (9.0, 0.0), (25.0, 24.0)))
    return book.entries


def _morning(entries: Sequence[Entry], day: date) -> Morning:
    return plan_morning(entries, day, minutes=600)


def _kinds(morning: Morning) -> set[str]:
    return {chore.kind for spot in morning.round.spots for chore in spot.chores}


def _chore(morning: Morning, kind: str) -> Chore:
    return next(chore for chore in morning.chores if chore.kind == kind)


def test_care_speaks_on_the_day_things_change_and_not_before() -> None:
    entries = _fortnight()
    asked = {"fleece", "vents", "water", "feed", "scout"}
    # The day before, the timer had not been set low yet.
    before = [e for e in entries if e.kind != "watered"]
    enough = _Book()
    enough.entries = before
    enough.write(DAY - timedelta(days=2), "T1", Watered(minutes=50))
    assert not asked & _kinds(_morning(enough.entries, DAY - timedelta(days=1)))
    assert asked <= _kinds(_morning(entries, DAY))


def test_what_was_done_is_not_asked_again() -> None:
    entries = _fortnight()
    book = _Book()
    book.entries = list(entries)
    book.write(DAY, "T", Fleece(on=True))
    book.write(DAY, "T", Doors(open=True))
    morning = _morning(book.entries, DAY)
    assert "fleece" not in _kinds(morning)
    assert "scout" in _kinds(morning)
    # Open doors before a cold night ask for the other half of it.
    assert _chore(morning, "vents").proposal == "doors shut before dusk"


def test_words_carry_the_change_and_promise_nothing() -> None:
    morning = _morning(_fortnight(), DAY)
    assert _chore(morning, "water").proposal.startswith("timer 5 to ")
    fleece = _chore(morning, "fleece")
    assert fleece.must
    assert "no cover is a promise" in fleece.why
    assert "late blight weather outdoors" in _chore(morning, "scout").why
    assert not any("safe" in chore.why for chore in morning.chores)


def test_half_the_light_and_three_degrees_move_the_litres() -> None:
    """By the share of the three ways that depends on light (two of them wholly or in part), and by Hargreaves'
    (T + 17.8) in the outdoor one; FAO-56 eq. 52."""
    plain, dark, warm = (
        _litres(entries) for entries in (_fortnight(), _fortnight(_holding(0.325)), _fortnight(warmer_k=3.0))
    )
    assert dark.radiation_mm == pytest.approx(plain.radiation_mm / 2)
    assert dark.mid_l < plain.mid_l
    mean = ((11 + 11 + 8) / 3 - 1.3 + 27 - 4.2) / 2
    assert warm.outdoor_mm / plain.outdoor_mm == pytest.approx((mean + 3 + 17.8) / (mean + 17.8))
    assert warm.mid_l > plain.mid_l


def _litres(entries: Sequence[Entry]) -> Water:
    morning = _morning(entries, DAY)
    tunnel, row = morning.season.layout.rows["T1"]
    found = row_water(morning.season, morning.outlook, tunnel, row)
    assert found is not None
    return found[0]


def test_no_air_gives_no_litres_instead_of_a_guess() -> None:
    entries = [replace(entry) for entry in _fortnight() if entry.kind != "air"]
    morning = _morning(entries, DAY)
    tunnel, row = morning.season.layout.rows["T1"]
    assert row_water(morning.season, morning.outlook, tunnel, row) is None
    assert "water" not in _kinds(morning)
