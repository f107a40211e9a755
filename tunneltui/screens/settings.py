"""The grower's settings file: colours and own keys, read once at the start. What is at fault is told, never fatal.

::

    theme = "daylight"

    [keys]
    "round.done" = "g"
    "row.plan_view" = "o, f12"
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NamedTuple

from tunneltui.screens.keymap import Checked, checked
from tunneltui.screens.themes import THEMES

FILE = "settings.toml"
KNOWN = ("theme", "keys")
USUAL_THEME = "evening"
TOO_LONG = 1_000_000
"""Bytes; no settings file is so long, whatever lies in its place."""


class Settings(NamedTuple):
    theme: str
    keys: Checked


def read_settings(folder: Path) -> Settings:
    """The settings in ``folder``; the usual ones where there is no file."""
    file = folder / FILE
    try:
        with file.open("rb") as opened:
            found = tomllib.loads(opened.read(TOO_LONG).decode("utf-8-sig"))
    except FileNotFoundError:
        found = {}
    except (OSError, ValueError, RecursionError) as fault:
        return _usual(f"{file} cannot be read: {fault}.")
    return settings_of(found)


def settings_of(found: Mapping[str, Any]) -> Settings:
    """What a read file says, with every fault told among those of the keys."""
    faults = [_unknown("setting", name, KNOWN) for name in found if name not in KNOWN]
    theme, themes = found.get("theme", USUAL_THEME), [one.name for one in THEMES]
    if theme not in themes:
        faults.append(_unknown("theme", str(theme), themes))
        theme = USUAL_THEME
    keys = found.get("keys", {})
    if not isinstance(keys, dict):
        faults.append("keys: a table of actions and their keys is wanted.")
        keys = {}
    wanted = {name: key for name, key in keys.items() if isinstance(key, str)}
    faults += [f"{name}: its key is wanted in quotes." for name in keys if name not in wanted]
    own = checked(wanted)
    return Settings(theme, Checked(own.actions, (*faults, *own.faults)))


def _usual(fault: str) -> Settings:
    return Settings(USUAL_THEME, Checked(checked({}).actions, (fault,)))


def _unknown(what: str, name: str, known: list[str] | tuple[str, ...]) -> str:
    near = get_close_matches(name, known, 1)
    return f"{name}: no such {what}." + (
        f" Did you mean {near[0]}?" if near else f" There are {', '.join(known)}."
    )
