"""How long the first paint and a tick take; run as a script, never as a test.

    python tests/benchmarks/screens_bench.py

The first paint is timed on a pseudo terminal from the start of the process to the frame that holds what is looked
for, against an empty Textual app in the same run. A tick is timed from the key to the return of the commit.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from datetime import date
from pathlib import Path

RUNS = 9
EMPTY = "from textual.app import App\nclass Empty(App): pass\nEmpty().run(mouse=False)"
DEMO = "import sys; from pathlib import Path; from tunneltui.screens.start import run; run(Path(sys.argv[1]))"


def painted_ms(command: list[str], wanted: bytes, environment: dict[str, str], linger_s: float = 0.0) -> float:
    """Milliseconds from the start to the wanted bytes; the program is ended after ``linger_s`` more."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    start = time.perf_counter()
    process = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=environment, close_fds=True)
    os.close(slave)
    seen = b""
    took = float("nan")
    while time.perf_counter() - start < 20:
        if select.select([master], [], [], 0.05)[0]:
            seen += os.read(master, 65536)
            if wanted in seen:
                took = (time.perf_counter() - start) * 1000
                break
    until = time.perf_counter() + linger_s
    while time.perf_counter() < until:
        if select.select([master], [], [], 0.05)[0]:
            os.read(master, 65536)
    process.kill()
    process.wait()
    os.close(master)
    return took


def main() -> None:
    from tunneltui.demo.make import make_demo
    from tunneltui.screens.acts import note
    from tunneltui.screens.keeper import FileKeeper

    with tempfile.TemporaryDirectory() as home:
        path = Path(home) / "demo.db"
        make_demo(path)
        environment = {**os.environ, "TUNNELTUI_HOME": home, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        demo = [sys.executable, "-c", DEMO, str(path)]
        # The first opening works the round out and keeps it; the openings that are timed paint what was kept.
        first_ms = painted_ms(demo, b"look along", environment, linger_s=1.0)
        empty, warm = [], []
        for _ in range(RUNS):
            empty.append(painted_ms([sys.executable, "-c", EMPTY], b" " * 60, environment))
            warm.append(painted_ms(demo, b"look along", environment))
        print(f"empty Textual app    {statistics.median(empty):6.0f} ms to its first frame")
        print(f"first opening        {first_ms:6.0f} ms to the round, worked out anew")
        print(f"opening again        {statistics.median(warm):6.0f} ms to the round as kept")
        print(f"ratio                {statistics.median(warm) / statistics.median(empty):6.2f}")
        keeper = FileKeeper(path)
        keeper.submit(note("W1", "the first opens the file").drafts, date(2026, 8, 20)).result()
        ticks = []
        for _ in range(50):
            start = time.perf_counter()
            keeper.submit(note("W1", "one tick").drafts, date(2026, 8, 20)).result()
            ticks.append((time.perf_counter() - start) * 1000)
        keeper.close()
        print(f"a durable tick       {statistics.median(ticks):6.1f} ms at the median, {max(ticks):.1f} at most")


if __name__ == "__main__":
    main()
