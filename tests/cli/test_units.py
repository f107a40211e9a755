"""Units at the door: what a grower wrote stays as it is, what is typed follows the units in force.

1 lb = 0.45359237 kg and 1 ft = 0.3048 m, by definition (international yard and pound agreement of 1959).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.door import Door


@pytest.fixture(scope="module")
def door(tmp_path_factory: pytest.TempPathFactory) -> Door:
    folder = tmp_path_factory.mktemp("units")
    door = Door(folder / "home", folder / "own.db")
    door.says("new", "--name", "Field 30 m", "--rows", "1", "--places", "3", "--cultivars", "cherry 1")
    holding = folder / "holding.toml"
    text = door.says("holding", "show")
    bed = '\n[[tunnels.beds]]\nkey = "Bed north 5 m"\nmade = "dug 30 cm deep"\narea_m2 = 4.0\n'
    first_row = text.index("[[tunnels.rows]]")
    holding.write_text(text[:first_row] + bed.lstrip() + "\n" + text[first_row:], encoding="utf-8")
    door.says("holding", "edit", "--from", str(holding))
    door.says("add", "stocked", "item=clip", "item_kind=23 mm", "count=400")
    return door


def test_names_with_a_figure_and_a_unit_are_left_as_they_were_written(door: Door) -> None:
    """A clip kind named 23 mm read 0.9 in, a bed named by its 5 m read 16 ft."""
    stores = door.says("--units", "imperial", "stores")
    assert "23 mm" in stores
    assert "0.9 in" not in stores
    review = door.says("--units", "imperial", "review", "beds", "--all")
    assert "Bed north 5 m" in review
    assert "dug 30 cm deep" in review
    assert "16 ft" not in review


def test_add_and_flags_take_the_units_in_force(door: Door, tmp_path: Path) -> None:
    for words in (("kg=5",), ("kg=80oz",), ("kg=2.268kg",)):
        door.says("--units", "imperial", "add", "picked", "cultivar=cherry 1", *words)
        assert door.json("journal", "show")[-1]["body"]["kg"] == pytest.approx(2.268, abs=0.001)
    door.says("add", "picked", "cultivar=cherry 1", "kg=5lb")
    assert door.json("journal", "show")[-1]["body"]["kg"] == pytest.approx(2.268, abs=0.001)
    other = Door(tmp_path / "home", tmp_path / "other.db")
    other.says("--units", "imperial", "new", "--name", "Feet", "--length", "46", "--wire", "7.2")
    assert "length_m = 14.02" in other.says("holding", "show")
