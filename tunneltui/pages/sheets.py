"""How a file from outside was read: what was found out, assumed or left out. Templates for ``say``."""

from __future__ import annotations

HEADING = "The heading is line {}; what stands above it is left out."
A_COLUMN_EACH = "Each of {} columns holds a {}'s {}."
AS_TOLD = "{} is taken as {}, as you said."
YEAR_DAY_MONTH = "{} is read as year, day, month, as you said."

NO_UNIT = "{} names no unit and is taken as kg."
FAHRENHEIT = "{} is in Fahrenheit and was turned into Celsius."
WARM_NIGHTS = (
    "{} of {} days are warmest between 21 and 6 h: look at the logger's clock; "
    "the days' least and most stay right, their hours may not."
)
OUT_OF_SEASON = "{} days do not fit their season, first {} with {} degrees: are its days read rightly?"

MEAN_OF_STEMS = "One row a visit and no plant named: each is taken as the mean of {} stems (else --stems)."
SINCE_LAST, SO_FAR = "what came since the last visit (increments)", "the whole so far (totals)"
BY_TOTAL = "{} is {}: {} in {} of {} rows."
ADDED_UP, EQUAL = "added up it agrees with {}", "it equals it"
BY_HEADING = "{} is {}, by its heading."
BY_GROWTH = "{} is {}: read as {} the stems would {}."
TOO_FAST, TOO_SLOW = "grow too fast for a stem", "stand almost still"
BY_RUN = "{} is {}: it {} in {} of {} plants."
RISES, FALLS = "rises from visit to visit", "falls as often as it rises, or ends where it began"
CONTRADICT = "{} and {} contradict each other in {} of {} rows, first in line {}: {}."
TAKEN = "{} {} is taken, {} is left out; --map {}=none takes the other."
