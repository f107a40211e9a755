"""The settings file: taken where it is sound, told where it is not, never in the way of the round."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tunneltui.cli import main
from tunneltui.report.settings import FILE, TABLE, USUAL, blank_file, chosen_in, read, with_line
from tunneltui.screens.actions import ALL
from tunneltui.screens.keymap import with_keys
from tunneltui.screens.themes import OKABE_ITO, THEMES, TOKENS


def keys_of(folder: Path, name: str) -> tuple[str, ...]:
    return next(one.keys for one in with_keys(read(folder)).keys.actions if f"{one.where}.{one.id}" == name)


def test_without_a_file_all_is_as_usual(tmp_path: Path) -> None:
    settings = with_keys(read(tmp_path))
    assert (settings.theme, settings.keys.actions, settings.keys.faults) == (USUAL.values["theme"], ALL, ())


def test_theme_and_keys_are_taken(tmp_path: Path) -> None:
    (tmp_path / FILE).write_text('theme = "daylight"\n[keys]\n"round.done" = "ctrl+g, space"\n', "utf-8")
    assert with_keys(read(tmp_path)).theme == "daylight"
    assert keys_of(tmp_path, "round.done") == ("ctrl+g", "space")
    assert with_keys(read(tmp_path)).keys.faults == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('theme = "evning"', "evning: no such theme. Did you mean evening?"),
        ('them = "evening"', "them: no such setting. Did you mean theme?"),
        ("keys = 3", "keys: a table of actions"),
        ('[keys]\n"round.done" = 3', "round.done: its key is wanted in quotes."),
        ('[keys]\n"round.done" = "x"', "x: both"),
        ("theme = 3", "theme: one of evening, daylight"),
        ('units = "imperal"', "imperal: no such units. Did you mean imperial?"),
        ("units = true", "units: one of metric, imperial is wanted in quotes."),
        ('reader = "yes"', "reader: true or false is wanted, 'yes' was written."),
        ("mouse = 1", "mouse: true or false is wanted, 1 was written."),
        ("theme = ", "cannot be read"),
        ("\x00\udcff", "cannot be read"),
    ],
)
def test_what_is_at_fault_is_told_and_left_as_usual(text: str, told: str, tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(text.encode("utf-8", "surrogateescape"))
    settings = with_keys(read(tmp_path))
    assert any(told in fault for fault in settings.keys.faults), settings.keys.faults
    assert settings.theme == USUAL.values["theme"]
    assert settings.keys.actions == ALL


def test_a_folder_in_its_place_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / FILE).mkdir()
    assert any("cannot be read" in fault for fault in with_keys(read(tmp_path)).keys.faults)


def test_every_setting_is_taken() -> None:
    wanted = {"theme": "strong-light", "units": "imperial", "reader": True, "ascii": True, "mouse": False}
    text = "\n".join(
        f"{name} = {str(value).lower() if value in (True, False) else repr(value)}"
        for name, value in wanted.items()
    )
    assert chosen_in(text).values == wanted
    assert set(wanted) == {one.name for one in TABLE}
    assert chosen_in(text).faults == ()


def test_a_blank_file_is_as_usual_and_each_line_of_it_can_be_taken() -> None:
    assert chosen_in(blank_file()) == USUAL
    every = "\n".join(
        line.removeprefix("# ") for line in blank_file().splitlines() if "=" in line or "[keys]" in line
    )
    assert chosen_in(every).faults == ()
    assert chosen_in(every).keys == {"round.done": "space, g"}


def test_the_table_names_the_themes_there_are() -> None:
    assert TABLE[0].allowed == tuple(theme.name for theme in THEMES)


def test_the_colour_blind_theme_uses_the_published_set_only() -> None:
    """M. Okabe and K. Ito, "Color Universal Design" (2008), RGB of the eight colours."""
    published = [(0, 0, 0), (230, 159, 0), (86, 180, 233), (0, 158, 115), (240, 228, 66), (0, 114, 178)]
    published += [(213, 94, 0), (204, 121, 167)]
    assert [f"#{r:02x}{g:02x}{b:02x}" for r, g, b in published] == list(OKABE_ITO.values())
    tokens = TOKENS["colour-blind"]
    used = {tokens.chosen, tokens.must, tokens.near, tokens.done, tokens.fruit}
    assert used < set(OKABE_ITO.values())
    assert len(used) == 5


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", {"theme": "daylight"}),
        ("theme = 'evening' # mine\nreader = true\n", {"theme": "daylight", "reader": True}),
        ("[keys]\n'round.done' = 'g'\n", {"theme": "daylight"}),
        (blank_file(), {"theme": "daylight"}),
    ],
)
def test_one_setting_is_set_and_all_else_stays(before: str, after: dict[str, str | bool]) -> None:
    was = chosen_in(before)
    now = chosen_in(with_line(before, "theme", 'theme = "daylight"'))
    assert now.faults == ()
    assert now.values == {**was.values, **after}
    assert now.keys == was.keys
    keyed = chosen_in(with_line(before, "row.plan_view", '"row.plan_view" = "f12"', under_keys=True))
    assert (keyed.values, keyed.faults) == (was.values, ())
    assert keyed.keys == {**was.keys, "row.plan_view": "f12"}


def test_settings_are_set_and_seen_by_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["settings", "set", "theme", "colour-blind"]) == 0
    assert main(["settings", "set", "round.done", "space, f12"]) == 0
    capsys.readouterr()
    assert main(["--json", "settings", "show"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert (shown["theme"], shown["keys"]) == ("colour-blind", {"round.done": "space, f12"})
    for name, value, told in (
        ("them", "daylight", "them: no such action"),
        ("theme", "dailight", "Did you mean daylight?"),
        ("round.done", "x", "x: both"),
        ("reader", "yes", "true or false"),
    ):
        assert main(["settings", "set", name, value]) == 1
        assert told in capsys.readouterr().err
    assert main(["--json", "settings", "show"]) == 0
    assert json.loads(capsys.readouterr().out) == shown
