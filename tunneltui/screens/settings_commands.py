"""``tunneltui settings``: what is set, its file, its faults. Here, since keys belong to the screens."""

from __future__ import annotations

import json
import sys
from argparse import Namespace as Args

from tunneltui.holding.user_error import UserError
from tunneltui.report import command_helpers
from tunneltui.report.settings import FILE, TABLE, blank_file, chosen_in, read, with_line, written
from tunneltui.screens.actions import shown_key
from tunneltui.screens.keymap import with_keys
from tunneltui.store.folders import config_folder, private_folder
from tunneltui.store.read_edited import for_editing, read_text, text_from_editor
from tunneltui.store.write_file import write_file


def show(args: Args) -> int:
    """Every setting in force; those of the file without a mark, the usual ones behind a #."""
    settings = with_keys(read(config_folder()))
    values, keys = settings.chosen.values, settings.chosen.keys
    lines = [
        ("# " if values[setting.name] == setting.usual else "")
        + f"{written(setting.name, values[setting.name])}   # {setting.help}"
        for setting in TABLE
    ]
    lines += ["", "[keys]", *(f'"{name}" = "{key}"' for name, key in sorted(keys.items()))] if keys else []
    for fault in settings.keys.faults:
        print(fault, file=sys.stderr)
    return command_helpers.print_result(
        args, lambda: {**values, "keys": dict(sorted(keys.items()))}, lambda: "\n".join(lines) + "\n"
    )


def keys(args: Args) -> int:
    """Every action by its name in the file, with the keys it has."""
    table = with_keys(read(config_folder())).keys.actions
    lines = [
        f"{f'{action.where}.{action.id}':<26} {' '.join(map(shown_key, action.keys)):<14} {action.help}"
        for action in table
    ]
    return command_helpers.print_result(
        args,
        lambda: {f"{action.where}.{action.id}": list(action.keys) for action in table},
        lambda: "\n".join(lines) + "\n",
    )


def where(args: Args) -> int:
    file = config_folder() / FILE
    return command_helpers.print_result(
        args, lambda: {"file": str(file), "there": file.exists()}, lambda: f"{file}\n"
    )


def check(args: Args) -> int:
    """Every fault of the settings, or of a file that is named; at fault where there is one."""
    settings = with_keys(chosen_in(read_text(args.file)) if args.file else read(config_folder()))
    faults = list(settings.keys.faults)
    answer = "\n".join(faults) if faults else "Nothing is wrong with the settings."
    command_helpers.print_result(args, lambda: {"faults": faults}, lambda: f"{answer}\n")
    return command_helpers.AT_FAULT if faults else command_helpers.DONE


def set_(args: Args) -> int:
    """One setting, or the keys of one action, in the file; nothing is changed where that would be at fault.

    Raises:
        UserError: no such setting or value, or the file has faults already.
    """
    file = config_folder() / FILE
    text = read_text(file) if file.exists() else blank_file()
    setting = next((row for row in TABLE if row.name == args.name), None)
    if setting is None:
        text = with_line(text, args.name, f'"{args.name}" = {json.dumps(args.value)}', under_keys=True)
    else:
        value = args.value if setting.allowed else {"true": True, "false": False}.get(args.value, args.value)
        text = with_line(text, args.name, written(args.name, value))
    settings = with_keys(chosen_in(text))
    if settings.keys.faults:
        raise UserError(
            " ".join(settings.keys.faults), "Nothing was changed; `tunneltui settings show` lists what is set."
        )
    private_folder(file.parent)
    write_file(file, text)
    return show(args)


def edit(args: Args) -> int:
    """The file in the grower's editor; nothing is changed until it has no fault."""
    file = config_folder() / FILE
    text = read_text(file) if file.exists() else blank_file()
    draft = for_editing(text, FILE)
    while faults := with_keys(chosen_in(text := text_from_editor(draft))).keys.faults:
        print("\n".join(faults), file=sys.stderr)
        again = sys.stdin.isatty() and input("Edit it again? [Y/n] ").strip().lower() not in ("n", "no")
        if not again:
            raise UserError("The settings were not changed.", f"Your text is kept in {draft}")
    private_folder(file.parent)
    write_file(file, text)
    draft.unlink(missing_ok=True)
    return where(args)
