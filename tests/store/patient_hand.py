"""A hand that goes on whatever the server does: ``python -m tests.store.patient_hand ADDRESS NAME``.

It writes acts until it is killed and prints the number of each that was acknowledged. What is in doubt it looks up
before it goes on.
"""

from __future__ import annotations

import os
import random
import sys
import time
from contextlib import suppress

from tests.store.appending import act
from tests.store.making import DAY
from tunneltui.holding.user_error import UserError
from tunneltui.store.journals import Journal, open_journal
from tunneltui.store.where import Where, where


def main(at: Where, name: str) -> None:
    draw = random.Random(name)
    with open_journal(at, create=False, device=name, accept_older=True) as journal:
        number, read_to = 1, journal.head().last_seq
        while True:
            try:
                journal.append(act(number, name), DAY, act=f"{name} {number}")
            except UserError:
                there, read_to = _looked_up(journal, read_to, f"{name} {number}")
                if not there:
                    continue
            os.write(1, f"{number}\n".encode())
            number += 1
            time.sleep(draw.uniform(0.05, 0.4))


def _looked_up(journal: Journal, read_to: int, name: str) -> tuple[bool, int]:
    """Whether the act is there, once the server answers; and how far was read."""
    while True:
        with suppress(UserError):
            rows = journal.entries_after(read_to)
            return any(entry.act == name for _, entry in rows), rows[-1][0] if rows else read_to
        time.sleep(0.2)


if __name__ == "__main__":
    main(where(sys.argv[1]), sys.argv[2])
