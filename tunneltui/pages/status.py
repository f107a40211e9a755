"""The last line of the screens: what a key did, or why it did nothing. Templates for ``say``."""

from __future__ import annotations

TOO_SMALL = "tunneltui needs {} columns and {} rows. Make the window larger, or q to leave."
GOES_TO = "To {}, also where digits are typed."
NOT_YET = "{} is still to come: what has not happened is not written."

NOT_WEIGHED = "Picked {} in {}, not weighed"
PICK_TO_COME = "{} is still to come; today's picks stand above."
NOTED_AIR = "Noted the air of {}"
NOTED_FEED = "Noted the feed of {}"
NOTED_BED = "Noted the bed of {}"

SETTLED = "This is {}; u takes the last thing noted back."
LOWERED_ALREADY = "{} is lowered already; u takes the last answer back."
DECISIONS_LEFT = "{}. What is to decide here: enter."
COMMON_WORK = "{}, {} of common work: S again writes all of it."
COMMON_WORK_DONE = "{}: {} of common work at {}"
LAST_ANSWERED = "That was the last one of {}. q leaves."

TRIED = "{}: enter takes it to the walk."
NOT_ASKED_FOR = "{}: not asked for today; note it here once it is done."
