"""Sentences of typed cells: units follow quantities and nothing else.

1 lb = 0.45359237 kg and 1 in = 2.54 cm by definition (international yard and pound agreement of 1959); degF = 1.8
degC + 32; US gallon of 231 cubic inches.
"""

from __future__ import annotations

import json
import pickle
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tunneltui.cells import (
    IMPERIAL,
    METRIC,
    Cell,
    Day,
    Mark,
    Quantity,
    Range,
    Sentence,
    Share,
    Text,
    Words,
    as_typed,
    capital,
    clause,
    cm,
    degc,
    from_data,
    inked,
    joined,
    kg,
    listed,
    litres,
    load,
    localized,
    m,
    many,
    say,
    to_data,
    words,
)

DAY = date(2026, 8, 20)


@pytest.mark.parametrize(
    ("cell", "metric", "imperial"),
    [
        (Range(1.6, 2.6, "kg"), "1.6 to 2.6 kg", "3.5 to 5.7 lb"),
        (cm(0.25), "25 cm", "10 in"),
        (cm(0.09), "9 cm", "3.5 in"),
        (m(2.1), "2.1 m", "6.9 ft"),
        (m(0.5), "0.5 m", "1.6 ft"),
        (Range(1.1, 2.1, "L", 1), "1.1 to 2.1 L", "0.29 to 0.55 US gal"),
        (Quantity(4.6, "kg/m2"), "4.6 kg/m2", "0.94 lb/ft2"),
        (degc(31), "31 degC", "88 degF"),
        (degc(-2), "-2 degC", "28 degF"),
        (degc(-0.2), "0 degC", "32 degF"),
        (Quantity(0.16, "g"), "160 g", "5.6 oz"),
        (kg(0.1), "0.1 kg", "0.22 lb"),
        (Range(0.1, 0.2, "cm", between=" or "), "10 or 20 cm", "4 or 8 in"),
        (Range(0.301, 0.299, "cm"), "30 cm", "12 in"),
        (kg(5, 0), "5 kg", "11 lb"),
        # A difference of temperatures has no 32 in it: 2 degC colder is 3.6 degF colder.
        (Quantity(2.0, "K"), "2 degC", "3.6 degF"),
        (Quantity(0.023, "mm"), "23 mm", "0.9 in"),
        # 10 N pull as 1.02 kg do (standard gravity, CGPM 1901).
        (load(10), "1.0 kg", "2.2 lb"),
        (litres(12), "12 L", "3.2 US gal"),
        (Quantity(15, "min"), "15 min", "15 min"),
        (Share(1.346), "135%", "135%"),
        (Share(0.05, chance=True), "1 in 20", "1 in 20"),
        (Share(0.72, chance=True), "7 in 10", "7 in 10"),
        (Day(DAY), "Thu 20 Aug", "Thu 20 Aug"),
        (Day(DAY, DAY), "today", "today"),
        (Day(DAY, date(2026, 8, 19)), "tomorrow", "tomorrow"),
        (Day(DAY, date(2026, 8, 15)), "Thu", "Thu"),
        (Day(DAY, date(2026, 8, 21), year=True), "Thu 20 Aug 2026", "Thu 20 Aug 2026"),
        (as_typed(6.0, "kg"), "6 kg", "13 lb"),
        (as_typed(6.25, "kg"), "6.25 kg", "13.78 lb"),
        (Mark("!", "must"), "!", "!"),
    ],
)
def test_a_cell_is_said_in_both_systems(cell: Cell, metric: str, imperial: str) -> None:
    assert cell.shown() == metric
    assert cell.shown(IMPERIAL) == imperial


def test_a_growers_own_words_are_never_converted() -> None:
    said = say("{} of the {} clip holds {}", "Bed north 5 m", "23 mm", load(22.55))
    assert said == "Bed north 5 m of the 23 mm clip holds 2.3 kg"
    assert localized(said, IMPERIAL) == "Bed north 5 m of the 23 mm clip holds 5.1 lb"
    assert localized("Bed north 5 m", IMPERIAL) == "Bed north 5 m"


def test_sentences_join_and_keep_their_cells() -> None:
    both = joined("; ", [say("let out {}", cm(0.4)), "W1-07"]) + " at once"
    assert both == "let out 40 cm; W1-07 at once"
    assert localized("Today: " + capital(both), IMPERIAL) == "Today: Let out 16 in; W1-07 at once"
    assert localized(say("{}, {n}", both, n=3), IMPERIAL) == "let out 16 in; W1-07 at once, 3"
    why = say("{} of {}: {} over the wire; look. Again", 1, "W1: a", cm(0.4))
    assert localized(clause(why, ";", "."), IMPERIAL) == "1 of W1: a: 16 in over the wire"
    assert (clause(why, ": "), clause("as it is", ";")) == ("1 of W1: a", "as it is")
    assert {cell.role for cell in inked("must", both).cells} == {"must"}


def test_a_bare_number_without_a_unit_is_refused() -> None:
    with pytest.raises(TypeError, match="unit"):
        say("let out {}", 0.4)  # type: ignore[arg-type]


def test_plurals_and_lists() -> None:
    assert (many(1, "head"), many(3, "head"), many(2, "box", "boxes")) == ("1 head", "3 heads", "2 boxes")
    assert listed(["a", "b"]) == "a, b"
    assert listed(["a", "b", "c"], most=2) == "a, b and 1 more"


CELLS = st.one_of(
    st.builds(Text, st.text()),
    st.builds(Words, st.text()),
    st.builds(
        Quantity,
        st.floats(-1e6, 1e6),
        st.sampled_from(["m", "cm", "kg", "N", "degC", "L"]),
        st.sampled_from([None, 0, 2]),
    ),
    st.builds(
        Range, st.floats(0, 1e6), st.floats(0, 1e6), st.sampled_from(["m", "kg"]), st.sampled_from([None, 2])
    ),
    st.builds(Day, st.dates(), st.none() | st.dates()),
    st.builds(Share, st.floats(0, 10)),
    st.builds(Mark, st.just("!"), st.just("must")),
)


@given(st.lists(CELLS))
def test_what_is_kept_as_json_or_pickled_says_the_same(cells: list[Cell]) -> None:
    sentence = Sentence(*cells)
    for again in (
        json.loads(json.dumps(to_data((sentence, 1))), object_hook=from_data)[0],
        pickle.loads(pickle.dumps(sentence)),  # noqa: S301
    ):
        for units in (METRIC, IMPERIAL):
            assert localized(again, units) == localized(sentence, units)


def test_words_alone() -> None:
    assert words("").cells == ()
    assert words("as it is").cells == (Words("as it is"),)
