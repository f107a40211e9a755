"""A wrong holding is told every fault at once: file, line, key, found, wanted."""

from __future__ import annotations

import tomllib
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tunneltui.holding.check import MOST_FAULTS, HoldingFaults, KeyFault, checked_holding
from tunneltui.holding.new import Start, starter
from tunneltui.holding.toml import LONGEST_TEXT, from_toml, to_toml
from tunneltui.holding.user_error import UserError

GOOD = """\
name = "Made up"
zone = "Europe/Lisbon"
[[cultivars]]
key = "cherry 1"
fruit = "cherry"
[[twines]]
key = "jute"
[[tunnels]]
key = "W"
name = "west"
length_m = 10
width_m = 5
[[tunnels.beds]]
key = "left"
[[tunnels.rows]]
number = 1
wire_height_m = 2.1
length_m = 8
loop_with = 2
bed = "left"
strings = [{ number = 1, x_m = 0.5, twine = "jute" }, { number = 2, x_m = 8 }]
places = [{ name = "W1-01", x_m = 0.5, cultivar = "cherry 1" }, { name = "W1-02", x_m = 1 }]
[[tunnels.rows]]
number = 2
wire_height_m = 2.1
length_m = 8
across_m = 2
loop_with = 1
"""


ROW_1, ROW_2 = "tunnels W, rows 1", "tunnels W, rows 2"


def faults(text: str) -> list[KeyFault]:
    with pytest.raises(HoldingFaults) as raised:
        checked_holding(text, "my.toml")
    return list(raised.value.faults)


def told(text: str) -> list[tuple[int, str, str, str]]:
    return [(one.line, one.key, one.found, one.expected) for one in faults(text)]


def changed(before: str, after: str) -> str:
    assert GOOD.count(before) == 1, before
    return GOOD.replace(before, after)


def test_a_right_holding_is_as_the_unchecked_reading_has_it() -> None:
    assert checked_holding(GOOD) == from_toml(GOOD)


def test_the_demos_and_the_starters_holdings_pass() -> None:
    demo = files("tunneltui.demo").joinpath("saltmarsh.toml").read_text("utf-8")
    for text in (demo, starter(Start()), to_toml(checked_holding(demo))):
        assert checked_holding(text) == from_toml(text)


@pytest.mark.parametrize(
    ("before", "after", "line", "key", "found", "wanted"),
    [
        ('zone = "Europe/Lisbon"', 'zone = "Europe/Lisbn"', 2, "zone", '"Europe/Lisbn"', "Europe/Lisbon?"),
        ('fruit = "cherry"', 'fruit = "chery"', 5, "cultivars cherry 1, fruit", '"chery"', "one of cherry"),
        ('fruit = "cherry"', 'friut = "cherry"', 5, "cultivars cherry 1, friut", 'unknown key "friut"', "fruit?"),
        ('name = "west"\n', "", 8, "tunnels W, name", "nothing", "text"),
        ("width_m = 5\n", 'width_m = "5"\n', 12, "tunnels W, width_m", '"5"', "a number over 0 up to 100"),
        ("width_m = 5\n", "width_m = nan\n", 12, "tunnels W, width_m", "NaN", "a number that can be"),
        ("width_m = 5\n", "width_m = -1\n", 12, "tunnels W, width_m", "-1", "a number over 0 up to 100"),
        ("width_m = 5\n", "width_m = true\n", 12, "tunnels W, width_m", "true", "a number over 0 up to 100"),
        ("width_m = 5\n", "width_m = 2026-01-01\n", 12, "tunnels W, width_m", "2026-01-01", "a number"),
        ("across_m = 2\n", "across_m = 6\n", 27, ROW_2 + ", across_m", "6 m", "the tunnel's width, 5 m"),
        ("across_m = 2\n", "start_m = 3\n", 26, ROW_2 + ", length_m", "8 m from 3 m on", "within 10 m"),
        ("loop_with = 1\n", "", 19, ROW_1 + ", loop_with", "row 2 names none", "loop_with = 1 in row 2"),
        ("loop_with = 1\n", "loop_with = 2\n", 28, ROW_2 + ", loop_with", "the row itself", "number of"),
        ("loop_with = 1\n", "loop_with = 7\n", 28, ROW_2 + ", loop_with", "7, which is no row", "number of"),
        ('bed = "left"', 'bed = "lift"', 20, ROW_1 + ", bed", 'unknown bed "lift"', "(left?)"),
        ("{ number = 2, x", "{ number = 1, x", 21, ROW_1 + ", strings 1, number", "second time", "once"),
        ("x_m = 8 }", "x_m = 8.1 }", 21, ROW_1 + ", strings 2, x_m", "8.1 m", "row's length, 8 m"),
        ('twine = "jute"', 'twine = "juta"', 21, ROW_1 + ", strings 1, twine", '"juta"', "(jute?)"),
        ('cultivar = "cherry 1"', 'cultivar = "chery"', 22, ROW_1 + ", places W1-01, cultivar", "chery", "1?"),
        ('"W1-02", x_m = 1 ', '"W1-01", x_m = 1 ', 22, ROW_1 + ", places W1-01, name", "W1-01", "another"),
        ('"W1-02", x_m = 1 ', '"E1-02", x_m = 1 ', 22, ROW_1 + ", places E1-02, name", "E1-02", "key, W"),
        ('"W1-02", x_m = 1 ', '"W1", x_m = 1 ', 22, ROW_1 + ", places W1, name", '"W1"', "a row has this one"),
        ('"W1-02", x_m = 1 ', '"W1-02", x_m = 9 ', 22, ROW_1 + ", places W1-02, x_m", "9 m", "length, 8 m"),
        ("x_m = 1 }", 'x_m = 1, was = ["W1-02"] }', 22, ROW_1 + ", places W1-02, was", "present", "earlier"),
        ("number = 2\nwire", "number = 1\nwire", 24, ROW_1 + ", number", '"1" a second time', "once"),
        ("[[twines]]", '[[twines]]\nkey = "jute"\n[[twines]]', 9, "twines jute, key", "second time", "once"),
        ('key = "jute"', 'key = ""', 7, "twines , key", '""', "text, not empty, up to 200 letters"),
        ('"Made up"', '"Made\\u0007up"', 1, "name", "\\x07", "without control characters"),
        ('"Made up"', '"Made\\nup"', 1, "name", "\\n", "on one line"),
        ('"Made up"', '"Made\\u202eup"', 1, "name", "\\u202e", "without control characters"),
        ("[[twines]]", "[limits]\nred_share = 0.5\n[[twines]]", 7, "limits, red_share", "0.5", "red_share (0.5)"),
        ("[[twines]]", "[limits]\namber_chance = 0.2\n[[twines]]", 7, "limits, amber_chance", "0.2", "at most"),
    ],
)  # fmt: skip
def test_a_fault_has_its_line_its_key_what_was_found_and_what_is_wanted(
    before: str, after: str, line: int, key: str, found: str, wanted: str
) -> None:
    wrong = changed(before, after)
    hits = [one for one in faults(wrong) if (one.line, one.key) == (line, key)]
    assert hits, told(wrong)
    assert found in hits[0].found
    assert wanted in hits[0].expected
    assert hits[0].file == "my.toml"


