"""Charts as literal rows."""

from __future__ import annotations

from datetime import date, timedelta

from tunneltui.draw.canvas import row_text
from tunneltui.draw.chart import AxisUnit, BandDay, ReadDay, band_chart, bar

DAY = date(2026, 8, 20)


def test_a_chart_has_its_rows_an_axis_and_days() -> None:
    bands = [BandDay(DAY + timedelta(n), 10 + n, 12 + n, 14 + n) for n in range(8)]
    marks = [ReadDay(DAY - timedelta(7 - n), 5 + n * 0.7) for n in range(8)]
    rows = [row_text(row) for row in band_chart(60, 10, bands=bands, marks=marks, unit=AxisUnit(" kg"))]
    assert len(rows) == 10
    assert all(len(row) == 60 for row in rows)
    assert "┤" in rows[0]
    assert sum(row.count("×") for row in rows) == 8, "every reading has its mark"
    assert "13 Aug" in rows[-1]


def test_nothing_to_draw_is_no_chart() -> None:
    assert band_chart(60, 10, unit=AxisUnit("kg")) == []
    assert band_chart(5, 10, marks=[ReadDay(DAY, 1.0)], unit=AxisUnit("kg")) == []


def test_one_reading_alone_can_be_drawn() -> None:
    assert band_chart(40, 6, marks=[ReadDay(DAY, 0.0)], unit=AxisUnit("kg"))


def test_bars() -> None:
    assert bar(0.0, 4) == "    "
    assert bar(0.5, 4) == "⣿⣿  "
    assert bar(0.625, 4) == "⣿⣿⡇ "
    assert bar(1.0, 4) == "⣿⣿⣿⣿"
    assert bar(1.2, 4) == "⣿⣿⣿>"
    assert bar(0.5, 4, ascii_only=True) == "==  "
