"""What stands on the screen, character by character, at both sizes; and that it says the same without colour."""

from __future__ import annotations

import pytest

from tests.screens.given import COLUMNS_BY_ROWS, LOWER, KeptInMind, an_app, as_kept, grid, wait_until
from tunneltui.screens.lines import Lines

OPENED_BY = {
    "round": (),
    "failed": ("x",),
    "pick": ("p",),
    "changes": ("enter",),
    "put_off": ("z",),
    "keys": ("?",),
}


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
@pytest.mark.parametrize("name", OPENED_BY)
async def test_grid(name: str, size: tuple[int, int]) -> None:
    app = an_app(KeptInMind())
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        app.query_one("#walk", Lines).move_to_key(LOWER.id)
        await pilot.press(*(key if key != "?" else "question_mark" for key in OPENED_BY[name]))
        await pilot.pause()
        as_kept(f"{name}-{size[0]}x{size[1]}", grid(app))


@pytest.mark.parametrize("size", COLUMNS_BY_ROWS)
async def test_without_colour_the_same_characters_stand_there_and_no_colour_code(size: tuple[int, int]) -> None:
    app = an_app(KeptInMind(), no_colour=True)
    async with app.run_test(size=size) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        app.query_one("#walk", Lines).move_to_key(LOWER.id)
        await pilot.pause()
        as_kept(f"round-{size[0]}x{size[1]}", grid(app))
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                for colour in (segment.style.color, segment.style.bgcolor) if segment.style else ():
                    assert colour is None or colour.is_default or colour.triplet is None, segment


@pytest.mark.parametrize("theme", ["evening", "daylight"])
async def test_no_text_is_as_dark_as_its_ground(theme: str) -> None:
    """Contrast of at least 4.5 to 1 (W3C, WCAG 2.1, success criterion 1.4.3) for every character shown."""
    app = an_app(KeptInMind())
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: bool(app.query_one("#walk", Lines).lines))
        app.theme = theme
        await pilot.press("space")
        await pilot.pause()
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                if segment.text.strip() and segment.style and not segment.style.dim:
                    front, back = segment.style.color, segment.style.bgcolor
                    assert front is not None
                    assert back is not None
                    assert _contrast(front.get_truecolor(), back.get_truecolor()) >= 4.5, segment


def _contrast(front: tuple[int, int, int], back: tuple[int, int, int]) -> float:
    """WCAG 2.1, definition of contrast ratio."""
    lighter, darker = sorted((_luminance(front), _luminance(back)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: tuple[int, int, int]) -> float:
    """WCAG 2.1, definition of relative luminance."""
    parts = [part / 255 for part in colour]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
