"""Every theme on every screen: no text as dark as its ground, also where colours are few or none."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.color import Color, ColorSystem
from rich.segment import Segment
from textual.filter import dim_color

from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.actions import PANES
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.keeper import FileKeeper
from tunneltui.screens.themes import THEMES

LEAST = {"strong-dark": 7.0, "strong-light": 7.0}
"""W3C, WCAG 2.1: success criterion 1.4.6 (enhanced) for the strong ones, 1.4.3 (minimum, 4.5) for the others."""


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_colour_stands_out_on_both_grounds(theme: object) -> None:
    least = LEAST.get(theme.name, 4.5)  # type: ignore[attr-defined]
    for ground in ("background", "panel"):
        for ink in ("foreground", "primary", "secondary", "warning", "error", "success"):
            found = contrast(rgb(getattr(theme, ink)), rgb(getattr(theme, ground)))
            assert found >= least, (ink, ground, round(found, 2))


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_where_a_terminal_has_sixteen_colours_none_becomes_its_ground(theme: object) -> None:
    for ground in ("background", "panel"):
        for ink in ("foreground", "primary", "secondary", "warning", "error", "success"):
            front, back = (
                Color.parse(getattr(theme, name)).downgrade(ColorSystem.STANDARD).number for name in (ink, ground)
            )
            assert front != back, (ink, ground)


async def test_no_text_is_as_dark_as_its_ground(tmp_path: Path) -> None:
    """For every character shown on every screen, dimmed ones as Textual dims them."""
    app = TunnelApp(FileKeeper(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.picture is not None and app.picture.morning is not None, 30)
        for digit in PANES.values():
            await pilot.press(str(digit))
            await app.workers.wait_for_complete()
            for theme in THEMES:
                app.theme = theme.name
                await pilot.pause()
                for strip in app.screen._compositor.render_strips():
                    for segment in strip:
                        assert is_seen(segment, LEAST.get(theme.name, 4.5)), (digit, theme.name, segment)


def is_seen(segment: Segment, least: float) -> bool:
    style = segment.style
    if not segment.text.strip() or style is None or segment.text.strip("▁▂▃▄▅▆▇█─│") == "":
        return True
    assert style.color is not None
    assert style.bgcolor is not None
    front = dim_color(style.bgcolor, style.color) if style.dim else style.color
    return contrast(front.get_truecolor(), style.bgcolor.get_truecolor()) >= least


async def test_one_ink_is_one_ink_on_every_screen(tmp_path: Path) -> None:
    app = TunnelApp(FileKeeper(demo_at(tmp_path)), theme="one-ink")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.picture is not None and app.picture.morning is not None, 30)
        for digit in PANES.values():
            await pilot.press(str(digit))
            await pilot.pause()
            assert any(grid(app))
            inks = {
                segment.style.color.get_truecolor()
                for strip in app.screen._compositor.render_strips()
                for segment in strip
                if segment.style and segment.style.color and segment.text.strip() and not segment.style.dim
            }
            assert all(red == green == blue for red, green, blue in inks), inks


def test_the_ratio_is_that_of_the_standard() -> None:
    """W3C, WCAG 2.1: black on white is 21 to 1; Understanding SC 1.4.3: #777777 on white is just under 4.5."""
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast(rgb("#777777"), (255, 255, 255)) == pytest.approx(4.48, abs=0.005)


def rgb(colour: str) -> tuple[int, int, int]:
    return (int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16))


def contrast(front: tuple[int, int, int], back: tuple[int, int, int]) -> float:
    """WCAG 2.1, definition of contrast ratio."""
    lighter, darker = sorted((_luminance(front), _luminance(back)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: tuple[int, int, int]) -> float:
    """WCAG 2.1, definition of relative luminance."""
    parts = [part / 255 for part in colour]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
