"""The settings as the screens use them: the grower's own keys are checked against the action table."""

from __future__ import annotations

from typing import NamedTuple

from tunneltui.report import settings
from tunneltui.screens.keymap import Checked, checked


class Settings(NamedTuple):
    chosen: settings.ChosenSettings
    keys: Checked
    """With the faults of all settings."""

    @property
    def theme(self) -> str:
        return str(self.chosen.values["theme"])


def with_keys(chosen: settings.ChosenSettings) -> Settings:
    """Those chosen, with the keys checked; the usual ones where nothing was."""
    own = checked(chosen.keys)
    return Settings(chosen, Checked(own.actions, (*chosen.faults, *own.faults)))