def test_faults_of_every_sort_are_told_at_once_in_the_order_of_the_file() -> None:
    wrong = GOOD
    for before, after in (
        ('"Europe/Lisbon"', '"Nowhere"'),
        ('fruit = "cherry"', "fruit = 3"),
        ("width_m = 5\n", "widht_m = 5\n"),
        ("loop_with = 2\n", "loop_with = 3\n"),
        ('cultivar = "cherry 1"', 'cultivar = "beef"'),
    ):
        wrong = wrong.replace(before, after)
    keys = [one.key for one in faults(wrong)]
    assert keys == [
        "zone",
        "cultivars cherry 1, fruit",
        "tunnels W, width_m",
        "tunnels W, widht_m",
        "tunnels W, rows 1, loop_with",
        "tunnels W, rows 1, places W1-01, cultivar",
        "tunnels W, rows 2, loop_with",
    ]


def test_the_trouble_lists_each_fault_on_a_line() -> None:
    with pytest.raises(UserError) as raised:
        checked_holding(changed("width_m = 5\n", "width_m = 500\n"), "my.toml")
    assert raised.value.problem == (
        "my.toml, line 12, tunnels W, width_m: found 500, wanted a number over 0 up to 100"
    )


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("name = \n", 1),
        ('name = "x"\nname = "y"\n', 2),
        ('name = "x"\n[a\n', 2),
        ('x = "', 1),
        ("a = 1\n\n\nb", 4),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(text: str, line: int) -> None:
    assert [one.line for one in faults(text)] == [line]
    assert faults(text)[0].expected.startswith("TOML")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a = " + "[" * 100_000, "within each other"),
        ("a = " + "{ a = " * 100_000, "within each other"),
        (".".join("a" * 50_000) + " = 1", "a.a.a"),
        ('x = "' + r"\n" * 1_000_000 + '"', "\\n"),
        ("#" * (LONGEST_TEXT + 1), "###"),
        ("name = 0x" + "f" * 50_000, "a huge number"),
        ("a = " + "9" * 5000, "9"),
        ('name = "x"\n' + "\n".join(f"k{n} = 1" for n in range(20_000)), "the unknown key"),
        ('name = "x"\n' + "[[cultivars]]\nfruit = 1\n" * 20_000, "nothing"),
        ('name = "\\u202e' + "x" * 300 + '"', "\\u202e"),
    ],
)
def test_texts_made_to_harm_are_refused_in_a_few_sentences(text: str, found: str) -> None:
    told_faults = faults(text)
    assert found in told_faults[0].found
    assert len(told_faults) <= 4 * MOST_FAULTS
    assert all(len(str(one)) < 1200 for one in told_faults)


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=80))
def test_any_text_is_refused_with_sentences_or_is_a_holding(text: str) -> None:
    try:
        holding = checked_holding(text)
    except HoldingFaults as fault:
        told_faults = fault.faults
        assert told_faults
        assert all(1 <= one.line <= text.count("\n") + 1 for one in told_faults)
        return
    assert from_toml(text) == holding


LINES = GOOD.splitlines(keepends=True)
junk = st.sampled_from(
    [
        *("x = 1", 'name = "W1-01"', "number = 1", "tunnels = 3", "[[tunnels]]", "[work]", "limits = []"),
        *("key = {}", "x_m = -inf", "loop_with = [1]", "number = { a = 1 }", 'was = ["a", 3]'),
        *("[tunnels.rows]", "zone = 5", "places = [1, {}]"),
    ]
)


@settings(max_examples=300, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(LINES)), st.none() | junk), min_size=1, max_size=5))
def test_a_holding_edited_into_nonsense_is_told_so(edits: list[tuple[int, str | None]]) -> None:
    lines = list(LINES)
    for at, put_in in edits:
        lines[at : at + 1] = [put_in + "\n"] if put_in is not None else []
    text = "".join(lines)
    try:
        holding = checked_holding(text)
    except HoldingFaults as fault:
        assert fault.faults  # noqa: PT017
        return
    assert from_toml(text) == holding
    assert tomllib.loads(text)
