"""A sentence is said once, in ``pages``; one said elsewhere is listed here.

Listed is text with blanks, an f-string or the template of ``say``, of four words or more. No sentences are:

- error hints: what stands in a ``raise`` or in a call of ``ERRORS`` (``Fault``: told with others, not raised), and
  text that goes nowhere else, however it gets there (``error_hints``). What a value of ``FAULTS_OF_FILES`` says is
  an error of a file: a row or an entry that cannot count, keys that disagree.
- a chore's own words. A chore is one file (DEVELOPERS.md, "How to add"): what it asks, why, its answers, cautions
  and notes are cells of the ``Chore``, said in its rule in ``chores`` or its advice in ``care``; pages show them.
  What goes anywhere else is a sentence there too.
- markup, SQL and regular expressions. Tags are left out before words are counted, so that what stands between them
  still counts; SQL begins with one of its words in capitals; a pattern is what is given to ``re``.

Two more rules: no figure stands before its unit in plain text (``f"{x:.0f} cm"``), and where the facts are
(``DOMAIN``) no f-string makes words for the grower, since it forgets the cells of what is put into it. Whatever a
test runs is watched for the same (``no_quantity_is_forgotten`` in ``conftest.py``).
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import tunneltui
from tests.error_hints import ErrorHints, SourcesRead

ROOT = Path(tunneltui.__file__).parent
ERRORS = {"UserError", "ValueError", "TypeError", "ArgumentTypeError", "NotANumber", "Fault"}
FAULTS_OF_FILES = {"RefusedRow", "RowAside", "SetAside", "Disagreement"}
FILED = {"fault", "faults", "notes"}
"""Arguments: what is wrong, and the notes that are written into a holding's file."""
OF_A_CHORE = {"make_chore", "PlannedPiece", "Choice", "Advice", "Disease", "Note"}
CHORE_SAYS = {"proposal", "what", "why", "waiting", "cautions", "limited_by", "mind"}
RULES = ("chores", "care")
DOMAIN = ("chores", "care", "loads", "growth", "review")
IDS = {"id", "chore"}
"""Arguments that name a thing for the program; they are not read."""
FIGURE_AND_UNIT = re.compile(r"\x00 ?(?:kg/m2|kg|cm|mm|m2|degC|litres|metres)\b(?!/)")
SQL = re.compile(r"(?:\x00 )?(?:SELECT|INSERT|UPDATE|DELETE|WHERE|CREATE|SET|GRANT|CHECK)\b")
TAG = re.compile(r"<[^<>]*>")
TEXTS_FOR_FILES = {"holding", "demo", "store", "journal", "cli.py", "growth"}
"""What these say is TOML, an imported file's line, a journal's note or a checked value: metric as it stands
there."""


def folder_of(file: Path) -> str:
    return file.relative_to(ROOT).parts[0]


@cache
def hints() -> ErrorHints:
    return ErrorHints(sources(), ERRORS | FAULTS_OF_FILES, FILED)


@cache
def hints_and_chores() -> ErrorHints:
    return ErrorHints(sources(), ERRORS | FAULTS_OF_FILES | OF_A_CHORE, FILED | CHORE_SAYS)


@cache
def sources() -> SourcesRead:
    return SourcesRead({file: file.read_text("utf-8") for file in sorted(ROOT.rglob("*.py"))})


def texts(of: ErrorHints, file: Path) -> Iterator[tuple[int, str]]:
    """Line and text with blanks (as a zero byte) that is no docstring, pattern, statement or error's hint."""
    patterns = {
        argument
        for node in of.nodes[file]
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and ast.unparse(node.func.value) == "re"
        for argument in ast.walk(node)
    }
    for node in of.nodes[file]:
        match node:
            case ast.JoinedStr(values=values):
                parts = [str(part.value) if isinstance(part, ast.Constant) else "\x00" for part in values]
            case ast.Call(func=ast.Name(id="say"), args=[ast.Constant(value=str(template)), *_]):
                parts = [template.replace("{}", "\x01")]
            case _:
                continue
        text = TAG.sub(" ", "".join(parts))
        if node not in patterns and not SQL.match(text) and not of.is_hint(node):
            yield node.lineno, text


def sentences(of: ErrorHints, file: Path) -> list[tuple[int, str]]:
    return [(line, text) for line, text in texts(of, file) if len(re.findall(r"[a-z]{2,}", text)) >= 4]


def test_no_sentence_is_said_outside_pages() -> None:
    said = [
        f"{file.relative_to(ROOT)}:{line} {text!r}"
        for file in hints().nodes
        if folder_of(file) not in ("pages", "demo", "cli.py")
        for line, text in sentences(hints_and_chores() if folder_of(file) in RULES else hints(), file)
    ]
    assert said == []


def test_no_figure_stands_before_its_unit_in_plain_text() -> None:
    """Only a cell follows the grower's units."""
    found = [
        (f"{file.relative_to(ROOT)}:{line}", text.replace("\x00", "{}"))
        for file in hints().nodes
        if folder_of(file) not in TEXTS_FOR_FILES
        for line, text in texts(hints(), file)
        if FIGURE_AND_UNIT.search(text)
    ]
    assert found == []


def test_no_f_string_makes_words_for_the_grower() -> None:
    ids = {
        keyword.value
        for nodes in hints().nodes.values()
        for node in nodes
        if isinstance(node, ast.Call)
        for keyword in node.keywords
        if keyword.arg in IDS
    }
    said = []
    for file, nodes in hints().nodes.items():
        for node in nodes if folder_of(file) in DOMAIN else ():
            if isinstance(node, ast.JoinedStr) and node not in ids and not hints().is_hint(node):
                text = " ".join(str(part.value) for part in node.values if isinstance(part, ast.Constant))
                if len(re.findall(r"[a-z]{2,}", text)) >= 2:
                    said.append(f"{file.relative_to(ROOT)}:{node.lineno} {ast.unparse(node)}")
    assert said == []


EXAMPLE = """
def raised(name):
    fault = f"{name} is in an error alone"
    if fault:
        raise UserError(fault, _hint(name))

def _hint(name):
    return f"{name} is given back to errors alone"

def listed(names):
    faults = [f"{name} is in a list of faults" for name in names]
    faults.append(_also(names[0]))
    raise _error(faults)

def _error(faults):
    return UserError("; ".join(fault for fault in faults))

def _also(name):
    return f"{name} is one of them too"

def shown(name):
    told = f"{name} is raised and also printed"
    print(told)
    raise UserError(told)

def passed_on(name):
    return f"{name} is given to nobody here"
"""


@pytest.mark.parametrize(
    ("words", "is_hint"),
    [
        ("is in an error alone", True),
        ("is given back to errors alone", True),
        ("is in a list of faults", True),
        ("is one of them too", True),
        ("is raised and also printed", False),
        ("is given to nobody here", False),
    ],
)
def test_a_hint_is_text_that_goes_into_errors_only(words: str, is_hint: bool) -> None:
    file = Path("example.py")
    told = [text for _, text in texts(ErrorHints(SourcesRead({file: EXAMPLE}), ERRORS), file) if words in text]
    assert told == ([] if is_hint else [f"\x00 {words}"])
