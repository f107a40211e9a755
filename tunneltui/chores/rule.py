"""What a rule is: from a season, its outlook and its loads, the chores of its kinds."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind, Reach
from tunneltui.growth.outlook import Outlook
from tunneltui.loads.result import Loads
from tunneltui.season.state import Season

Rule = Callable[[Season, Outlook, Loads], Iterable[Chore]]


class ChoreRule(NamedTuple):
    """A rule and the kinds it asks for; every family of chores ends with its own, ``RULES``."""

    rule: Rule
    kinds: tuple[ChoreKind, ...]

    @property
    def reach(self) -> Reach:
        """As far as the furthest of its kinds."""
        reaches = {kind.reach for kind in self.kinds}
        return "house" if "house" in reaches else "loop" if "loop" in reaches else "stem"
