"""A PostgreSQL server of the tests' own: made from the system's package, on a socket in a temp folder, no network.

``initdb`` refuses root, so root runs it as another user of the machine. Roles: ``owner`` makes databases and
tables; ``asked`` must give a password, so that the ways a password may come can be tried.
"""

from __future__ import annotations

import io
import os
import pwd
import re
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout, suppress
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import pytest

from tests.cli.door import NO_TERMINAL, Door
from tunneltui.cli import main
from tunneltui.store.where import SharedAt

PASSWORD = "the-pass-word-7391"  # noqa: S105  (of a server that lives as long as the test)
_HBA = "local all asked scram-sha-256\nlocal all all trust\n"
_DEBIAN = Path("/usr/lib/postgresql")


def programs() -> Path | None:
    """The folder of ``initdb`` and ``postgres``, of the newest version there is; None where there is none."""
    on_path = shutil.which("initdb")
    if on_path:
        return Path(on_path).resolve().parent
    found = [one.parent for one in _DEBIAN.glob("*/bin/initdb")]
    return max(found, key=lambda one: int(re.sub(r"\D", "", one.parent.name) or 0), default=None)


def why_not() -> str:
    """Why no server can be started here; '' where one can."""
    if programs() is None:
        return "PostgreSQL's server is not installed on this machine"
    if os.geteuid() == 0 and not _another_user():
        return "initdb refuses root, and there is no other user to run it as"
    return ""


def _another_user() -> str:
    names = [user.pw_name for user in pwd.getpwall()]
    return next((name for name in ("postgres", "nobody") if name in names), "")


@dataclass(frozen=True)
class NearDoor(Door):
    """The program as its commands are typed, in this process: many are asked here, and starting one costs a
    second."""

    def __call__(self, *words: str, stdin: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
        out, err = io.StringIO(), io.StringIO()
        command = [*(("--at", str(self.at)) if self.at else ()), *words]
        with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
            for name, value in (NO_TERMINAL | {"TUNNELTUI_HOME": str(self.home)} | environment).items():
                patch.setenv(name, value)
            patch.setattr("sys.stdin", io.StringIO(stdin))
            try:
                status = main(command)
            except SystemExit as stop:  # argparse
                status = int(stop.code or 0)
        return subprocess.CompletedProcess(command, status, out.getvalue(), err.getvalue())


@dataclass(frozen=True)
class ServerDoor(NearDoor):
    """The same, on a journal of a server."""

    address: SharedAt = field(kw_only=True)

    def __call__(self, *words: str, stdin: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
        return super().__call__("--at", str(self.address), *words, stdin=stdin, **environment)


class PrivateServer:
    """A running server. ``stop`` it at the end; ``kill`` and ``start`` as often as wanted."""

    def __init__(self) -> None:
        # Not below the tests' own folder: only its owner may walk through that, and sockets have short names.
        self.folder = Path(tempfile.mkdtemp(prefix="tunneltui-pg-"))
        self.folder.chmod(0o755)
        self._data = self.folder / "data"
        self._numbers = count(1)
        self._user = _another_user() if os.geteuid() == 0 else ""
        if self._user:
            shutil.chown(self.folder, self._user)
        made = programs()
        assert made is not None
        self._programs = made
        self._run("initdb", "-D", str(self._data), "-U", "owner", "-A", "trust", "-E", "UTF8", "--no-locale", "-N")
        self._write("pg_hba.conf", _HBA)
        # Killed processes are stopped, not the machine: what they wrote is in the system's hands without fsync.
        self._write("postgresql.auto.conf", "fsync = off\n")
        self.start()
        self.sql(f"CREATE ROLE asked LOGIN PASSWORD '{PASSWORD}' CREATEDB")

    def start(self) -> None:
        options = f"-k {self.folder} -c listen_addresses='' -c shared_buffers=32MB"
        log = str(self.folder / "log")
        self._run("pg_ctl", "-D", str(self._data), "-s", "-w", "-t", "60", "-l", log, "-o", options, "start")

    def kill(self) -> None:
        """Ends the server at once, as a power cut would; returns when its last process is gone."""
        main, *children = self._processes()
        self._signal(signal.SIGKILL)
        while any(_is_alive(process) for process in (main, *children)):
            time.sleep(0.01)
        # Where nobody buries the dead, the number in these looks like that of a running server.
        (self._data / "postmaster.pid").unlink()
        (self.folder / ".s.PGSQL.5432.lock").unlink()

    @contextmanager
    def frozen(self) -> Iterator[None]:
        """Meanwhile nothing of it runs: every connection stays open and none answers."""
        self._signal(signal.SIGSTOP)
        try:
            yield
        finally:
            self._signal(signal.SIGCONT)

    def _processes(self) -> list[int]:
        main = int((self._data / "postmaster.pid").read_text().splitlines()[0])
        return [main, *_children(main)]

    def _signal(self, number: signal.Signals) -> None:
        for process in self._processes():
            with suppress(ProcessLookupError):
                os.kill(process, number)

    @contextmanager
    def durable(self) -> Iterator[None]:
        """Meanwhile every commit reaches the disk, as on a server of a season."""
        self._set_fsync("on")
        try:
            yield
        finally:
            self._set_fsync("off")

    def _set_fsync(self, to: str) -> None:
        self.sql(f"ALTER SYSTEM SET fsync = {to}")
        self.sql("SELECT pg_reload_conf()")
        while self.sql("SHOW fsync") != [(to,)]:
            time.sleep(0.01)

    def stop(self) -> None:
        with suppress(subprocess.CalledProcessError):
            self._run("pg_ctl", "-D", str(self._data), "-s", "-m", "immediate", "-w", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)

    def at(self, database: str, user: str = "owner") -> SharedAt:
        return SharedAt(f"postgresql://{user}@/{database}?host={self.folder}")

    def new(self, user: str = "owner") -> SharedAt:
        """The address of a new, empty database, for its owner ``user``."""
        name = f"season_{next(self._numbers)}"
        self.sql(f"CREATE DATABASE {name} OWNER {user}")
        return self.at(name, user)

    def database(self, at: SharedAt) -> str:
        """The name in an address that ``at`` or ``new`` gave."""
        return at.url.partition("@/")[2].partition("?")[0]

    def sql(self, statement: str, database: str = "postgres") -> list[tuple[object, ...]]:
        import psycopg

        with psycopg.connect(self.at(database).url, autocommit=True) as connection:
            ran = connection.execute(statement)
            return ran.fetchall() if ran.description else []

    def _write(self, name: str, text: str) -> None:
        (self._data / name).write_text(text)

    def _run(self, program: str, *words: str) -> None:
        command = [str(self._programs / program), *words]
        if self._user:
            command = ["runuser", "-u", self._user, "--", *command]
        environment = {name: value for name, value in os.environ.items() if not name.startswith("PG")}
        # Not through pipes: the server that pg_ctl starts would hold them open.
        with (self.folder / "out").open("ab") as out:
            subprocess.run(command, check=True, stdout=out, stderr=out, cwd="/", env=environment, timeout=120)


def _children(process: int) -> list[int]:
    ran = subprocess.run(["ps", "-o", "pid=", "--ppid", str(process)], capture_output=True, text=True, check=False)
    return [int(word) for word in ran.stdout.split()]


def _is_alive(process: int) -> bool:
    """Still running; what waits to be buried does no more."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"
