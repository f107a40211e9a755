"""The side view: every clip in the character of its path coordinate, every state with a shape of its own."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree

import pytest

from tests.loads.made import DAY, outlook, season, tiered
from tunneltui.draw.canvas import View, ascii_of_dots
from tunneltui.draw.row_picture import CLIP as CLIP_SIGN
from tunneltui.draw.row_picture import (
    CLIP_ASSUMED,
    HOOK,
    HOOK_ASSUMED,
    PROP,
    TIP,
    WEAK,
    Window,
    draw_scene,
    label_rows,
    plain_rows,
    row_picture,
    truss_sign,
    window_view,
)
from tunneltui.draw.row_scene import (
    ClipSeen,
    HookSeen,
    RowScene,
    StemSeen,
    StringSeen,
    TrussSeen,
    place_at,
    row_scene,
    span_ends,
)
from tunneltui.draw.svg import svg
from tunneltui.loads.chain import loads
from tunneltui.season.state import Prop
from tunneltui.values import replace

CLIP = ClipSeen("clip", "one", 2.0, 0.8, 0.3, assumed=False, weak=False, warn="")


def scene(clips: Sequence[ClipSeen] = (CLIP,)) -> RowScene:
    return RowScene(
        "W1",
        6.0,
        2.2,
        2.1,
        (((0.0, 2.2), (6.0, 2.2)),),
        (),
        ((3.0, "W1"),),
        (StringSeen("W1/1", 1, 2.0, 2.2, 0.25, weak=False), StringSeen("W1/2", 2, 4.0, 2.2, 0.25, weak=True)),
        (
            StemSeen(
                "one",
                "W1-01a",
                ((0.5, 0.0), (2.0, 0.8), (3.0, 1.0), (3.0, 1.9)),
                (TrussSeen(2.5, 0.9, 4, 0.5),),
                "",
            ),
        ),
        (HookSeen("one", 1, 3.0, 2.2, 1.9, assumed=False, weak=False),),
        tuple(clips),
    )


def test_the_picture_as_it_is_drawn() -> None:
    assert plain_rows(row_picture(scene(), 40, 12, Window(3.0), "one")) == PICTURE


def test_the_picture_where_only_ascii_is_shown() -> None:
    rows = plain_rows(row_picture(scene(), 40, 12, Window(3.0), "one", ascii_only=True))
    assert all(row.isascii() for row in rows)
    assert any("O" in row for row in rows), "the clip"


@pytest.mark.parametrize("zoom", [1.0, 2.0, 4.0, 8.0])
@pytest.mark.parametrize(("columns", "rows"), [(80, 20), (120, 34), (40, 10)])
def test_every_clip_is_within_one_dot_of_its_coordinate(zoom: float, columns: int, rows: int) -> None:
    clips = [replace(CLIP, id=str(n), u_m=0.37 * n, z_m=0.3 + 0.11 * n) for n in range(15)]
    made = scene(clips)
    window = Window(3.0, zoom)
    canvas = draw_scene(made, columns, rows, window)
    view: View = window_view(made, window)
    drawn = {(words.x, words.y) for words in canvas.words if words.text == CLIP_SIGN.glyph}
    inside = [c for c in clips if view.left <= c.u_m <= view.right and view.bottom <= c.z_m <= view.top]
    for clip in inside:
        x = (clip.u_m - view.left) / (view.right - view.left) * (2 * columns - 1)
        y = (view.top - clip.z_m) / (view.top - view.bottom) * (4 * rows - 1)
        assert any(abs(a * (2 * columns - 1) - x) <= 1 and abs(b * (4 * rows - 1) - y) <= 1 for a, b in drawn)


def test_every_state_has_a_sign_of_its_own_without_colour() -> None:
    trusses = {truss_sign(TrussSeen(0, 0, 1, z)) for z in (0.0, 0.5, 0.9, 1.0)}
    signs = [CLIP_SIGN, CLIP_ASSUMED, *trusses, TIP, HOOK, HOOK_ASSUMED, WEAK, PROP]
    assert len({sign.glyph for sign in signs}) == len(signs) == 11
    assert len({sign.ascii for sign in signs}) == len(signs)
    lines = {ascii_of_dots(dots) for dots in range(1, 256)}
    assert not lines & {sign.ascii for sign in signs}, "no state looks like a piece of a line"


def test_a_prop_is_drawn_under_its_stem() -> None:
    one, grown = tiered()
    propped = replace(one, props=(Prop("p", 1.3, 0.8, DAY),))
    standing = season(propped)
    bearing = loads(standing, outlook({"a": grown}), DAY)
    made = row_scene(standing, outlook({"a": grown}), bearing, "W1")
    assert made.props == (place_at(bearing.paths["a"], 1.3),)
    canvas = draw_scene(made, 80, 20, Window(made.length_m / 2))
    assert PROP.glyph in {words.text for words in canvas.words}


def test_a_zoomed_window_stays_within_the_loop_and_follows_its_middle() -> None:
    made = scene()
    whole = window_view(made, Window(0.0))
    near = window_view(made, Window(0.0, 4.0))
    assert near.left == pytest.approx(whole.left)
    assert near.right - near.left == pytest.approx((whole.right - whole.left) / 4)
    middle = window_view(made, Window(3.0, 4.0))
    assert (middle.left + middle.right) / 2 == pytest.approx(3.0)


def test_the_span_of_a_wire_is_read_from_its_name() -> None:
    assert span_ends("3.5 to 7.0 m") == (3.5, 7.0)
    assert span_ends("the whole") is None


def test_the_picture_as_svg_holds_no_address_and_every_stroke() -> None:
    canvas = draw_scene(scene(), 40, 9, Window(3.0), "one")
    text = svg(canvas, {"chosen": "#aa0000"}, "row <W1>", label_rows(canvas, scene()))
    assert text.count("<polyline") >= 5
    assert "http" not in text
    assert "xmlns" not in text
    assert "#aa0000" in text
    assert 'aria-label="row &lt;W1&gt;"' in text
    assert ">01a</text>" in text
    ElementTree.fromstring(text)  # noqa: S314


PICTURE = [
    "                row W1",
    "⡀ ⠠⡤⠤⠤⡤⠤⠤⡤⠤⠤⡤⠤⠤⡤⠤⠤⡤J⠤⡤⠤⠤⡤!⠤⡤⠤⠤⡤⠤⠤⡤⠤⠤⡤⠄ ⡀",
    "              ⠂    ↑     ⠐",
    "              ⡁    ⢸     ⢈",
    "              ⠄    ⢸     ⠠",
    "              ⠂    ⢸     ⠐",
    "              ●⠤⠤▿⠒⠉     ⢈",
    "           ⡠⠔⠉⠄          ⠠",
    "        ⡠⠔⠉   ⠂          ⠐",
    "⣀⣀⣀⣀⣀⣠⣔⣉⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀⣀",
    "              1          2",
    "    01a",
]
