"""Where only ASCII is shown: one stand-in for each character, as many cells wide."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tunneltui.draw import canvas as canvas_module
from tunneltui.draw import chart, row_picture
from tunneltui.draw.ascii import in_ascii
from tunneltui.draw.canvas import Canvas, Sign, View


def test_a_picture_turned_afterwards_is_the_picture_drawn_so() -> None:
    canvas = Canvas(20, 6, View(0, 10, 0, 5))
    canvas.line([(0, 0), (10, 5)])
    canvas.line([(0, 3), (10, 3)], every=3)
    assert [in_ascii(row) for row in canvas.text()] == canvas.text(ascii_only=True)


def test_frames_accents_and_wide_letters() -> None:
    assert in_ascii("┌─┐│é°C 番茄") == "+-+|edC ????"


@given(st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=40))
def test_always_ascii_and_never_another_width_for_what_we_draw(text: str) -> None:
    assert in_ascii(text).isascii()
    if all(cell_len(character) == 1 for character in text):
        assert len(in_ascii(text)) >= len(text)


def test_no_character_has_two_stand_ins() -> None:
    stand_ins: dict[str, set[str]] = {}
    for module in (canvas_module, chart, row_picture):
        for value in vars(module).values():
            for sign in value if isinstance(value, tuple) and not isinstance(value, Sign) else (value,):
                if isinstance(sign, Sign):
                    stand_ins.setdefault(sign.glyph, set()).add(in_ascii(sign.glyph))
                    stand_ins[sign.glyph].add(sign.ascii)
    assert {glyph: found for glyph, found in stand_ins.items() if len(found) > 1} == {}
    assert len(stand_ins) > 10
