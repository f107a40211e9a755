"""Where this machine keeps the grower's files, and the name it signs entries with.

``TUNNELTUI_HOME`` puts all of them below one folder instead (tests, a stick, two growers on one account).
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

import platformdirs

_APP = "tunneltui"
HOME_VARIABLE = "TUNNELTUI_HOME"
PRIVATE_FOLDER = 0o700
PRIVATE_FILE = 0o600


def data_folder() -> Path:
    """Journals and their backups."""
    return _below_home("data") or platformdirs.user_data_path(_APP, appauthor=False)


def state_folder() -> Path:
    """What this machine last saw of each journal, and its device name."""
    return _below_home("state") or platformdirs.user_state_path(_APP, appauthor=False)


def cache_folder() -> Path:
    """What may be thrown away at any time."""
    return _below_home("cache") or platformdirs.user_cache_path(_APP, appauthor=False)


def config_folder() -> Path:
    """The grower's settings."""
    return _below_home("config") or platformdirs.user_config_path(_APP, appauthor=False)


def default_journal() -> Path:
    """The grower's own journal."""
    return data_folder() / "journal.db"


def demo_journal() -> Path:
    """The demo's journal; never the grower's."""
    return data_folder() / "demo.db"


def private_folder(folder: Path) -> Path:
    """The folder and those above it, made where absent, for this user only. Those that were there keep their
    rights."""
    if not folder.is_dir():
        private_folder(folder.parent)
        folder.mkdir(mode=PRIVATE_FOLDER, exist_ok=True)
    return folder


def device_id(state: Path | None = None) -> str:
    """This machine's name in entries: 12 random hex digits, made once and kept in the state folder.

    Where the state folder cannot be written the name lasts for this process only; order is by time and id, so
    nothing is lost by that.
    """
    folder = state or state_folder()
    file = folder / "device"
    with suppress(OSError):
        private_folder(folder)
        if name := _read_device(file):
            return name
        new_name = os.urandom(6).hex()
        spare = folder / f".device-{new_name}"
        _write_new(spare, new_name)
        try:
            os.link(spare, file)
        except FileExistsError:
            pass  # another process of ours came first: its name counts
        except OSError:
            spare.replace(file)
        finally:
            spare.unlink(missing_ok=True)
        return _read_device(file) or new_name
    return _nameless()


def _read_device(file: Path) -> str:
    with suppress(OSError, UnicodeDecodeError):
        name = file.read_text(encoding="ascii").strip()
        if name.isalnum() and len(name) <= 40:
            return name
    return ""


def _write_new(file: Path, text: str) -> None:
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
    with os.fdopen(handle, "w", encoding="ascii") as out:
        out.write(text + "\n")


_process_name = ""


def _nameless() -> str:
    global _process_name
    _process_name = _process_name or os.urandom(6).hex()
    return _process_name


def _below_home(name: str) -> Path | None:
    home = os.environ.get(HOME_VARIABLE)
    return Path(home) / name if home else None
