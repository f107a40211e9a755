"""The grower's settings: one table of what can be set, read from ``settings.toml``, checked, never fatal.

::

    theme = "daylight"
    units = "imperial"

    [keys]
    "round.done" = "g"
    "row.plan_view" = "o, f12"

Keys are checked where they are used (``screens.keymap``); a plain command needs none.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from tunneltui.holding.user_error import Fault

FILE = "settings.toml"
KEYS = "keys"
TOO_LONG = 1_000_000
"""Bytes; no settings file is so long, whatever lies in its place."""


class Setting(NamedTuple):
    """One thing that can be set."""

    name: str
    usual: str | bool
    allowed: tuple[str, ...]
    """Words it may be; () is yes or no, written true or false."""
    help: str


TABLE = (
    Setting(
        "theme",
        "evening",
        ("evening", "daylight", "strong-dark", "strong-light", "colour-blind", "one-ink"),
        "colours of the screens",
    ),
    Setting("units", "metric", ("metric", "imperial"), "what is shown and typed; JSON stays metric"),
    Setting("reader", False, (), "plain lines for a screen reader or a braille display"),
    Setting("ascii", False, (), "letters in place of drawn signs; else as the terminal is able"),
    Setting("mouse", True, (), "clicks on lines and keys; false leaves the mouse to the terminal"),
)
"""What is not in the file is as usual."""


class ChosenSettings(NamedTuple):
    """The settings in force, the keys as they were written, and every fault."""

    values: Mapping[str, str | bool]
    keys: Mapping[str, str]
    faults: tuple[Fault, ...] = ()

    @property
    def imperial(self) -> bool:
        return self.values["units"] == "imperial"


USUAL = ChosenSettings({row.name: row.usual for row in TABLE}, {})


def read(folder: Path) -> ChosenSettings:
    """The settings in ``folder``; the usual ones where there is no file."""
    file = folder / FILE
    try:
        with file.open("rb") as opened:
            return chosen_in(opened.read(TOO_LONG).decode("utf-8-sig"))
    except FileNotFoundError:
        return USUAL
    except (OSError, ValueError) as fault:
        return USUAL._replace(faults=(Fault(f"{file} cannot be read: {fault}."),))


def chosen_in(text: str) -> ChosenSettings:
    """What a settings file says."""
    import tomllib

    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError) as fault:
        return USUAL._replace(faults=(Fault(f"The settings cannot be read: {fault}."),))
    names = [setting.name for setting in TABLE]
    faults = [unknown("setting", name, [*names, KEYS]) for name in table if name not in (*names, KEYS)]
    values = dict(USUAL.values)
    for setting in TABLE:
        if setting.name not in table:
            continue
        if at_fault := _fault(setting, table[setting.name]):
            faults.append(at_fault)
        else:
            values[setting.name] = table[setting.name]
    keys = table.get(KEYS, {})
    if not isinstance(keys, dict):
        faults.append(Fault("keys: a table of actions and their keys is wanted."))
        keys = {}
    faults += [
        Fault(f"{name}: its key is wanted in quotes.") for name, key in keys.items() if not isinstance(key, str)
    ]
    return ChosenSettings(values, {name: key for name, key in keys.items() if isinstance(key, str)}, tuple(faults))


def _fault(setting: Setting, value: Any) -> Fault | None:
    if not setting.allowed:
        wrong = not isinstance(value, bool)
        return Fault(f"{setting.name}: true or false is wanted, {value!r} was written.") if wrong else None
    if not isinstance(value, str):
        return Fault(f"{setting.name}: one of {', '.join(setting.allowed)} is wanted in quotes.")
    return None if value in setting.allowed else unknown(setting.name, value, setting.allowed)


def unknown(what: str, name: str, names: Sequence[str]) -> Fault:
    """Of a name that is not there, with the nearest that is."""
    # Imported here: the first paint does not wait for it.
    from difflib import get_close_matches

    near = get_close_matches(name, names, 1)
    meant = f"Did you mean {near[0]}?" if near else f"There are {', '.join(names)}."
    return Fault(f"{name}: no such {what}. {meant}")


def blank_file() -> str:
    """A settings file in which everything is as usual, each line ready to be changed."""
    lines = ["# Settings of tunneltui. What stands behind a # is as usual; take the # away to change it.", ""]
    for setting in TABLE:
        lines.append(f"# {setting.help}" + (f": {', '.join(setting.allowed)}" if setting.allowed else ""))
        lines += [f"# {written(setting.name, setting.usual)}", ""]
    lines += [
        "# Keys of your own; `tunneltui settings keys` lists every action.",
        "# [keys]",
        '# "round.done" = "space, g"',
    ]
    return "\n".join(lines) + "\n"


def written(name: str, value: str | bool) -> str:
    """One setting as its line in the file."""
    return f"{name} = {str(value).lower()}" if isinstance(value, bool) else f'{name} = "{value}"'


def with_line(text: str, name: str, line: str, *, under_keys: bool = False) -> str:
    """The file's text with ``line`` for ``name``, where it stood, else where the blank file has it behind a #."""
    lines = text.splitlines()
    tables = [index for index, row_text in enumerate(lines) if re.match(r"\s*\[", row_text)]
    keys = next((index for index in tables if re.match(r"\s*\[\s*keys\s*\]", lines[index])), None)
    if under_keys and keys is None:
        return "\n".join([*lines, *(("",) if lines and lines[-1] else ()), f"[{KEYS}]", line]) + "\n"
    first = keys + 1 if under_keys and keys is not None else 0
    last = next((index for index in tables if index >= first), len(lines))
    for mark in ("", "#"):
        stood = re.compile(rf"\s*{mark}\s*\"?{re.escape(name)}\"?\s*=")
        for index in range(first, last):
            if stood.match(lines[index]):
                return "\n".join([*lines[:index], line, *lines[index + 1 :]]) + "\n"
    return "\n".join([*lines[:first], line, *lines[first:]]) + "\n"
