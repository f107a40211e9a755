"""What stands in each row, from above: a letter at every place, one line of text a row, doors on the left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tunneltui.draw.canvas import CanvasRow, Run, Sign
from tunneltui.holding.layout import Layout
from tunneltui.holding.model import Row as Standing
from tunneltui.holding.model import Tunnel

BED, FIRST_OF_TWO, LAST_OF_TWO, ALONE, CUT = (
    Sign("─", "-"),
    Sign("┐", "+"),
    Sign("┘", "+"),
    Sign("╴", "-"),
    Sign("…", "~"),
)
EMPTY_PLACE = Sign("○", "o")


def standing_rows(
    places: Layout, letters: Mapping[str, str], columns: int, *, ascii_only: bool = False
) -> list[CanvasRow]:
    """``letters`` by name of place, of one character each; a place without one is empty. Rows of one loop are
    joined at their ends.

    Along a row it is to scale where every place then has a character of its own; else places stand side by side,
    and a row longer than the columns is cut and says so.
    """
    labels = max((len(name) for name in places.rows), default=0) + 2
    room = max(columns - labels - 1, 1)
    drawn: list[CanvasRow] = []
    for name, (tunnel, row) in places.rows.items():
        line = _line(tunnel, row, letters, room)
        stretches = [stretch.row for stretch in places.loop_of_row[name].stretches]
        end = ALONE if len(stretches) < 2 else LAST_OF_TWO if name == stretches[-1] else FIRST_OF_TWO
        drawn.append(_inked(f" {name}".ljust(labels), [*line, end], ascii_only))
    return drawn


def _line(tunnel: Tunnel, row: Standing, letters: Mapping[str, str], room: int) -> list[Sign]:
    standing = sorted(row.places, key=lambda place: place.x_m)
    to_scale = [int((row.start_m + place.x_m) / tunnel.length_m * room) for place in standing]
    own = len(set(to_scale)) == len(to_scale) and (not to_scale or to_scale[-1] < room)
    cells = to_scale if own else list(range(len(standing)))
    line = [BED] * room
    for place, cell in zip(standing, cells, strict=True):
        if cell < room:
            letter = letters.get(place.name, "")
            line[cell] = Sign(letter, letter) if letter else EMPTY_PLACE
    if cells and cells[-1] >= room:
        line[-1] = CUT
    return line


def _inked(label: str, line: Sequence[Sign], ascii_only: bool) -> CanvasRow:
    def shown(sign: Sign) -> str:
        return sign.ascii if ascii_only else sign.glyph

    runs = [Run(label, "quiet")]
    for sign in line:
        style = "" if sign in (BED, FIRST_OF_TWO, LAST_OF_TWO, ALONE, CUT) else "chosen"
        if runs[-1].style == style:
            runs[-1] = Run(runs[-1].text + shown(sign), style)
        else:
            runs.append(Run(shown(sign), style))
    return tuple(runs)
