"""The screens beside the drawings they were built to: the same heads, columns and signs where they were drawn.

The drawings in ``drawn/`` were made from an earlier telling of the demo, so that figures differ; the wire, which
every screen got later, is not in them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest

HERE = Path(__file__).parent
NAMES = ("loads-80x24", "loads-120x40", "row-80x24", "row-120x40", "row-side-80x24")


def kept(folder: str, name: str) -> list[str]:
    return (HERE / folder / f"{name}.txt").read_text("utf-8").splitlines()


def first_with(lines: Sequence[str], *words: str) -> str:
    return next(line for line in lines if all(word in line for word in words))


@pytest.mark.parametrize("name", NAMES)
def test_the_first_line_says_where_one_is_and_on_the_right_what_is_wrong(name: str) -> None:
    drawn, own = kept("drawn", name)[0], kept("grids", name)[0]
    assert own.split()[0] == drawn.split()[0] or own.startswith((" Row ", " West loop"))
    assert len(own) in range(len(drawn) - 2, len(drawn) + 3), "its right end stands at the right end"


@pytest.mark.parametrize("name", ["loads-80x24", "loads-120x40"])
def test_the_loads_stand_on_one_scale_as_drawn(name: str) -> None:
    drawn, own = kept("drawn", name), kept("grids", name)
    heads = [first_with(lines, "strength┊", "likely") for lines in (drawn, own)]
    said = [head[:80].split() for head in heads]
    assert said[0] == said[1]
    at = [head.index("┊") for head in heads]
    assert abs(at[0] - at[1]) <= 1
    for lines, column in zip((drawn, own), at, strict=True):
        clips = [line for line in lines if re.match(r"[ ▌][WE]\d-\d\d ", line) and "%" in line[:64]]
        assert len(clips) >= 14
        assert all(line[column] in "┊╪●─→" for line in clips), "the strength is upright through all of them"
    kinds = [first_with(lines, "strings", "hooks", "if one lets go")[:78] for lines in (drawn, own)]
    assert re.sub(r"\d+", "", kinds[0]).split() == re.sub(r"\d+", "", kinds[1]).split()


@pytest.mark.parametrize("name", ["row-80x24", "row-120x40"])
def test_a_row_lies_apart_in_stairs_as_drawn(name: str) -> None:
    for folder in ("drawn", "grids"):
        lines = kept(folder, name)
        head = first_with(lines, "stem", "tip")
        stems = [line for line in lines if re.match(r"[ ▌]W\d-\d\d ", line) and line.rstrip().endswith("cm")]
        assert len(stems) >= 9
        hooks = [line.index("╯") for line in stems if "╯" in line and "─" in line]
        same_row = [end for end, line in zip(hooks, stems, strict=False) if line[1:3] == stems[0][1:3]]
        assert same_row[:8] == sorted(same_row[:8]), f"{folder}: each stem a step further"
        assert all(line.rstrip()[-5:].strip().endswith("cm") for line in stems)
        assert head.rstrip().endswith("tip")


def test_one_stem_from_the_side_as_drawn() -> None:
    for folder in ("drawn", "grids"):
        lines = kept(folder, "row-side-80x24")
        assert "from the side, W" in lines[0].replace("  ", " ") or "from the side" in lines[0]
        strings = first_with(lines, "string ")
        assert len(re.findall(r"\d+", strings)) >= 3, "the strings by number over the wire"
        view = "\n".join(lines)
        assert "●" in view
        assert re.search(r"\d+%", view), "how full its clips are stands beside them"
        assert any(0x2800 < ord(sign) < 0x2900 for sign in view)
