"""The settings file: taken where it is sound, told where it is not, never in the way of the round."""

from __future__ import annotations

from pathlib import Path

import pytest

from tunneltui.screens.actions import ALL
from tunneltui.screens.settings import FILE, USUAL_THEME, read_settings


def keys_of(folder: Path, name: str) -> tuple[str, ...]:
    return next(one.keys for one in read_settings(folder).keys.actions if f"{one.where}.{one.id}" == name)


def test_without_a_file_all_is_as_usual(tmp_path: Path) -> None:
    settings = read_settings(tmp_path)
    assert (settings.theme, settings.keys.actions, settings.keys.faults) == (USUAL_THEME, ALL, ())


def test_theme_and_keys_are_taken(tmp_path: Path) -> None:
    (tmp_path / FILE).write_text('theme = "daylight"\n[keys]\n"round.done" = "g, space"\n', "utf-8")
    assert read_settings(tmp_path).theme == "daylight"
    assert keys_of(tmp_path, "round.done") == ("g", "space")
    assert read_settings(tmp_path).keys.faults == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('theme = "evning"', "evning: no such theme. Did you mean evening?"),
        ('them = "evening"', "them: no such setting. Did you mean theme?"),
        ("keys = 3", "keys: a table of actions"),
        ('[keys]\n"round.done" = 3', "round.done: its key is wanted in quotes."),
        ('[keys]\n"round.done" = "x"', "x: both"),
        ("theme = ", "cannot be read"),
        ("\x00\udcff", "cannot be read"),
    ],
)
def test_what_is_at_fault_is_told_and_left_as_usual(text: str, told: str, tmp_path: Path) -> None:
    (tmp_path / FILE).write_bytes(text.encode("utf-8", "surrogateescape"))
    settings = read_settings(tmp_path)
    assert any(told in fault for fault in settings.keys.faults), settings.keys.faults
    assert settings.theme == USUAL_THEME
    assert settings.keys.actions == ALL


def test_a_folder_in_its_place_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / FILE).mkdir()
    assert any("cannot be read" in fault for fault in read_settings(tmp_path).keys.faults)
