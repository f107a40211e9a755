"""A sentence is said once, in ``pages``; what is still said elsewhere is counted here and may only become fewer.

Error hints are no sentences of a page. Two more rules hold everywhere: no figure stands before its unit in
plain text
(``f"{x:.0f} cm"``), and no sentence is made by formatting a quantity into a string.
"""

from __future__ import annotations

import ast
import re
from collections import Counter
from pathlib import Path

import tunneltui

ROOT = Path(tunneltui.__file__).parent
ERRORS = {"UserError", "ValueError", "TypeError", "ArgumentTypeError", "NotANumber"}
LEFT = {
    "care": 38,
    "chores": 135,
    "draw": 3,
    "growth": 8,
    "holding": 15,
    "journal": 18,
    "loads": 13,
    "report": 72,
    "review": 25,
    "screens": 53,
    "season": 19,
    "store": 64,
}
"""Sentences of four words or more that are said outside ``pages``, by folder. Lower a figure when some have
moved."""
FIGURE_AND_UNIT = re.compile(r"\x00 ?(?:kg/m2|kg|cm|mm|m2|degC|litres|metres)\b(?!/)")
STATEMENT = re.compile(r"(SELECT|INSERT) ")
"""SQL is no sentence."""
TEXTS_FOR_FILES = {"holding", "demo", "store", "journal", "cli.py", "growth"}
"""What these say is TOML, an imported file's line, a journal's note or a checked value: metric as it stands
there."""


def texts(tree: ast.AST) -> list[str]:
    """Text with blanks (as a zero byte) that is no docstring and no error's hint."""
    hints = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise)
        or (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ERRORS)
        for inner in ast.walk(node)
    }
    found = []
    for node in ast.walk(tree):
        if id(node) in hints:
            continue
        if isinstance(node, ast.JoinedStr) and not STATEMENT.match(str(getattr(node.values[0], "value", ""))):
            found.append("".join(str(p.value) if isinstance(p, ast.Constant) else "\x00" for p in node.values))
        elif (
            isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "say" and node.args
        ):
            template = node.args[0]
            if isinstance(template, ast.Constant):
                found.append(str(template.value).replace("{}", "\x01"))
    return found


def folder_of(file: Path) -> str:
    return file.relative_to(ROOT).parts[0]


def test_sentences_outside_pages_become_fewer() -> None:
    said: Counter[str] = Counter()
    for file in ROOT.rglob("*.py"):
        if folder_of(file) not in ("pages", "demo", "cli.py"):
            told = texts(ast.parse(file.read_text("utf-8")))
            said[folder_of(file)] += sum(len(re.findall(r"[a-z]{2,}", text)) >= 4 for text in told)
    assert {name: count for name, count in said.items() if count > LEFT.get(name, 0)} == {}


def test_no_figure_stands_before_its_unit_in_plain_text() -> None:
    """Only a cell follows the grower's units."""
    found = [
        (str(file.relative_to(ROOT)), text.replace("\x00", "{}"))
        for file in ROOT.rglob("*.py")
        if folder_of(file) not in TEXTS_FOR_FILES
        for text in texts(ast.parse(file.read_text("utf-8")))
        if FIGURE_AND_UNIT.search(text)
    ]
    assert found == []
