"""Run under the fault layer: the k-th call of a sort fails, for every k; prints what came of it as JSON."""

from __future__ import annotations

import errno
import json
import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from tests.store.appending import act, whole_acts
from tests.store.fault_layer import Disk
from tests.store.making import DAY
from tunneltui.holding.user_error import UserError
from tunneltui.store.journal_file import JournalFile

ACTS = 3
ERRORS = {"EIO": errno.EIO, "ENOSPC": errno.ENOSPC}


def main(folder: Path, sort: str, for_good: str, error: str) -> None:
    troubles: list[str] = []
    acknowledged = uncertain = 0
    k = 0
    disk = Disk(folder)
    while True:
        k += 1
        path = Path(tempfile.mkdtemp(dir=folder)) / "journal.db"
        disk.fail(sort, k, for_good=for_good == "for_good", error=ERRORS[error])
        doubtful: list[int] = []
        done = _write_acts(path, troubles, doubtful)
        if not disk.heal():
            break
        acknowledged += len(done)
        uncertain += len(doubtful)
        _check(path, done, doubtful, k)
    told = {
        "failed": k - 1,
        "acknowledged": acknowledged,
        "doubtful": uncertain,
        "troubles": sorted(set(troubles)),
    }
    print(json.dumps(told))


def _write_acts(path: Path, troubles: list[str], doubtful: list[int]) -> list[int]:
    """The acts whose commit returned. Only ``UserError`` may come out of the store; after one the next act
    is tried on the same connection."""
    done = []
    try:
        with JournalFile.open(path) as journal:
            for number in range(1, ACTS + 1):
                try:
                    journal.append(act(number), DAY)
                    done.append(number)
                except UserError as trouble:
                    troubles.append(trouble.problem.replace(str(path), "PATH"))
                    if "it is there" in trouble.problem:
                        doubtful.append(number)
    except UserError as trouble:
        troubles.append(trouble.problem.replace(str(path), "PATH"))
    return done


def _check(path: Path, done: list[int], doubtful: list[int], k: int) -> None:
    if not path.exists():
        assert not done, f"k {k}: acknowledged, and the file is gone"
        return
    with JournalFile.open(path) as journal:
        there = whole_acts(journal.entries())
        assert set(done) <= there, f"k {k}: acknowledged {done}, there {sorted(there)}"
        # An act that was refused must not turn up: the grower would enter it again.
        assert there <= {*done, *doubtful}, f"k {k}: acknowledged {done}, there {sorted(there)}"
        again = journal.append(act(99), DAY)
        assert len(again) == 3
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",), f"k {k}"


if __name__ == "__main__":
    main(Path(sys.argv[1]), *sys.argv[2:])
