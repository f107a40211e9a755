"""Textual's command palette, for hands that are quicker than its list is drawn."""

from __future__ import annotations

from textual.command import CommandList, CommandPalette


class Palette(CommandPalette):
    """Pages only once there is a list to page through: Textual 8.2 looks up the line of a list not yet laid out,
    as it is right after opening and in a window without a line for it."""

    def __init__(self) -> None:
        super().__init__(id="--command-palette")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        laid_out = self.query_one(CommandList).scrollable_content_region.width > 0
        return laid_out if action == "command_list" else super().check_action(action, parameters)
