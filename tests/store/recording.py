"""Run under the fault layer: writes acts while every change of the disk is recorded, each act marked when done."""

from __future__ import annotations

import sys
from pathlib import Path

from tests.store.appending import act
from tests.store.fault_layer import Disk
from tests.store.making import DAY
from tunneltui.store.journal_file import JournalFile


def main(path: Path, log: Path, acts: int, synchronous: str) -> None:
    disk = Disk(path.parent)
    disk.record(log)
    with JournalFile.open(path) as journal:
        # Weaker settings show that the test sees a loss where there is one.
        journal._connection.execute(f"PRAGMA synchronous = {synchronous}")
        for number in range(1, acts + 1):
            journal.append(act(number), DAY)
            disk.mark(number)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]), sys.argv[4])
