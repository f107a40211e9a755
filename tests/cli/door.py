"""Runs the program as a grower's shell does: a process of its own, with folders of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.cli.ready import ready
from tests.screens.made_demo import made_demo

NO_TERMINAL = {"TERM": "dumb", "PYTHONIOENCODING": "", "TZ": "UTC"}


@dataclass(frozen=True)
class Door:
    """The program with its own home, and a journal that every command gets unless ``at`` says otherwise."""

    home: Path
    at: Path | None = None

    def __call__(self, *words: str, stdin: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
        own = [*(("--at", str(self.at)) if self.at else ()), *words]
        command = [sys.executable, "-m", "tunneltui", *own]
        env = os.environ | NO_TERMINAL | {"TUNNELTUI_HOME": str(self.home)} | environment
        forking = ready(made_demo())
        if forking is not None and forking.takes(env, stdin):
            return subprocess.CompletedProcess(command, *forking.run(own, env, stdin, 120))
        return subprocess.run(
            command, input=stdin, capture_output=True, encoding="utf-8", env=env, timeout=120, check=False
        )

    def says(self, *words: str, **environment: str) -> str:
        """Standard output of a command that must succeed."""
        done = self(*words, **environment)
        assert (done.returncode, done.stderr) == (0, ""), done.stderr
        return done.stdout

    def json(self, *words: str) -> Any:
        return json.loads(self.says(*words, "--json"))

    def refuses(self, *words: str, **environment: str) -> str:
        """The sentence of a command that the data is at fault for: exit 1, no traceback, nothing on stdout,
        and the journal as it was, byte for byte."""
        before = self.at.read_bytes() if self.at and self.at.is_file() else None
        done = self(*words, **environment)
        assert done.returncode == 1, (done.returncode, done.stdout, done.stderr)
        assert "Traceback" not in done.stderr
        assert done.stderr.strip()
        after = self.at.read_bytes() if self.at and self.at.is_file() else None
        assert after == before
        return done.stderr
