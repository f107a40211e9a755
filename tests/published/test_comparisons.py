"""Comparisons against printed data sets, R's well-known output for them, and scipy.

Data: PlantGrowth (Dobson 1983) and sleep (Student 1908) of R's datasets package; tomato root weights of DAAG
(R. Balham). Expected values are those R prints; tolerances are half a unit of the last digit.
"""

from __future__ import annotations

from random import Random

import pytest
from scipy import stats

from tunneltui.pages.season import pair_words
from tunneltui.review.compare import Unit, compare, detectable, holm, permutation_p, welch
from tunneltui.review.fair import Pair, judged
from tunneltui.review.fair_units import Grouped
from tunneltui.review.student import t_quantile, t_tail

CONTROL = [4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14]
TREATED_1 = [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69]
TREATED_2 = [6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26]
SLEEP_1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
SLEEP_2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]


def _units(values: list[float]) -> list[Unit]:
    return [Unit(value) for value in values]


@pytest.mark.parametrize(
    ("a", "b", "t", "df", "p", "low", "high"),
    [
        (CONTROL, TREATED_1, 1.1913, 16.524, 0.25038, -0.28752, 1.02952),
        (CONTROL, TREATED_2, -2.1340, 16.786, 0.04790, -0.98287, -0.00513),
        (SLEEP_1, SLEEP_2, -1.8608, 17.776, 0.07939, -3.36548, 0.20548),
    ],
)
def test_welch(a: list[float], b: list[float], t: float, df: float, p: float, low: float, high: float) -> None:
    got = welch(a, b)
    assert got[0] == pytest.approx(t, abs=5e-5)
    assert got[1] == pytest.approx(df, abs=5e-4)
    assert got[2] == pytest.approx(p, abs=5e-6)
    assert got[3] == pytest.approx(low, abs=5e-6)
    assert got[4] == pytest.approx(high, abs=5e-6)


def test_three_groups_differ_where_the_published_answers_say_so() -> None:
    """PlantGrowth: R's anova prints F 4.846, p 0.0159; its TukeyHSD 0.391, 0.198 and 0.012. Ours, a pair at a time
    and corrected for three looks, names the same pair and no other."""
    values = {"control": CONTROL, "treated 1": TREATED_1, "treated 2": TREATED_2}
    f, p = stats.f_oneway(*values.values())
    assert f == pytest.approx(4.846, abs=5e-4)
    assert p == pytest.approx(0.0159, abs=5e-5)
    between = stats.tukey_hsd(*values.values()).pvalue
    assert (between[0, 1], between[0, 2], between[1, 2]) == pytest.approx((0.391, 0.198, 0.012), abs=5e-4)
    pairs = judged(Grouped("plant", {name: _units(of) for name, of in values.items()}), Random(0))
    differ = {pair.names for pair in pairs if pair.strict_p is not None and pair.strict_p <= 0.05}
    assert differ == {("treated 1", "treated 2")}
    (pair,) = [pair for pair in pairs if pair.names in differ]
    assert pair_words(pair).startswith("treated 1 gave less than treated 2")


def test_exact_permutations() -> None:
    """8930 and 45806 of 184756 arrangements differ at least as much."""
    assert permutation_p(_units(CONTROL), _units(TREATED_2), Random(0)) == 8930 / 184756
    assert permutation_p(_units(CONTROL), _units(TREATED_1), Random(0)) == 45806 / 184756


def test_exact_permutation_of_the_tomato_weights() -> None:
    """DAAG::tomato, water only against three times the nutrient: difference .70, Welch t 3.6950, df 7.990,
    p .00610, interval .2630 to 1.1370; 4 of 924 arrangements."""
    water = [1.5, 1.9, 1.3, 1.5, 2.4, 1.5]
    nutrient = [1.0, 1.2, 1.3, 0.9, 0.7, 0.8]
    t, df, p, low, high = welch(water, nutrient)
    assert t == pytest.approx(3.6950, abs=5e-5)
    assert df == pytest.approx(7.990, abs=5e-4)
    assert p == pytest.approx(0.00610, abs=5e-6)
    assert low == pytest.approx(0.2630, abs=5e-5)
    assert high == pytest.approx(1.1370, abs=5e-5)
    exact = permutation_p(_units(water), _units(nutrient), Random(0))
    assert exact == pytest.approx(4 / 924)
    assert exact == pytest.approx(_exact_by_scipy(water, nutrient))


