"""Bodies are read as Python's own JSON reads them, though by something quicker."""

from __future__ import annotations

import json

import pytest

from tunneltui.journal.body import BodyFault, parsed
from tunneltui.journal.entry import Draft

WHOLE = ("0", "-0", "-0.0", "1e5", "1E400", "5e-324", "18446744073709551616", "NaN", "-Infinity", "1" * 400)
OTHER = ('"\\ud800"', '"\\u0000"', '"a\\/b"', "null", "[1, [2]]", '{"b": 1, "b": 2}', '"\x7f"')


@pytest.mark.parametrize("value", [*WHOLE, *OTHER])
def test_a_value_is_what_json_says(value: str) -> None:
    text = f'{{"a": {value}, "é": 1}}'
    assert repr(parsed(Draft("note", "", text))) == repr(json.loads(text))


@pytest.mark.parametrize(
    "text",
    ["", "1", "[]", "null", "{", '{"a": 1,}', '{"a": ' + "1" * 5000 + "}", "[" * 100_000, "\ufeff{}", "{} {}"],
)
def test_what_is_no_object_is_a_fault_of_the_body(text: str) -> None:
    with pytest.raises(BodyFault):
        parsed(Draft("note", "", text))
