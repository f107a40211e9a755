"""What this machine last saw of a journal, so that an older copy put back is noticed.

One small file per journal path or address in the state folder. It is a memory, never a truth: where it is missing
or cannot be written, the journal works without it.
"""

from __future__ import annotations

import json
import os
import zlib
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tunneltui.store.folders import PRIVATE_FILE, private_folder

if TYPE_CHECKING:
    from tunneltui.store.where import Where


@dataclass(frozen=True, slots=True)
class JournalHead:
    """How far a journal reaches. ``last_seq`` 0 and ``last_id`` '' where it is empty."""

    journal_id: str
    count: int
    last_seq: int
    last_id: str


def remember(state: Path, path: Where, head: JournalHead) -> None:
    """Keeps ``head`` as the last seen of the journal at ``path``."""
    text = json.dumps({"path": str(path), **asdict(head)})
    with suppress(OSError, UnicodeEncodeError):
        file = _file(state, path)
        spare = file.with_name(f".{file.name}.{os.urandom(4).hex()}")
        private_folder(file.parent)
        handle = os.open(spare, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
        with os.fdopen(handle, "w", encoding="utf-8") as out:
            out.write(text)
        spare.replace(file)


def last_seen(state: Path, path: Where) -> JournalHead | None:
    """The last remembered head; None where nothing (readable) is remembered."""
    try:
        plain = json.loads(_file(state, path).read_text(encoding="utf-8"))
        return JournalHead(
            str(plain["journal_id"]), int(plain["count"]), int(plain["last_seq"]), str(plain["last_id"])
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def forget(state: Path, path: Where) -> None:
    """From now on the journal at ``path`` is taken as it is found."""
    with suppress(OSError):
        _file(state, path).unlink(missing_ok=True)


def _file(state: Path, path: Where) -> Path:
    # A checksum tells a handful of journals apart; hashlib alone would cost the first paint 3 ms.
    name = zlib.crc32(str(path).encode("utf-8", "surrogateescape"))
    return state / "seen" / f"{name:08x}.json"
