"""The grower's own keys: every fault told with the nearest name, and the keys that are taken work."""

from __future__ import annotations

import pytest

from tests.screens.given import LOWER, KeptInMind, go_to, grid, view, wait_until
from tunneltui.screens.actions import ALL
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.keymap import checked, textual_keys
from tunneltui.screens.lines import Lines


def test_the_table_itself_has_no_fault() -> None:
    made = checked({})
    assert made.faults == ()
    assert made.actions == ALL


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        ({"don": "g"}, "don: no such action. Did you mean"),
        ({"round.done": "spce"}, "spce: no such key. Did you mean space?"),
        ({"round.done": ""}, "round.done: no key is given"),
        ({"round.done": "x"}, "x: both"),
        ({"round.done": "ctrl+m"}, "ctrl+m: a terminal cannot tell it from enter."),
        ({"round.done": "ctrl+c"}, "ctrl+c: this key is kept"),
        ({"pick": "g"}, "pick: no such action"),
        ({"undo": "p"}, "p: both"),
    ],
)
def test_each_fault_is_told_and_leaves_the_table_as_it_was(wanted: dict[str, str], told: str) -> None:
    made = checked(wanted)
    assert any(fault.startswith(told) for fault in made.faults), made.faults
    assert made.actions == ALL


async def test_a_key_of_ones_own_works_is_shown_and_the_old_one_is_free() -> None:
    kept = KeptInMind()
    made = checked({"round.done": "ctrl+g,space"})
    assert made.faults == ()
    swapped = checked({"round.done": "ctrl+g", "round.failed": "space"})
    app = TunnelApp(kept, first=view(), planner=kept.planner, keys=swapped)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        go_to(app, LOWER)
        await pilot.press("ctrl+g")
        await wait_until(lambda: bool(kept.acts))
        assert kept.kinds() == ["lowered", "clipped"]
        assert "ctrl+g done" in grid(app)[-1]
        await pilot.press("space")
        await wait_until(lambda: any("Which one failed" in line for line in grid(app)))


async def test_faults_are_said_and_the_app_opens_all_the_same() -> None:
    kept = KeptInMind()
    app = TunnelApp(kept, first=view(), planner=kept.planner, keys=checked({"don": "g"}))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await wait_until(lambda: any("no such action" in line for line in grid(app)))


def test_every_binding_has_its_id() -> None:
    keys = textual_keys(ALL)
    assert len(keys) == len(ALL), "no two actions of one place share a name"
