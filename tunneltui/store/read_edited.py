"""Text as the grower leaves it in an editor of their own."""

from __future__ import annotations

import os
import secrets
import shlex
import subprocess
from collections.abc import Mapping
from pathlib import Path

from tunneltui.holding.user_error import UserError
from tunneltui.store.folders import PRIVATE_FILE, private_folder, state_folder

_USUAL_EDITOR = "notepad" if os.name == "nt" else "vi"


def text_from_editor(file: Path) -> str:
    """Opens the editor (VISUAL, EDITOR, else the system's) on a file and gives its text afterwards.

    Raises:
        UserError: the editor cannot be started or ends with a fault; the file is left where it is.
    """
    command = _editor(os.environ)
    try:
        done = subprocess.run([*command, str(file)], check=False)  # noqa: S603 - the grower's own editor
    except OSError as fault:
        say = f"The editor {command[0]!r} cannot be started: {fault.strerror}."
        raise UserError(
            say, "Set EDITOR to the editor you use, such as EDITOR=nano. Nothing was changed."
        ) from fault
    if done.returncode:
        raise UserError(f"The editor ended with {done.returncode}.", "Nothing was changed.")
    return read_text(file)


def _editor(environment: Mapping[str, str]) -> list[str]:
    command_line = environment.get("VISUAL") or environment.get("EDITOR") or _USUAL_EDITOR
    try:
        return shlex.split(command_line, posix=os.name != "nt") or [_USUAL_EDITOR]
    except ValueError as fault:
        raise UserError(
            f"EDITOR is {command_line!r}, which is no command: {fault}.", "Nothing was changed."
        ) from fault


def for_editing(text: str, name: str) -> Path:
    """A private file with the text, to be edited; it stays until it is taken away, so that no typing is lost."""
    folder = private_folder(state_folder())
    file = folder / f"{Path(name).stem}-{secrets.token_hex(3)}{Path(name).suffix}"
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, PRIVATE_FILE)
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
        out.write(text)
    return file


def read_text(file: Path) -> str:
    """A text file as UTF-8.

    Raises:
        UserError: it is not there, cannot be read, or is in another encoding.
    """
    try:
        return file.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise UserError(f"There is no file {file}.") from None
    except OSError as fault:
        raise UserError(f"{file} cannot be read: {fault.strerror}.") from fault
    except UnicodeDecodeError as fault:
        raise UserError(f"{file} is not UTF-8: byte {fault.start} is wrong.", "Save it as UTF-8.") from fault
