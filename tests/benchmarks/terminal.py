"""A program on a pseudo terminal of 100 columns and 30 rows, timed from outside as a grower would."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
from pathlib import Path
from time import perf_counter
from types import TracebackType

COLUMNS, ROWS = 100, 30
QUIET_S = 0.06
"""No byte for so long: the burst of a key is over."""


def python(module: str, *words: object) -> list[str]:
    return [sys.executable, "-m", f"tests.benchmarks.{module}", *map(str, words)]


class Program:
    """Started at once; use it in a ``with``."""

    def __init__(self, command: list[str], home: Path) -> None:
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        colours = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        environment = {**os.environ, "TUNNELTUI_HOME": str(home), **colours}
        self.seen = b""
        self._started = perf_counter()
        self._process = subprocess.Popen(
            command, stdin=slave, stdout=slave, stderr=slave, env=environment, close_fds=True
        )
        os.close(slave)
        self._master = master

    def __enter__(self) -> Program:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._master)

    def until(self, wanted: bytes, seconds: float = 60) -> float:
        """Milliseconds from the start to the wanted bytes. Raises ``RuntimeError`` where they do not come."""
        while perf_counter() - self._started < seconds:
            self._read(0.05)
            if wanted in self.seen:
                return (perf_counter() - self._started) * 1000
        raise RuntimeError(f"{wanted!r} was not painted; the last was {self.seen[-300:]!r}")

    def until_told(self, told: Path, count: int, seconds: float = 900) -> float:
        """When the program told of its ``count``-th view, on this machine's clock, or when the last bytes of it
        came. Raises ``RuntimeError`` where it did not."""
        end, last = perf_counter() + seconds, 0.0
        while perf_counter() < end:
            if self._read(0.001):
                last = perf_counter()
            if len(lines := told_in(told)) >= count:
                while self._read(0.004):
                    last = perf_counter()
                return max(last, lines[count - 1])
        raise RuntimeError(f"no view {count} was painted within {seconds:.0f} s; {self.seen[-300:]!r}")

    def rest(self, seconds: float = 0.3) -> None:
        """Reads until nothing comes for so long."""
        while self._read(seconds):
            pass

    def type(self, keys: bytes) -> float:
        """Sends keys; when."""
        start = perf_counter()
        os.write(self._master, keys)
        return start

    def press(self, key: bytes) -> float:
        """Milliseconds from the key to the last byte of what it made the program paint, once it is at rest."""
        self.rest(0.15)
        start = last = self.type(key)
        wait = 2.0
        while self._read(wait):
            last, wait = perf_counter(), QUIET_S
        if last == start:
            raise RuntimeError("the key painted nothing")
        return (last - start) * 1000

    def memory_mb(self) -> float:
        """What it holds in memory, without what it shares with others."""
        text = Path(f"/proc/{self._process.pid}/smaps_rollup").read_text(encoding="ascii")
        kept = [
            int(line.split()[1])
            for line in text.splitlines()
            if line.startswith(("Private_Clean", "Private_Dirty"))
        ]
        return sum(kept) / 1024

    def _read(self, seconds: float) -> bool:
        if select.select([self._master], [], [], seconds)[0]:
            self.seen = self.seen[-100_000:] + os.read(self._master, 65536)
            return True
        return False


def told_in(told: Path) -> list[float]:
    """When each view was painted."""
    if not told.exists():
        return []
    return [
        float(line) for line in told.read_text(encoding="ascii").splitlines(keepends=True) if line.endswith("\n")
    ]
