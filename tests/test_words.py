"""Words that reach an eye follow one rule each, wherever they are written."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import tunneltui
from tunneltui.cells import bed_words, many

FILES = sorted(Path(tunneltui.__file__).parent.rglob("*.py"))


def texts(file: Path) -> list[str]:
    """The source of every text of a module that is no docstring."""
    source = file.read_bytes()
    tree = ast.parse(source)
    lines = source.split(b"\n")
    docstrings = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    return [
        _source(lines, node)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant | ast.JoinedStr) and id(node) not in docstrings
    ]


def _source(lines: list[bytes], node: ast.expr) -> str:
    """As ``ast.get_source_segment``, which splits the whole source anew for every node: over a minute for all."""
    written = lines[node.lineno - 1 : node.end_lineno]
    written[-1] = written[-1][: node.end_col_offset]
    written[0] = written[0][node.col_offset :]
    return b"\n".join(written).decode()


def test_percent_stands_beside_its_figure() -> None:
    """93%, never 93 %."""
    apart = [(file.name, text) for file in FILES for text in texts(file) if re.search(r"[0-9}] %(?![(\w])", text)]
    assert apart == []


@pytest.mark.parametrize(
    ("bed", "words"),
    [("W bed", "W bed"), ("north", "bed north"), ("Bed 3", "Bed 3"), ("raised beds", "raised beds")],
)
def test_a_bed_is_called_one_once(bed: str, words: str) -> None:
    assert bed_words(bed) == words


def test_one_is_no_more_than_one() -> None:
    assert (many(1, "day"), many(2, "day"), many(1, "truss", "trusses")) == ("1 day", "2 days", "1 truss")
