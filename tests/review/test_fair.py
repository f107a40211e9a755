"""Comparisons from the journal: what the unit is, when nothing can be said, and how often chance is called one."""

from __future__ import annotations

from datetime import date
from random import Random

import pytest

from tests.report.made import entries, morning
from tests.review.test_yields import SITE, _pick, _record
from tunneltui.cells import IMPERIAL, localized
from tunneltui.holding.user_error import UserError
from tunneltui.pages.season import fair_words, pair_words
from tunneltui.review.compare import Unit
from tunneltui.review.fair import Fair, fair, judged
from tunneltui.review.fair_units import Grouped, What
from tunneltui.review.record import PlantRecord, record
from tunneltui.values import replace


def test_one_row_each_says_nothing() -> None:
    season = morning().season
    for what, names in (("row", ("W1", "W2")), ("training", ("laid_down", "pinched_at_wire"))):
        kind: What = "row" if what == "row" else "training"
        (pair,) = fair(record(entries(), season), season, kind, names, Random(0)).pairs
        assert pair.comparison is None
        assert pair_words(pair).endswith("Nothing can be inferred.")


def _called(seasons: int) -> int:
    """Simulated seasons of three equal cultivars, eight plants each over two rows, where one is called better."""
    random = Random(20261125)
    called = 0
    for _ in range(seasons):
        rows = {"W1": random.gauss(0, 0.6), "W2": random.gauss(0, 0.6)}
        units = {
            name: [Unit(random.gauss(4.0, 0.8) + rows[row], row) for row in rows for _ in range(4)]
            for name in "abc"
        }
        pairs = judged(Grouped("plant", units), random)
        called += any(pair.strict_p is not None and pair.strict_p < 0.05 for pair in pairs)
    return called


def test_seasons_without_a_difference() -> None:
    """At most 5 % by the definition of the level, give or take 3 standard errors of a binomial."""
    assert _called(100) <= 5 + 3 * (100 * 0.05 * 0.95) ** 0.5


@pytest.mark.long
def test_a_thousand_seasons_without_a_difference() -> None:
    assert _called(1000) <= 50


def test_a_large_difference_is_shown() -> None:
    random = Random(1)
    units = {
        name: [Unit(random.gauss(mean, 0.3), row) for row in ("W1", "W2") for _ in range(4)]
        for name, mean in (("a", 4.0), ("b", 2.0))
    }
    (pair,) = judged(Grouped("plant", units), random)
    assert pair.strict_p is not None
    assert pair.strict_p < 0.05
    assert pair_words(pair).startswith("a gave more than b")


def test_a_verdict_in_pounds_says_the_same() -> None:
    """0.45359237 kg to the pound, by definition."""
    units = {
        name: [Unit(mean + 0.1 * n, row) for row in ("W1", "W2") for n in range(4)]
        for name, mean in (("a", 4.0), ("b", 2.0))
    }
    pairs = judged(Grouped("plant", units), Random(1))
    said = [localized(words, IMPERIAL) for words in fair_words(Fair("cultivar", "plant", {}, pairs, ()))]
    assert "a gave more than b: +4.4 lb a plant" in said[1]
    assert "+2.0 kg a plant" in fair_words(Fair("cultivar", "plant", {}, pairs, ()))[1]


def test_three_rows_a_side_can_show_nothing() -> None:
    """2 of the 20 arrangements of three against three are the extreme ones: p is 0.1 at least."""
    units = {"a": [Unit(9.0), Unit(9.1), Unit(9.2)], "b": [Unit(1.0), Unit(1.1), Unit(1.2)]}
    (pair,) = judged(Grouped("row", units), Random(0))
    assert "too few to show any difference" in pair_words(pair)


def test_what_cannot_be_told_is_said_once_with_what_it_would_take() -> None:
    """Of four a side 2 of 70 arrangements are the extreme ones (0.029, Fisher's exact counting), of three 2 of 20;
    for the six pairs of four groups five a side (6 x 2 / 252 = 0.048), for four of them 6 x 2 / 70 is too much."""
    units = {name: [Unit(4.0 + n)] for n, name in enumerate("abcd")}
    found = Fair("cultivar", "row", {}, judged(Grouped("row", units), Random(0)), ())
    assert found.needed == 5
    said = fair_words(found)[1:]
    assert said == [
        "No two can be told apart: 1 row of a, 1 of b, 1 of c, 1 of d. It would take at least 5 rows each, of "
        "this season and later ones, to show even a clear difference."
    ]
    two = Fair("cultivar", "row", {}, judged(Grouped("row", dict(list(units.items())[:2])), Random(0)), ())
    assert two.needed == 4
    for n, told in ((3, 0), (4, 1)):
        sides = {"a": [Unit(9.0 + 0.1 * i) for i in range(n)], "b": [Unit(1.0 + 0.1 * i) for i in range(n)]}
        (pair,) = judged(Grouped("row", sides), Random(0))
        assert (pair.looked_at > 0) == bool(told)


def test_names_that_cannot_be_compared() -> None:
    season = morning().season
    written = record(entries(), season)
    for names in (("beef 3", "beef 3"), ("beef 3",), ("beef 3", "nobody")):
        with pytest.raises(UserError):
            fair(written, season, "cultivar", names, Random(0))
    twins = replace(written, plants=(*written.plants, PlantRecord("twin", SITE, "Beef 3", date(2026, 5, 1), None)))
    with pytest.raises(UserError, match="two of one name"):
        fair(twins, season, "cultivar", ("beef 3", "cherry 1"), Random(0))


def test_no_picks_and_one_plant_and_picks_before_planting() -> None:
    season = morning().season
    bare = _record([])
    other = replace(bare, plants=(*bare.plants, PlantRecord("c", SITE, "cherry 1", date(2026, 5, 1), None)))
    (pair,) = fair(other, season, "cultivar", ("beef 3", "cherry 1"), Random(0)).pairs
    assert "no weighed picks" in pair_words(pair)
    day = date(2026, 8, 1)
    one = replace(other, picks=(_pick(day, 2.0), _pick(day, 1.0, "cherry 1")))
    (pair,) = fair(one, season, "cultivar", ("beef 3", "cherry 1"), Random(0)).pairs
    assert pair.comparison is None
    early = replace(other, picks=(_pick(date(2026, 4, 1), 2.0),))
    with pytest.raises(UserError, match="before it was planted"):
        fair(early, season, "cultivar", ("beef 3", "cherry 1"), Random(0))
