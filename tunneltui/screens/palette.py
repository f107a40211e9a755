"""Textual's command palette, for hands that are quicker than its list is drawn."""

from __future__ import annotations

from textual.await_complete import AwaitComplete
from textual.command import CommandList, CommandPalette


class Palette(CommandPalette):
    """Pages only once there is a list to page through: Textual 8.2 looks up the line of a list not yet laid out,
    as it is right after opening and in a window without a line for it. And closes once: a second escape or enter
    that was under way would take the screen beneath with it, or the last there is."""

    def __init__(self) -> None:
        super().__init__(id="--command-palette")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        laid_out = self.query_one(CommandList).scrollable_content_region.area > 0
        return laid_out if action == "command_list" else super().check_action(action, parameters)

    def dismiss(self, result: None = None) -> AwaitComplete:
        return super().dismiss(result) if self.is_active else AwaitComplete()
