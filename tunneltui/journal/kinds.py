"""Kinds of entry, one dataclass each, gathered from the families.

A kind's body is flat JSON: text, numbers, booleans, lists of these, days as ISO text. ``None`` fields are left
out of the JSON. References (``leader``, ``fixing``, ``string``, ``plant``) are ids of entries (rule 5), never
names: a plant and its first leader have the id of the ``planted`` that made them, a further leader that of its
``leader_kept``, a fixing that of its ``clipped`` or ``tied``, a hung string that of its ``string_hung``; strings
of the holding are named by ``holding.layout.string_id``.
"""

from __future__ import annotations

from typing import Any

from tunneltui.journal import kinds_care, kinds_crop, kinds_holding_up, kinds_journal, kinds_standing

Body = Any
"""An instance of one of the dataclasses in ``KINDS``."""

_FAMILIES = (kinds_standing, kinds_holding_up, kinds_crop, kinds_care, kinds_journal)

KINDS: dict[str, type] = {kind: cls for family in _FAMILIES for kind, cls in family.KINDS.items()}
KIND_OF: dict[type, str] = {cls: kind for kind, cls in KINDS.items()}
VERSION = 1
"""Version of every kind this program writes."""

SPEAKS_OF_THE_FUTURE = frozenset({"forecast", "away"})
"""Kinds whose day may be later than today (rule 9)."""
