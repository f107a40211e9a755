"""The program, started once and forked at every command: a process of its own each, without the imports, a third
of a second, and with the demo planned already. Where the environment differs, or there is no fork, a command is
started as a shell does (``door.py``)."""

from __future__ import annotations

import atexit
import gc
import json
import os
import pkgutil
import runpy
import selectors
import signal
import socket
import subprocess
import sys
import threading
import traceback
from contextlib import suppress
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

_SAME = ("PYTEST_CURRENT_TEST", "TUNNELTUI_HOME")
"""What may differ from one command to the next without the interpreter starting otherwise."""
_PIPE_HOLDS = 60_000


class Ready:
    """The other end: a process that has imported the program and forks itself for each command."""

    def __init__(self, env: dict[str, str], demo: Path) -> None:
        self._env = _compared(env)
        self._ours, theirs = socket.socketpair()
        command = [sys.executable, "-m", "tests.cli.ready", str(theirs.fileno()), str(demo)]
        self._process = subprocess.Popen(
            command,
            env=env,
            pass_fds=[theirs.fileno()],
            # Pipes, as those that each command gets: how a stream is written goes by what it was opened on.
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            cwd=Path(__file__).parents[2],
        )
        theirs.close()
        self._turn = threading.Lock()
        atexit.register(self.stop)

    def stop(self) -> None:
        self._ours.close()
        self._process.communicate()

    def takes(self, env: dict[str, str], stdin: str) -> bool:
        return _compared(env) == self._env and len(stdin.encode()) < _PIPE_HOLDS

    def run(self, words: list[str], env: dict[str, str], stdin: str, seconds: float) -> tuple[int, str, str]:
        """Exit status, standard output and standard error."""
        pipes = [os.pipe() for _ in range(4)]
        (asked, typed), *told = pipes
        os.write(typed, stdin.encode())
        os.close(typed)
        theirs = [asked, *(end for _, end in told)]
        with self._turn:
            request = json.dumps({"words": words, "env": env, "cwd": os.getcwd()}).encode()
            socket.send_fds(self._ours, [len(request).to_bytes(4, "big")], theirs)
            self._ours.sendall(request)
        for end in theirs:
            os.close(end)
        out, err, ended = _read_all([end for end, _ in told], seconds, words)
        if not ended:
            raise RuntimeError(self._process.communicate(timeout=seconds)[1].decode())
        status = int(ended.split()[-1])
        return status, _as_text(out), _as_text(err)


def _compared(env: dict[str, str]) -> dict[str, str]:
    return {name: value for name, value in env.items() if name not in _SAME}


def _as_text(read: bytes) -> str:
    return read.decode("utf-8").replace("\r\n", "\n").replace("\r", "\n")


def _read_all(ends: list[int], seconds: float, words: list[str]) -> list[bytes]:
    """What comes out of each until all are closed."""
    read = {end: bytearray() for end in ends}
    with selectors.DefaultSelector() as waiting:
        for end in ends:
            waiting.register(end, selectors.EVENT_READ)
        while waiting.get_map():
            ready = waiting.select(seconds)
            if not ready:
                os.kill(int(read[ends[-1]].split()[0]), signal.SIGKILL)
                raise subprocess.TimeoutExpired(words, seconds)
            for key, _ in ready:
                if part := os.read(key.fd, 1 << 16):
                    read[key.fd] += part
                else:
                    waiting.unregister(key.fd)
                    os.close(key.fd)
    return [bytes(part) for part in read.values()]


def _serve(asked: socket.socket) -> dict[str, Any] | None:
    """Forks for each command. Returns what to run in the fork, None where the tests are at their end."""
    while True:
        length, ends, *_ = socket.recv_fds(asked, 4, 4)
        if not length:
            return None
        left, request = int.from_bytes(length, "big"), b""
        while len(request) < left:
            request += asked.recv(left - len(request))
        # The child waits for the grandchild, which is the command, and tells how it ended.
        if os.fork():
            for end in ends:
                os.close(end)
            _bury()
            continue
        asked.close()
        if not (command := os.fork()):
            for end, standard in zip(ends, (0, 1, 2), strict=False):
                os.dup2(end, standard)
            for end in ends:
                os.close(end)
            told: dict[str, Any] = json.loads(request)
            return told
        for end in ends[:3]:
            os.close(end)
        os.write(ends[3], f"{command}\n".encode())
        _, status = os.waitpid(command, 0)
        os.write(ends[3], f"{os.waitstatus_to_exitcode(status)}\n".encode())
        os._exit(0)


def _bury() -> None:
    """Children that have told how their command ended."""
    with suppress(ChildProcessError):
        while os.waitpid(-1, os.WNOHANG)[0]:
            pass


def _run(told: dict[str, Any]) -> int:
    """The command as ``python -m tunneltui`` runs it; its exit status."""
    os.environ.clear()
    os.environ.update(told["env"])
    os.chdir(told["cwd"])
    sys.argv = ["tunneltui", *told["words"]]
    try:
        runpy.run_module("tunneltui", run_name="__main__", alter_sys=True)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else int(stop.code is not None)
    except BaseException:
        traceback.print_exc()
        return 1
    return 0


def _leave(status: int) -> None:
    """What the interpreter does at its end, but for taking every value apart."""
    threading._shutdown()  # type: ignore[attr-defined]
    atexit._run_exitfuncs()
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            status = 120
    os._exit(status)


def _all_imported(demo: Path) -> None:
    """All of the program but its screens, and the demo's plan."""
    import tunneltui
    from tests.screens.made_demo import planned
    from tunneltui import memo

    for module in pkgutil.walk_packages(tunneltui.__path__, "tunneltui."):
        if not module.name.startswith(("tunneltui.screens", "tunneltui.__main__")):
            import_module(module.name)
    memo.NO_MEMO = planned(demo)
    gc.collect()
    gc.freeze()


@cache
def ready(demo: Path) -> Ready | None:
    """One a worker; None where it cannot be had."""
    from tests.cli.door import NO_TERMINAL

    return Ready(dict(os.environ | NO_TERMINAL), demo) if hasattr(os, "fork") else None


if __name__ == "__main__":
    number, demo = sys.argv[1:]
    _all_imported(Path(demo))
    with socket.socket(fileno=int(number)) as asked:
        told = _serve(asked)
    if told is not None:
        _leave(_run(told))
