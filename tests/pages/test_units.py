"""Metric and imperial at the edge: factors by their definitions, sums worked out by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.made import morning
from tunneltui.cells import Quantity, Range, Sentence, Unit, UnitName, Units, m, say
from tunneltui.chores.rules import chores
from tunneltui.pages import units
from tunneltui.pages.round import round_text
from tunneltui.pages.text import wrapped
from tunneltui.report.done_line import done_line
from tunneltui.store.kept_round import as_shown

METRIC = re.compile(r"\d ?(?:kg|cm|mm|m|m2|L|g|degC)\b(?!/)")
"""What a grower who reads pounds and inches must not meet."""


METRIC_UNITS: tuple[Unit, ...] = ("kg", "cm", "m", "L", "mm", "degC")


@pytest.fixture
def imperial() -> Iterator[None]:
    units.set_units(Units(imperial=True))
    yield
    units.set_units(Units())


def test_what_is_typed_in_metric() -> None:
    assert units.typed("6,2", "kg") == "6,2"
    assert units.typed("5 lb", "kg") == "2.268"
    assert units.typed("1.5 m", "cm") == "150"


@pytest.mark.usefixtures("imperial")
def test_only_sentences_follow_the_units() -> None:
    """A clip kind named 23 mm and a bed named by its length are a grower's own words."""
    assert units.localize("23 mm") == "23 mm"
    assert units.localize(say("{}, kind {}, {} wide", "Bed north 5 m", "23 mm", m(0.5))) == (
        "Bed north 5 m, kind 23 mm, 1.6 ft wide"
    )


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
    assert wrapped("tied 25 cm up") == ["tied 25 cm up"]


@pytest.mark.usefixtures("imperial")
def test_a_typed_line_is_in_pounds_unless_it_says_so() -> None:
    for line, kg in (("W2 standard 2 5", 2.268), ("W2 standard 2 5 kg", 5.0), ("W2 standard 2 8 oz", 0.2268)):
        (picked,) = done_line(line, morning(), as_shown(morning().round)).drafts
        assert f'"kg":{kg}' in picked.body


def test_no_rule_formats_a_sentence_into_a_string_that_forgets_its_cells(monkeypatch: pytest.MonkeyPatch) -> None:
    now = morning()

    def refused(sentence: Sentence, spec: str) -> str:
        assert not any(isinstance(cell, Quantity | Range) for cell in sentence.cells), str(sentence)
        return format(str.__str__(sentence), spec)

    monkeypatch.setattr(Sentence, "__format__", refused)
    asked = list(chores(now.season, now.outlook, now.loads))
    assert len({chore.kind for chore in asked}) > 10
    assert any(isinstance(chore.proposal, Sentence) for chore in asked)
