"""The tunnel from above, as literal rows: beds, rows, the loop's turn, what is to do, the chosen place."""

from __future__ import annotations

from tunneltui.draw.plan_picture import plan_picture
from tunneltui.draw.row_picture import plain_rows
from tunneltui.holding.layout import layout
from tunneltui.holding.model import Bed, Holding, Place, Row, Tunnel


def places(row: int) -> tuple[Place, ...]:
    return tuple(Place(f"T{row}-{number:02}", 1.0 * number) for number in range(1, 5))


TUNNEL = Tunnel(
    "T",
    "trial tunnel",
    length_m=8.0,
    width_m=5.0,
    beds=(Bed("left"), Bed("right")),
    rows=(
        Row(1, 2.2, 6.0, start_m=1.0, across_m=1.0, bed="left", loop_with=2, places=places(1)),
        Row(2, 2.2, 6.0, start_m=1.0, across_m=2.0, bed="left", loop_with=1, places=places(2)),
        Row(3, 2.2, 5.0, start_m=2.0, across_m=4.0, bed="right", way_round=-1, places=places(3)),
    ),
)
LAYOUT = layout(Holding("trial", tunnels=(TUNNEL,)))
DUE = {"T1": 13, "T1-01": 2, "T1-03": 11, "T3": 1, "T3-04": 1}


def drawn(*, ascii_only: bool) -> list[str]:
    return plain_rows(plan_picture(LAYOUT, TUNNEL, 44, 12, DUE, "T2-02", ascii_only=ascii_only))


def test_as_it_is_drawn() -> None:
    assert drawn(ascii_only=False) == BRAILLE


def test_where_only_ascii_is_shown() -> None:
    assert drawn(ascii_only=True) == ASCII


def test_a_place_stands_where_the_holding_says() -> None:
    """Row 1 begins 1 m from the door, its third place 3 m on: 4 m of 8 m, half way along the 32 columns."""
    row = next(line for line in drawn(ascii_only=True) if line.startswith("T1"))
    assert abs(row.index("9") - (12 + 32 * 4 / 8)) <= 1


def test_of_two_places_in_one_character_the_one_with_more_to_do_is_shown() -> None:
    near = Row(1, 2.2, 6.0, places=(Place("T1-01", 2.0), Place("T1-02", 2.01)))
    tunnel = Tunnel("T", "", length_m=8.0, width_m=5.0, rows=(near,))
    at = layout(Holding("trial", tunnels=(tunnel,)))
    rows = plain_rows(plan_picture(at, tunnel, 44, 5, {"T1-01": 3, "T1-02": 1}, ascii_only=True))
    assert any("3" in row for row in rows)
    assert not any("1" in row[12:] for row in rows)


BRAILLE = [
    "            ⡏⠉⠉⠉⡍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠍⠭⠉⠉⠉⢹",
    "            ⡇   ⡂                      ⠨   ⢸",
    "T1 13       ⡇   ⡃⠈ ⠁2 ⠁○ ⠁⠈9⠁⠈ ○⠈ ⠁⠈ ⠁⠈›   ⢸",
    "            ⡇   ⡂                      ⢸   ⢸",
    "            ⡇   ⡂                      ⢸   ⢸",
    "            ⡇   ⡂      ↓               ⢸   ⢸",
    "T2 none     ⡇   ‹⠈ ⠁○ ⠁○ ⠁⠈○⠁⠈ ○⠈ ⠁⠈ ⠁⠈⠨   ⢸",
    "            ⡇    bed left ⠐⠐⠐⠐⠐⠐⠐⠐⠐⠐⠐⠐⠐⠘   ⢸",
    "            ⡇       ⡄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠄⠤   ⢸",
    "T3 1        ⡇       ‹⢀ ○⢀ ⡀○ ⡀⢀○⡀⢀ 1⢀ ⡀⢨   ⢸",
    "            ⡇       ⡂                  ⠨   ⢸",
    "            ⣇⣀⣀⣀⣀⣀⣀⣀ bed right ⣐⣐⣐⣐⣐⣐⣐⣐⣘⣀⣀⣀⣸",
]
ASCII = [
    "            *---************************---*",
    "            |   |                      |   |",
    "T1 13       |   |. .2 .o ..9.. o. .. ..>   |",
    "            |   |                      |   |",
    "            |   |                      |   |",
    "            |   |      v               |   |",
    "T2 none     |   <. .o .o ..o.. o. .. ..|   |",
    "            |    bed left .............|   |",
    "            |       |..................-   |",
    "T3 1        |       <. o. .o ..o.. 1. .|   |",
    "            |       |                  |   |",
    "            *------- bed right *********---*",
]
