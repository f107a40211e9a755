"""Building the fault layer, running a program under it, and speaking to it from inside that program."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).parents[2]
SORTS = {"write": 0, "sync": 1, "unlink": 2}


def build(folder: Path) -> Path:
    """The compiled layer; skips the test where it cannot be built or loaded."""
    compiler = shutil.which("gcc") or shutil.which("cc")
    if sys.platform != "linux" or compiler is None:
        pytest.skip("the fault layer needs Linux and a C compiler")
    library = folder / "fault_layer.so"
    source = Path(__file__).with_name("fault_layer.c")
    subprocess.run([compiler, "-O1", "-shared", "-fPIC", "-o", library, source, "-ldl"], check=True)
    return library


def run(module: str, *arguments: str, layer: Path | None = None, home: Path) -> str:
    """What a child process printed; its own failure fails the test."""
    done = subprocess.run(
        [sys.executable, "-m", module, *arguments],
        env=environment(home, layer),
        cwd=REPOSITORY,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def environment(home: Path, layer: Path | None = None) -> dict[str, str]:
    env = {**os.environ, "TUNNELTUI_HOME": str(home)}
    return {**env, "LD_PRELOAD": str(layer)} if layer else env


class Disk:
    """The fault layer as seen from a program that runs under it."""

    def __init__(self, watched: Path) -> None:
        self._layer = ctypes.CDLL(None)
        self._layer.fault_watch(str(watched).encode())

    def fail(self, sort: str, at: int, *, for_good: bool, error: int) -> None:
        self._layer.fault_arm(SORTS[sort], ctypes.c_long(at), int(for_good), error)

    def heal(self) -> bool:
        """Whether a call did fail."""
        return bool(self._layer.fault_disarm())

    def record(self, log: Path) -> None:
        self._layer.fault_record(os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600))

    def mark(self, number: int) -> None:
        self._layer.fault_mark(ctypes.c_int64(number))
