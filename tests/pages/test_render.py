"""One page in every form: lists of several widths, 80 columns, a reader's lines, HTML, both unit systems."""

from __future__ import annotations

from datetime import date

from tunneltui.cells import IMPERIAL, Mark, Sentence, Share, Words, inked, load, say
from tunneltui.pages.lines import Line, Part, list_lines, wrapped
from tunneltui.pages.page import Column, Item, Page, Section
from tunneltui.pages.text import html, plain_text, reader_lines

LONG = say("about {} like it fails within a week, so a second clip is worth its minute", Share(0.1, chance=True))
PAGE = Page(
    say("{}  loads", date(2026, 8, 20)),
    (
        Section(
            "clips",
            say("Clips, nearest to their limit first"),
            (
                Column("place"),
                Column("now", unit="N", right=True, rank=2),
                Column("full", right=True),
                Column("chance", rank=1),
            ),
            (
                Item(
                    "c1",
                    (
                        "W1-08",
                        say("{}", load(30.5)),
                        inked("must", say("{}", Share(1.35))) + Sentence(Mark(" !", " over", "must")),
                        say("{}", Share(0.1, chance=True)),
                    ),
                    (LONG, say("second clip")),
                    (say("The <23 mm> clip bears {}.", load(30.5)),),
                ),
                Item("c2", ("W1-12", say("{}", load(9.9)), say("{}", Share(0.4)), "")),
            ),
        ),
    ),
    (say("Method and source."),),
)


def shown(line: Line) -> str:
    return "".join(f"{part.text:<{part.cells}}" for part in line.parts).rstrip()


def test_a_wide_list_has_every_column_and_the_longest_words() -> None:
    lines = list_lines(PAGE, 140)
    assert [shown(line) for line in lines] == [
        "Clips, nearest to their limit first",
        "place  now kg    full  chance",
        f"W1-08     3.1  135% !  1 in 10  {LONG}",
        "W1-12     1.0     40%",
    ]
    assert [line.heading for line in lines] == [True, True, False, False]
    assert ("135%", "must") in [(part.text, part.style) for part in lines[2].parts]


def test_a_narrow_list_leaves_out_columns_by_rank_and_takes_shorter_words() -> None:
    assert shown(list_lines(PAGE, 60)[2]) == "W1-08     3.1  135% !  1 in 10  second clip"
    assert shown(list_lines(PAGE, 36)[2]) == "W1-08     3.1  135% !  second clip"
    assert shown(list_lines(PAGE, 30)[2]) == "W1-08  135% !  second clip"


def test_units_stand_in_the_head_and_follow_the_grower() -> None:
    lines = [shown(line) for line in list_lines(PAGE, 140, IMPERIAL)]
    assert lines[1] == "place  now lb    full  chance"
    assert lines[2].startswith("W1-08     6.9  135% !")


def test_eighty_columns_on_paper() -> None:
    text = plain_text(PAGE, IMPERIAL)
    assert all(len(line) <= 80 for line in text.splitlines())
    assert "The <23 mm> clip bears 6.9 lb." in text, "a name keeps its millimetres"
    assert text.endswith("Method and source.\n")


def test_a_reader_hears_words_for_signs_and_heads_for_columns() -> None:
    said = reader_lines(PAGE)
    assert said[2].startswith("place W1-08, now 3.1 kg, full 135% over, chance 1 in 10, about 1 in 10 like it")
    assert said[4] == "place W1-12, now 1.0 kg, full 40%"


def test_html_escapes_what_growers_wrote() -> None:
    page = html(PAGE)
    assert "&lt;23 mm&gt;" in page
    assert "<td>3.1</td>" in page
    assert "<th>now kg</th>" in page


def test_an_empty_page_says_nothing() -> None:
    assert plain_text(Page(Sentence())) == ""
    assert list_lines(Page(Sentence(Words("x"))), 80) == []


def test_a_blank_at_the_end_of_a_full_line_takes_no_room() -> None:
    """It made the line one cell too wide, and a grower's word in it was cut to make room."""
    two = wrapped([Part("two of "), Part("cherry 1", own=True), Part(" by "), Part("rows")], 18, 0)
    assert ["".join(part.text for part in line) for line in two] == ["two of cherry 1 by", "rows"]
