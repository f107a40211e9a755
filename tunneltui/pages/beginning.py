"""What is asked before the first holding stands, and said once it does."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.cells import UnitName, say

METRES = UnitName("m", long=True)
ASKS: Mapping[str, str] = {
    "name": "What do you call your tunnels?",
    "length_m": say("How long is the tunnel, in {}?", METRES),
    "width_m": say("How wide, in {}?", METRES),
    "zone": "Your time zone?",
    "latitude_deg": "How many degrees north (any map says it)?",
    "work_days": "Which days do you work there, such as: Mon, Wed, Sat?",
    "rows": "How many rows of vines?",
    "places_per_row": "How many plants in a row?",
    "spacing_m": say("How far apart, in {}?", METRES),
    "wire_height_m": say("How high is the top wire, in {}?", METRES),
    "training": "Stems are tiered, laid down, or pinched at the wire?",
    "cultivars": "Which cultivars, such as: cherry 1, beef 2?",
    "planted": "On which day were they planted?",
}
"""By field of ``holding.new.Start``, and the day they were planted."""
NOT_SAID = "not said"
NOT_YET = "not yet"
NEXT = "Next: `tunneltui holding edit` to put right what differs."
TO_PLANT = "Once they stand: `tunneltui add planted cultivar=NAME --about PLACE` for each plant."


def no_fault(file: str) -> str:
    """Of a holding's file that was checked."""
    return f"{file} is a holding without a fault."
