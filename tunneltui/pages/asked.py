"""What forms and lettered questions ask: titles, labels and hints. Known before the first paint: cells alone."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.cells import UnitName, say

CM = UnitName("cm")
DEGC = UnitName("degC")
LITRES = UnitName("L")

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


# Templates for ``say``
AIR_OF = "Air in {}, by hand"
CHANGED_IN = "What was changed in {}?"
DECIDES = "A letter decides this one, a capital all {} of {} alike; q decides later."
GO_TO_PLACE = "Go to place {}▁  {}, escape stays"
FAILED_AT = "Which one failed at {}?"
PUT_OFF = "{}: put off until when?"
LEFT_HANGING = "{} is left as it hangs. Why?"
EXPECTED = "counted, {} expected in store"
