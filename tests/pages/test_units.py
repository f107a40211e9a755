"""Metric and imperial at the edge: factors by their definitions, sums worked out by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.made import morning
from tunneltui.cells import Unit, UnitName, Units, say
from tunneltui.pages import units
from tunneltui.report.done_line import done_line
from tunneltui.report.plain import round_text, wrapped
from tunneltui.store.kept_round import as_shown

METRIC = re.compile(r"\d ?(?:kg|cm|mm|m|m2|L|g|degC)\b(?!/)")
"""What a grower who reads pounds and inches must not meet."""


METRIC_UNITS: tuple[Unit, ...] = ("kg", "cm", "m", "L", "mm", "degC")


@pytest.fixture
def imperial() -> Iterator[None]:
    units.set_units(Units(imperial=True))
    yield
    units.set_units(Units())


@pytest.mark.usefixtures("imperial")
@pytest.mark.parametrize(
    ("metric", "said"),
    [
        # 1 lb = 0.45359237 kg and 1 in = 2.54 cm, by definition (international yard and pound agreement of 1959).
        ("carries 1.6 to 2.6 kg today", "carries 3.5 to 5.7 lb today"),
        ("25 cm of your reach", "10 in of your reach"),
        ("grows 9 cm a week", "grows 3.5 in a week"),
        ("2.1 m wire, 0.5 m apart", "6.9 ft wire, 1.6 ft apart"),
        ("1.1 to 2.1 L a plant", "0.29 to 0.55 US gal a plant"),
        ("4.6 kg/m2", "0.94 lb/ft2"),
        ("about 31 degC inside, -2 degC outside", "about 88 degF inside, 28 degF outside"),
        ("a fruit of 160 g", "a fruit of 5.6 oz"),
        ("up to 0.1 kg", "up to 0.22 lb"),
        ("30 cm and 40 cm", "12 in and 16 in"),
        ("10 or 20 cm", "4 or 8 in"),
        # Names, places and what has no unit stay.
        ("W1-07a: second clip, string 7 in 15 min, cherry 1 2.0 mg/L", None),
        ("5 kg", "11 lb"),
    ],
)
def test_sentences(metric: str, said: str | None) -> None:
    assert units.localize(metric) == (said or metric)
    assert units.localize(units.localize(metric)) == (said or metric), "what was said once is not turned again"


def test_metric_is_left_as_it_is() -> None:
    assert units.localize("1.6 to 2.6 kg, 25 cm") == "1.6 to 2.6 kg, 25 cm"
    assert units.typed("6,2", "kg") == "6,2"
    assert units.typed("5 lb", "kg") == "2.268"
    assert units.typed("1.5 m", "cm") == "150"


@pytest.mark.usefixtures("imperial")
def test_what_is_typed_becomes_metric() -> None:
    assert units.localize(say("Let out, {}", UnitName("cm"))) == "Let out, in"
    assert units.localize(say("How long, in {}?", UnitName("m", long=True))) == "How long, in feet?"
    assert units.typed("10", "cm") == "25.4"
    assert units.typed("10 cm", "cm") == "10"
    assert units.typed("5,5", "kg") == "2.4948"
    assert units.typed("50 41 -", "degC") == "10 5 -"
    assert units.typed("3 gal", "L") == "11.3562"
    for nothing in ("", "ten", "5 cm", "1 2 x"):
        assert units.typed(nothing, "kg") == nothing
    assert units.typed("2026-08-20", "") == "2026-08-20"


@given(value=st.floats(0.01, 500), metric=st.sampled_from(METRIC_UNITS))
def test_a_shown_value_typed_again_is_near_itself(value: float, metric: Unit) -> None:
    units.set_units(Units(imperial=True))
    try:
        kept = f"{value:.2f}"
        back = float(units.typed(units.shown(kept, metric), metric))
    finally:
        units.set_units(Units())
    assert back == pytest.approx(float(kept), rel=0.06, abs=0.3)


@pytest.mark.usefixtures("imperial")
def test_a_round_says_nothing_in_metric() -> None:
    text = units.localize(round_text(morning(), as_shown(morning().round).number_of))
    assert " lb" in text
    assert " in" in text
    assert not METRIC.findall(text)
    assert all(len(line) <= 80 for line in text.splitlines())


@pytest.mark.usefixtures("imperial")
def test_what_a_grower_wrote_is_left() -> None:
    assert list(wrapped("tied 25 cm up", "", "", as_typed=True)) == ["tied 25 cm up"]


@pytest.mark.usefixtures("imperial")
def test_a_typed_line_is_in_pounds_unless_it_says_so() -> None:
    for line, kg in (("W2 standard 2 5", 2.268), ("W2 standard 2 5 kg", 5.0), ("W2 standard 2 8 oz", 0.2268)):
        (picked,) = done_line(line, morning(), as_shown(morning().round)).drafts
        assert f'"kg":{kg}' in picked.body
