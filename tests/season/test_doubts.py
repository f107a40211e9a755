"""A weight that can hardly be is doubted, never refused."""

from __future__ import annotations

from tests.report.made import morning
from tunneltui.cells import IMPERIAL, localized
from tunneltui.pages.picks import pick_doubt
from tunneltui.report.done_line import done_line
from tunneltui.store.kept_round import as_shown


def test_700_kg_from_12_plants_is_doubted() -> None:
    """A plant gives 3 to 8 kg in a whole season under cover (common practice, no source)."""
    doubt = pick_doubt(700.0, 12)
    assert doubt == "700.0 kg from 12 plants is 58.3 kg a plant at one pick: weighed so?"
    assert "128.6 lb a plant" in localized(doubt, IMPERIAL)
    assert not pick_doubt(60.0, 12)
    assert not pick_doubt(700.0, 0), "where no plant is known nothing can be said"


def test_a_typed_line_says_so_and_writes_it_all_the_same() -> None:
    done = done_line("W2 standard 2 700", morning(), as_shown(morning().round))
    assert any("weighed so?" in said for said in done.sentences)
    assert len(done.drafts) == 1
