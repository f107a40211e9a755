"""Lines of keys in TOML text, against what ``tomllib`` reads: every key it finds has its line."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from tunneltui.holding.lines import Path, key_lines, nearest_line

TEXT = '''\
name = "a # no comment"   # a comment
"quoted \\u0041key" = 1
a.b.'c d' = [1, 2,   # two
  [3, "]"],
]
long = """
[not.a.table]
x = 1"""
raw = \'\'\'
y = 2\'\'\'
[work]
minutes = 3
[[tunnels]]
key = "W"
[[tunnels.rows]]
number = 1
strings = [
  { number = 1, x_m = 0.5 },
  { number = 2, x_m = 1.0, more = { deep = 1 } },
]
[[tunnels.rows]]
number = 2
[tunnels.rows.extra]
z = 1979-05-27T07:32:00Z
[[tunnels]]
[[tunnels.rows]]
number = 9
'''


def test_every_kind_of_key_and_element_has_its_line() -> None:
    lines = key_lines(TEXT)
    expected: dict[Path, int] = {
        ("name",): 1,
        ("quoted Akey",): 2,
        ("a", "b", "c d"): 3,
        ("a", "b", "c d", 1): 3,
        ("a", "b", "c d", 2, 0): 4,
        ("long",): 6,
        ("raw",): 9,
        ("work", "minutes"): 12,
        ("tunnels",): 13,
        ("tunnels", 0, "key"): 14,
        ("tunnels", 0, "rows", 0): 15,
        ("tunnels", 0, "rows", 0, "strings", 0, "x_m"): 18,
        ("tunnels", 0, "rows", 0, "strings", 1, "more", "deep"): 19,
        ("tunnels", 0, "rows", 1, "number"): 22,
        ("tunnels", 0, "rows", 1, "extra", "z"): 24,
        ("tunnels", 1, "rows", 0, "number"): 27,
    }
    assert {path: lines.get(path) for path in expected} == expected


def test_what_is_not_written_has_the_line_of_what_is_around_it() -> None:
    lines = key_lines(TEXT)
    assert nearest_line(lines, ("tunnels", 1, "rows", 0, "wire_height_m")) == 26
    assert nearest_line(lines, ("nowhere",)) == 1


def paths(value: Any, at: Path = ()) -> Iterator[Path]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield (*at, key)
        yield from paths(item, (*at, key))


words = st.text(st.characters(codec="utf-8"), max_size=6)
tables = st.recursive(
    st.integers() | st.booleans() | st.floats(allow_nan=False) | words | st.dates() | st.datetimes(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(words, inner, max_size=3),
    max_leaves=12,
)


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(words, tables, max_size=4), st.booleans())
def test_every_key_that_tomllib_reads_has_a_line_that_exists(table: dict[str, Any], multiline: bool) -> None:
    text = tomli_w.dumps(table, multiline_strings=multiline)
    lines = key_lines(text)
    assert set(lines) >= set(paths(tomllib.loads(text)))
    last = text.count("\n") + 1
    assert all(1 <= line <= last for line in lines.values())
