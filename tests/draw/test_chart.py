"""Charts as literal rows."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tunneltui.draw.canvas import row_text
from tunneltui.draw.chart import AxisUnit, BandDay, ReadDay, axis_of, band_chart, bar

DAY = date(2026, 8, 20)


def test_a_chart_has_its_rows_an_axis_and_days() -> None:
    bands = [BandDay(DAY + timedelta(n), 10 + n, 12 + n, 14 + n) for n in range(8)]
    marks = [ReadDay(DAY - timedelta(7 - n), 5 + n * 0.7) for n in range(8)]
    rows = [row_text(row) for row in band_chart(60, 10, bands=bands, marks=marks, unit=AxisUnit("kg"))]
    assert len(rows) == 10
    assert all(len(row) == 60 for row in rows)
    assert rows[0].startswith("  30 kg") or rows[0].split()[:2] == ["30", "kg"], "the axis ends on a round figure"
    assert rows[-2].split()[0] == "0", "and begins with nothing"
    assert sum(row.count("●") for row in rows) >= 7, "every reading has its mark"
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


@pytest.mark.parametrize(
    ("low", "high", "rows", "ticks"),
    [
        (0.0, 26.0, 12, ["30 kg", "20", "10", "0"]),
        (16.0, 29.0, 9, ["30 kg", "25", "20", "15"]),
        (-3.0, 4.0, 9, ["5 kg", "0", "-5"]),
        (0.0, 0.4, 9, ["0.4 kg", "0.2", "0.0"]),
    ],
)
def test_axes_begin_and_end_on_round_figures(low: float, high: float, rows: int, ticks: list[str]) -> None:
    axis = axis_of(low, high, rows, AxisUnit("kg"))
    assert [label.strip() for label in axis.labels if label.strip()] == ticks


@example(0.0, 5e-324, 3, AxisUnit("lb", 2.2046))
@example(0.0, 0.003, 12, AxisUnit("kg"))
@given(
    st.floats(-100, 1e6),
    st.floats(0, 1e6),
    st.integers(3, 40),
    st.sampled_from([AxisUnit("kg"), AxisUnit("lb", 2.2046), AxisUnit("F", 1.8, 32.0)]),
)
def test_everything_lies_on_the_axis(low: float, span: float, rows: int, unit: AxisUnit) -> None:
    axis = axis_of(low, low + span, rows, unit)
    slack = 1e-6 * max(1.0, abs(low) + span)
    assert axis.bottom - slack <= low
    assert low + span <= axis.top + slack
    assert len(axis.labels) == rows
    assert len({len(label) for label in axis.labels}) == 1
    assert axis.labels[0].strip(), "the topmost row has a figure"
    if abs(low) + span < 100:  # larger ones with two places are wider than the axis
        figures = [label.strip().removesuffix(f" {unit.name}") for label in axis.labels if label.strip()]
        assert len(set(figures)) == len(figures), "no figure stands twice"