def _exact_by_scipy(a: list[float], b: list[float]) -> float:
    result = stats.permutation_test(
        (a, b), lambda x, y, axis: x.mean(axis=axis) - y.mean(axis=axis), vectorized=True, n_resamples=1_000_000
    )
    return float(result.pvalue)


def test_students_t_against_scipy() -> None:
    for df in (1, 2.5, 7.99, 14, 16.786, 60, 400):
        for t in (0.1, 1.0, 2.134, 5.0, 30.0):
            assert t_tail(t, df) == pytest.approx(2 * float(stats.t.sf(t, df)), rel=1e-9)
        assert t_quantile(0.05, df) == pytest.approx(float(stats.t.ppf(0.975, df)), rel=1e-9)


def test_pairs_are_compared_within_themselves() -> None:
    """sleep, paired: t -4.0621 with 9 degrees, p .002833; t for 5 % with 14 degrees is 2.144787. Each pair a
    block, the exact p is that of scipy's permutations within pairs."""
    assert t_tail(-4.0621, 9) == pytest.approx(0.002833, abs=5e-7)
    assert t_quantile(0.05, 14) == pytest.approx(2.144787, abs=5e-7)
    a, b = ([Unit(x, str(n)) for n, x in enumerate(values)] for values in (SLEEP_1, SLEEP_2))
    within = stats.permutation_test(
        (SLEEP_1, SLEEP_2),
        lambda x, y, axis: x.mean(axis=axis) - y.mean(axis=axis),
        permutation_type="samples",
        vectorized=True,
        n_resamples=1_000_000,
    )
    assert permutation_p(a, b, Random(0)) == pytest.approx(float(within.pvalue))


def test_eight_a_side_show_one_and_a_half_standard_deviations() -> None:
    """80 % power at n = 8, two-sided 5 %: 1.507 sd by the noncentral t (scipy gives .7965 at 1.5)."""
    unit = [-1.0, 1.0] * 4
    sd = (8 / 7) ** 0.5
    assert detectable(unit, unit) / sd == pytest.approx(1.507, abs=0.002)


def test_holm_against_its_definition() -> None:
    """Holm 1979, Scand. J. Stat. 6:65, worked by hand: .01 x 3, .02 x 2, .04 x 1 kept rising."""
    assert holm([0.04, 0.01, 0.02]) == [0.04, 0.03, 0.04]


def test_shuffling_stays_within_rows() -> None:
    """Two rows that differ by 10 and plants within them that do not: unblocked shuffling would blur it."""
    a = [Unit(1.0, "W1"), Unit(1.2, "W1"), Unit(11.0, "W2"), Unit(11.2, "W2")]
    b = [Unit(0.5, "W1"), Unit(0.6, "W1"), Unit(10.5, "W2"), Unit(10.6, "W2")]
    assert permutation_p(a, b, Random(0)) == pytest.approx(2 / 36)
    apart = [Unit(1.0, "W1")], [Unit(2.0, "W2")]
    assert permutation_p(*apart, Random(0)) == 1.0


def test_no_difference_is_called_one_at_most_once_in_twenty() -> None:
    """1,000 pairs of eight equal plants: at most 5 % called a difference, give or take 3 standard errors."""
    random = Random(20260820)
    called = 0
    for _ in range(1000):
        a, b = ([random.gauss(4.0, 0.8) for _ in range(8)] for _ in range(2))
        called += welch(a, b)[2] < 0.05
    assert called <= 50 + 3 * (1000 * 0.05 * 0.95) ** 0.5


def test_the_verdict_says_what_could_not_be_seen() -> None:
    same = compare(_units(CONTROL), _units(TREATED_1), Random(0))
    n = len(CONTROL), len(TREATED_1)
    words = pair_words(Pair(("control", "first"), "plant", n, same, same.welch_p, looked_at=3))
    assert words.startswith("No difference shown between control and first")
    assert "3 comparisons looked at" in words
    assert f"{same.detectable:.1f} kg a plant" in words


def test_one_unit_a_side_allows_no_inference() -> None:
    with pytest.raises(ValueError, match="two units on each side"):
        compare([Unit(4.0)], [Unit(5.0)], Random(0))
