"""One advice of care: what to change, why, by which source, and the entry that says it was done."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from tunneltui.journal.kinds import Body


class Advice(Struct, frozen=True):
    kind: Literal["water", "fleece", "vents", "shade", "scout", "blight", "end_rot", "order"]
    about: str
    """Row, tunnel or place; for an order also the pest's name."""
    must: bool
    when: Literal["early and dry", "midday", "any"]
    proposal: str
    why: str
    source: str
    bodies: tuple[tuple[str, Body], ...]
    """(about, entry) to write once it is done."""
    leaders: tuple[str, ...] = ()
