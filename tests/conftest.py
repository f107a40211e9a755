"""What all tests share."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from tunneltui import cells
from tunneltui.cells import IMPERIAL, Sentence, localized
from tunneltui.store.folders import HOME_VARIABLE

_HOMES = count()
PROGRAM = str(Path(cells.__file__).parent) + os.sep

# Programs that tests start find their byte code: without it each compiles itself anew, which takes two seconds.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


@pytest.fixture(autouse=True)
def home(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """Every test has data, state, cache and settings folders of its own; it leaves the grower's alone. Tests
    that ask for no folder have none made: those of earlier runs take half a minute to clear."""
    if "tmp_path" in request.fixturenames:
        folder: Path = request.getfixturevalue("tmp_path") / "home"
    else:
        folder = tmp_path_factory.getbasetemp() / f"home-{next(_HOMES)}"
    monkeypatch.setenv(HOME_VARIABLE, str(folder))
    return folder


def pytest_xdist_auto_num_workers() -> int:
    """One worker more than processors: tests of screens wait half their time for the screen to come to rest."""
    return (os.cpu_count() or 1) + 1


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Figures that a test measured (``record_property("tells", text)``) are printed, also where it passed."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "tells":
                terminalreporter.section(report.nodeid)
                terminalreporter.write_line(value)


@pytest.fixture(autouse=True)
def no_fault_goes_unheard(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """What the program logs where it must go on for the grower's sake fails the test."""
    yield
    faults = [record for record in caplog.get_records("call") if record.exc_info is not None]
    assert not faults, "\n".join(logging.Formatter().formatException(f.exc_info) for f in faults if f.exc_info)


def _forgetting(name: str, forgotten: list[str]) -> Callable[..., Any]:
    """The method of ``str``, which notes each call by the program that made plain text of a quantity."""

    def method(sentence: Sentence, *args: Any) -> Any:
        code, line = sys._getframe(1).f_code, sys._getframe(1).f_lineno
        result = getattr(str, name)(sentence, *args)
        if (
            code.co_filename.startswith(PROGRAM)
            and result != str(sentence)
            and localized(sentence, IMPERIAL) != str(sentence)
        ):
            forgotten.append(f"{code.co_filename}:{line} forgets the units of {str(sentence)!r} by {name}")
        return result

    return method


@pytest.fixture(autouse=True)
def no_quantity_is_forgotten(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """An f-string or a method of ``str`` makes plain text of a sentence: its quantities would stay metric whatever
    the grower reads."""
    forgotten: list[str] = []

    def format_sentence(sentence: Sentence, spec: str) -> str:
        if localized(sentence, IMPERIAL) != str(sentence):
            frame = sys._getframe(1)
            forgotten.append(f"{frame.f_code.co_filename}:{frame.f_lineno} forgets the units of {str(sentence)!r}")
        return format(str(sentence), spec)

    monkeypatch.setattr(Sentence, "__format__", format_sentence)
    for name in (
        "capitalize",
        "lower",
        "partition",
        "removeprefix",
        "replace",
        "rpartition",
        "rstrip",
        "split",
        "strip",
    ):
        monkeypatch.setattr(Sentence, name, _forgetting(name, forgotten), raising=False)
    yield
    assert not forgotten, "\n".join(dict.fromkeys(forgotten))
