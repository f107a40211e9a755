"""Acts of three entries each, whose wholeness can be told afterwards, and the programs that write them.

Run as a module (``python -m tests.store.appending``) it writes acts for ever and prints the number of each after
its commit returned; the tests kill it.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from tests.store.making import DAY, note, texts
from tunneltui.journal.entry import Draft, Entry
from tunneltui.store.journals import open_journal
from tunneltui.store.where import Where, where

PER_ACT = 3
# One body longer than a page, so that overflow pages are written too.
_BODIES = (20, 5000, 300)


def act(number: int, device: str = "") -> list[Draft]:
    return [note(f"{device}:{number}:{part} ".ljust(size, "x")) for part, size in enumerate(_BODIES)]


def whole_acts(entries: Sequence[Entry], device: str = "") -> set[int]:
    """Numbers of the acts that are there. Fails where one is there in part or was changed."""
    found: dict[int, list[str]] = {}
    for text in texts(entries):
        name, number, _ = text.split(":")
        if name == device:
            found.setdefault(int(number), []).append(text)
    for act_number, parts in found.items():
        wanted = [f"{device}:{act_number}:{part} ".ljust(size, "x") for part, size in enumerate(_BODIES)]
        assert sorted(parts) == sorted(wanted), f"act {act_number} is there in part"
    return set(found)


def main(at: Where, device: str) -> None:
    with open_journal(at) as journal:
        known = whole_acts(journal.entries(), device)
        number = max(known, default=0)
        while True:
            number += 1
            journal.append(act(number, device), DAY)
            os.write(1, f"{number}\n".encode())


if __name__ == "__main__":
    main(where(sys.argv[1]), sys.argv[2])
