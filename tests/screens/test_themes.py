"""Every theme on every screen: no text as dark as its ground, also where colours are few or none."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.color import Color, ColorSystem
from rich.segment import Segment
from textual.theme import Theme

from tests.screens.given import grid, wait_until
from tests.screens.made_demo import demo_at
from tunneltui.screens.actions import PANES
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient
from tunneltui.screens.lines import Lines
from tunneltui.screens.themes import THEMES, TOKENS

LEAST = 4.5
"""W3C, WCAG 2.1: success criterion 1.4.3 (minimum), for what is quiet, and for all on the chosen line's ground."""
MEANS = 7.0
"""Success criterion 1.4.6 (enhanced), for what carries meaning."""
MEANING = ("ink", "must", "near", "done", "chosen")
STRONG = {"strong-dark", "strong-light", "one-ink"}


@pytest.mark.parametrize("name", ["evening", "daylight", *sorted(STRONG)])
def test_what_carries_meaning_stands_out_seven_to_one(name: str) -> None:
    tokens = TOKENS[name]
    for ground in (tokens.ground, tokens.bar):
        for token in MEANING:
            found = contrast(rgb(getattr(tokens, token)), rgb(ground))
            assert found >= MEANS, (token, ground, round(found, 2))
    assert contrast(rgb(tokens.fruit), rgb(tokens.ground)) >= MEANS


@pytest.mark.parametrize("name", TOKENS)
def test_every_ink_that_carries_text_can_be_read_on_every_ground(name: str) -> None:
    tokens = TOKENS[name]
    for ground in (tokens.ground, tokens.bar, tokens.here):
        for token in (*MEANING, "quiet"):
            front, back = getattr(tokens, token), ground
            if name == "one-ink" and ground == tokens.here:
                front, back = back, front
            assert contrast(rgb(front), rgb(back)) >= LEAST, (token, ground)


@pytest.mark.parametrize("name", sorted(STRONG))
def test_in_the_strong_ones_quiet_words_stand_out_as_well(name: str) -> None:
    assert contrast(rgb(TOKENS[name].quiet), rgb(TOKENS[name].ground)) >= MEANS


def test_no_two_meanings_share_a_colour() -> None:
    for name, tokens in TOKENS.items():
        if name != "one-ink":
            inks = [
                getattr(tokens, token) for token in ("ink", "quiet", "must", "near", "done", "chosen", "fruit")
            ]
            assert len(set(inks)) == len(inks), name


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_where_a_terminal_has_sixteen_colours_none_becomes_its_ground(theme: Theme) -> None:
    tokens = TOKENS[theme.name]
    for ground in ("ground", "bar"):
        for ink in (*MEANING, "quiet"):
            front, back = (
                Color.parse(getattr(tokens, name)).downgrade(ColorSystem.STANDARD).number for name in (ink, ground)
            )
            assert front != back, (ink, ground)


async def test_no_text_is_as_dark_as_its_ground(tmp_path: Path) -> None:
    """For every word shown on every screen, the chosen line's as well; nothing is dimmed but by its colour."""
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
        for digit in PANES.values():
            await pilot.press(str(digit))
            await app.workers.wait_for_complete()
            for theme in THEMES:
                app.theme = theme.name
                await pilot.pause()
                for strip in app.screen._compositor.render_strips():
                    for segment in strip:
                        assert is_seen(segment), (digit, theme.name, segment)


def is_seen(segment: Segment) -> bool:
    """Words; lines and what is drawn in dots may be as faint as a rule."""
    style = segment.style
    if style is None or not any(sign.isalnum() for sign in segment.text):
        return True
    assert style.color is not None
    assert style.bgcolor is not None
    front, back = style.color.get_truecolor(), style.bgcolor.get_truecolor()
    return not style.dim and contrast(front, back) >= LEAST


async def test_one_ink_is_one_ink_on_every_screen(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)), theme="one-ink")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
        for digit in PANES.values():
            await pilot.press(str(digit))
            await pilot.pause()
            assert any(grid(app))
            inks = {
                segment.style.color.get_truecolor()
                for strip in app.screen._compositor.render_strips()
                for segment in strip
                if segment.style and segment.style.color and segment.text.strip()
            }
            assert all(red == green == blue for red, green, blue in inks), inks


@pytest.mark.parametrize(("theme", "no_colour"), [("one-ink", False), ("evening", True)])
async def test_without_colours_the_chosen_line_is_one_reversed_run(
    theme: str, no_colour: bool, tmp_path: Path
) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)), theme=theme, no_colour=no_colour)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
        await pilot.press("enter")
        await pilot.pause()
        walk = app.query_one("#walk", Lines)
        at = walk.region.y + walk.cursor - walk.scroll_offset.y
        strip = app.screen._compositor.render_strips()[at]
        line = strip.crop(0, walk.scrollable_content_region.width).simplify()
        reversed_runs = [segment for segment in line if segment.style and segment.style.reverse]
        assert len(reversed_runs) == 1
        assert reversed_runs[0].text.startswith("▌")
        assert len(reversed_runs[0].text) >= 78


async def test_the_chosen_line_keeps_every_ink_of_its_own(tmp_path: Path) -> None:
    app = TunnelApp(FileClient(demo_at(tmp_path)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(lambda: app.view is not None and app.view.morning is not None, 30)
        await pilot.press("enter")
        await pilot.pause()
        walk = app.query_one("#walk", Lines)
        must = next(
            index for index, line in enumerate(walk.lines) if any(part.style == "must" for part in line.parts)
        )
        walk.move_to(must)
        await pilot.pause()
        at = walk.region.y + walk.cursor - walk.scroll_offset.y
        shown = [s for s in app.screen._compositor.render_strips()[at] if s.style and s.text.strip()]
        inks = {segment.style.color.name for segment in shown if segment.style and segment.style.color}
        grounds = {segment.style.bgcolor.name for segment in shown if segment.style and segment.style.bgcolor}
        assert {TOKENS["evening"].must, TOKENS["evening"].ink, TOKENS["evening"].chosen} <= inks
        assert grounds == {TOKENS["evening"].here}


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
