"""What forms and questions ask, and the words beside and below a list. Cells alone, for the first paint."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.cells import UnitName, say

CM = UnitName("cm")
DEGC = UnitName("degC")
LITRES = UnitName("L")
METRES = UnitName("m", long=True)

READINGS: Mapping[str, str] = {
    "growth_m": say("Growth since the last mark, {}", CM),
    "tip_under_wire_m": say("Tip under the wire, {} (- above it)", CM),
    "flowering_truss": "Truss with the youngest open flower, number",
    "lowest_truss": "Lowest truss not yet picked clean, number",
    "length_m": say("Whole length, {}", CM),
    "diameter_mm": say("Stem diameter, {}", UnitName("mm")),
    "leaves": "Leaves left on the stem",
}
"""By field of ``Measured``, in the order they are asked."""

CHANGES: Mapping[tuple[str, str], str] = {
    ("lowered", "finish"): "Tip against what was said: w well under, s as said, o over",
    ("lowered", "let_out_m"): say("Let out, {}", CM),
    ("lowered", "tip_under_wire_m"): say("Tip under the wire after it, {}", CM),
    ("lowered", "hook_u_m"): say("Hook place along the loop, {}", CM),
    ("picked", "kg"): say("Weight, {}", UnitName("kg")),
    ("picked", "count"): "Fruits",
    ("deleafed", "leaves"): "Leaves from each",
    ("clipped", "s_m"): say("Place along the stem from the soil, {}", CM),
    ("tied", "s_m"): say("Place along the stem from the soil, {}", CM),
    ("truss_pruned", "fruits"): "Fruits left",
    ("fed", "cans"): "Cans",
    ("fed", "litres"): say("Amount, {}", LITRES),
    ("watered", "minutes"): "Minutes",
    ("watered", "litres"): say("Amount, {}", LITRES),
}
"""By kind and field of what a chore would write."""

LEAST, MOST = say("Least, {}", DEGC), say("Most, {}", DEGC)
LEAST_OUTSIDE = say("Least outside from today on, {}", DEGC)
MOST_OUTSIDE = say("Most outside from today on, {}", DEGC)
GIVEN = say("Given to them in all, {}", LITRES)
DRAINED = say("Drained and caught, {}", LITRES)


# Titles and hints: templates for ``say``
AIR_OF = "Air in {}, by hand"
CHANGED_IN = "What was changed in {}?"
DECIDES = "A letter decides this one, a capital all {} of {} alike; q decides later."
GO_TO_PLACE = "Go to place {}▁  {}, escape stays"
FAILED_AT = "Which one failed at {}?"
PUT_OFF = "{}: put off until when?"
LEFT_HANGING = "{} is left as it hangs. Why?"
COUNTED = "counted"
EXPECTED = "counted, {} expected in store"

# Words beside a list, what a key did, why it did nothing: templates for ``say``
TOO_SMALL = "tunneltui needs {} columns and {} rows. Make the window larger, or q to leave."
GOES_TO = "To {}, also where digits are typed."
STILL_READ = "The journal is still being read."
STILL_TO_COME = "{} is still to come: what has not happened is not written."

NOT_WEIGHED = "Picked {} in {}, not weighed"
PICK_TO_COME = "{} is still to come; today's picks stand above."
NOTED_AIR = "Noted the air of {}"
NOTED_FEED = "Noted the feed of {}"
NOTED_BED = "Noted the bed of {}"

HEADS_HERE = "heads here: {}; their shoots out"
LEAVES_HERE = "{} off the stem rooted here"
SETTLED = "This is {}; u takes the last thing noted back."
LOWERED_ALREADY = "{} is lowered already; u takes the last answer back."
DECISIONS_LEFT = "{}. What is to decide here: enter."
COMMON_WORK = "{}, {} of common work: S again writes all of it."
COMMON_WORK_DONE = "{}: {} of common work at {}"
LAST_ANSWERED = "That was the last one of {}. q leaves."

TRIED = "{}: enter takes it to the walk."
NOT_ASKED_FOR = "{}: not asked for today; note it here once it is done."

# Before the first holding stands, and once it does
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
NOTHING_TO_DO = "Nothing is to do today."
NOTHING_STANDS = (
    "Nothing is planted yet.",
    "8 plans the season: what to sow, when to plant.",
    "What stands already: tunneltui add planted cultivar=NAME --about W1",
)
TO_PLANT = "Once they stand: `tunneltui add planted cultivar=NAME --about ROW`."


def no_fault(file: str) -> str:
    """Of a holding's file that was checked."""
    return f"{file} is a holding without a fault."
