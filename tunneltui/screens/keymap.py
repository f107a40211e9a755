"""The grower's own keys: read from a mapping of action to key, checked, and laid over the action table.

Textual's own key map says nothing of unknown names and lets one action silently take another's key, so everything
is checked here first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import NamedTuple

from tunneltui.holding.user_error import Fault
from tunneltui.report.settings import ChosenSettings
from tunneltui.screens.actions import ALL, PAGES, STEPPED, Action

NAMED = (
    *("space", "enter", "escape", "tab", "backspace", "delete", "insert", "up", "down", "left", "right"),
    *("home", "end", "pageup", "pagedown"),
    *(f"f{number}" for number in range(1, 13)),
    *("question_mark", "slash", "plus", "minus", "comma", "full_stop", "equals_sign"),
    *("left_square_bracket", "right_square_bracket", "semicolon", "apostrophe", "backslash"),
)
SAME_AS = {
    "ctrl+i": "tab",
    "ctrl+m": "enter",
    "ctrl+j": "enter",
    "ctrl+h": "backspace",
    "ctrl+left_square_bracket": "escape",
}
"""Keys that a terminal cannot tell apart (ASCII control codes 8, 9, 10, 13 and 27)."""
_KEPT = {"ctrl+c", "ctrl+q", "ctrl+p", "ctrl+z"}


class CheckedKeys(NamedTuple):
    """The table with the grower's keys, and what could not be taken from them."""

    actions: tuple[Action, ...]
    faults: tuple[Fault, ...]


def checked(settings: Mapping[str, str], table: Sequence[Action] = ALL) -> CheckedKeys:
    """``settings`` maps ``where.action`` (or the action alone, where only one has that name) to one or more keys,
    with commas between them. What is at fault is left as it was and told, with the nearest name."""
    faults: list[Fault] = []
    keys: dict[tuple[str, str], tuple[str, ...]] = {}
    for name, text in settings.items():
        actions = [action for action in table if name in (action.id, f"{action.where}.{action.id}")]
        action = actions[0] if len(actions) == 1 else None
        if action is None:
            faults.append(_unknown("action", name, [f"{action.where}.{action.id}" for action in table]))
            continue
        typed = [key.strip() for key in text.split(",") if key.strip()]
        bad = [key for key in typed if not _is_key(key)]
        faults += [_unknown("key", key, NAMED) if key not in _KEPT | set(SAME_AS) else _taken(key) for key in bad]
        if not typed:
            faults.append(Fault(f"{name}: no key is given; every action keeps one."))
        elif not bad:
            keys[action.where, action.id] = tuple(typed)
    remapped = tuple(
        listed._replace(keys=keys[listed.where, listed.id], shown="")
        if (listed.where, listed.id) in keys
        else listed
        for listed in table
    )
    clashes = _clashes(remapped)
    return CheckedKeys(tuple(table), (*faults, *clashes)) if clashes else CheckedKeys(remapped, tuple(faults))


def textual_keys(actions: Sequence[Action]) -> dict[str, str]:
    """For ``App.set_keymap``: every binding's id with its keys."""
    return {f"{action.where}.{action.id}": ",".join(action.keys) for action in actions}


def _is_key(key: str) -> bool:
    if key in SAME_AS or key in _KEPT:
        return False
    bare = key.removeprefix("ctrl+") if key.startswith("ctrl+") else key.removeprefix("shift+")
    return bare in NAMED or (len(bare) == 1 and bare.isascii() and bare.isalnum())


def _taken(key: str) -> Fault:
    if key in SAME_AS:
        return Fault(f"{key}: a terminal cannot tell it from {SAME_AS[key]}.")
    return Fault(f"{key}: this key is kept for the program itself.")


def _unknown(what: str, name: str, names: Sequence[str]) -> Fault:
    near = get_close_matches(name, names, 1, 0.5) or get_close_matches(
        name, [full_name.partition(".")[2] for full_name in names], 1
    )
    return Fault(f"{name}: no such {what}." + (f" Did you mean {near[0]}?" if near else ""))


HEADINGS = ("heading_before", "heading_after")
"""Keys of a list that a screen may give another meaning: where it has no headings to go to."""


def _clashes(table: Sequence[Action]) -> list[Fault]:
    """One key with two meanings in one place."""
    faults = []
    for where in dict.fromkeys(action.where for action in table if action.where not in ("everywhere", "list")):
        others = () if where in PAGES else ("everywhere",) if where == "row" else ("everywhere", "list")
        shown = [listed for listed in table if listed.where in (where, *others)]
        if where in STEPPED:
            shown = [listed for listed in shown if listed.where != "list" or not listed.id.startswith("heading_")]
        held: dict[str, Action] = {}
        for action in shown:
            for key in action.keys:
                other = held.setdefault(key, action)
                if other is not action and not any(
                    pressed.where == "list" and pressed.id in HEADINGS for pressed in (action, other)
                ):
                    clash = f"both {other.id} and {action.id} would be done by it on the {where} screen."
                    faults.append(Fault(f"{key}: {clash}"))
    return faults


class Settings(NamedTuple):
    """The settings as the screens use them."""

    chosen: ChosenSettings
    keys: CheckedKeys
    """With the faults of all settings."""

    @property
    def theme(self) -> str:
        return str(self.chosen.values["theme"])


def with_keys(chosen: ChosenSettings) -> Settings:
    """Those chosen, with the keys checked; the usual ones where nothing was."""
    own = checked(chosen.keys)
    return Settings(chosen, CheckedKeys(own.actions, (*chosen.faults, *own.faults)))
