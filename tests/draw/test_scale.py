"""One scale for all loads: the strength stands in one column, bands are lines, what is likely a dot."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tunneltui.draw.scale import CELLS, LIKELY, STRENGTH_AT, head, on_scale

SHARES = st.floats(0, 4, allow_nan=False)


def drawn(low: float, mid: float, high: float) -> str:
    on = on_scale(low, mid, high)
    return on.before + on.band + on.after


def test_figures_and_lines_agree() -> None:
    """The drawing's own example: a clip at 135 % of its strength, 104 to 168 %."""
    assert drawn(1.04, 1.35, 1.68) == "                ┊─────●─────"
    assert drawn(0.70, 0.95, 1.20) == "           ────●╪───        "
    assert drawn(0.5, 0.6, 0.7) == "        ──●─    ┊           "
    assert head() == "        strength┊           "


def test_what_is_beyond_the_scale_runs_out_of_it() -> None:
    assert drawn(2.0, 2.5, 3.0) == "                ┊          →"


@given(st.tuples(SHARES, SHARES, SHARES).map(sorted))
def test_every_line_is_as_wide_and_the_dot_stands_at_its_share(shares: list[float]) -> None:
    low, mid, high = shares
    text = drawn(low, mid, high)
    assert len(text) == CELLS
    assert text[STRENGTH_AT] != " "
    if LIKELY in text:
        assert abs(text.index(LIKELY) - mid * STRENGTH_AT) <= 0.5 + 1e-9
    else:
        assert round(mid * STRENGTH_AT) >= CELLS - 1
