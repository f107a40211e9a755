"""The round on paper: one page that needs nothing else and runs nothing."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from tests.report.made import morning, printed_sheet
from tunneltui.chores.morning import PlannedDay
from tunneltui.values import replace

HARM = "<script>alert(1)</script>\"'&<img src=x onerror=y>"

TAGS = {
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "h1",
    "h2",
    "p",
    "table",
    "tr",
    "td",
    "span",
    "br",
    "code",
    "svg",
    "polyline",
    "text",
}


class Page(HTMLParser):
    """What a browser would see, by the standard library's parser."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.open: list[str] = []
        self.words = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in ("meta", "br"):
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words += data


def test_self_contained_and_well_formed() -> None:
    text = printed_sheet(morning())
    page = Page(text)
    assert page.open == []
    assert set(page.tags) <= TAGS
    assert {name for name, _ in page.attributes} <= {
        *("lang", "charset", "name", "content", "class", "style"),
        *(
            "viewbox",
            "width",
            "role",
            "aria-label",
            "points",
            "fill",
            "stroke",
            "stroke-width",
            "stroke-dasharray",
        ),
        *("x", "y", "font-family", "font-size", "text-anchor", "dominant-baseline"),
    }
    assert not re.search(r"https?:|//|url\(|@import|xmlns", text)


def test_every_chore_in_walking_order_with_its_reason() -> None:
    words = " ".join(Page(printed_sheet(morning())).words.split())
    at = 0
    for spot in morning().round.spots:
        for chore in spot.chores:
            at = words.index(" ".join(chore.proposal.split()), at)
            at = words.index(" ".join(chore.why.split()), at)
            at = max([at, *(words.index(choice.words, at) for choice in chore.choices)])
    for chore in morning().round.later:
        assert " ".join(chore.proposal.split()) in words


def test_blanks_for_what_is_read_on_the_way() -> None:
    words = Page(printed_sheet(morning())).words
    kinds = {chore.kind for spot in morning().round.spots for chore in spot.chores}
    assert {"pick", "look", "lower"} <= kinds
    for label in ("kg:", "failed, place and string:", "tips under the wire, cm:"):
        assert label in words


def test_text_of_any_origin_is_escaped() -> None:
    now = morning()
    spot = now.round.spots[0]
    chore = spot.chores[0]._replace(proposal=HARM, why="\u202eback\x00\x1b[31m" + HARM)
    walk = now.round._replace(spots=(spot._replace(place=HARM, row=HARM, chores=(chore,)),), later=(chore,))
    named = replace(now.season, holding=replace(now.season.holding, name=HARM))
    text = printed_sheet(replace(now, season=named, known=PlannedDay((), walk)))
    page = Page(text)
    assert "script" not in page.tags
    assert "img" not in page.tags
    assert HARM in page.words
    assert not set("\u202e\x00\x1b") & set(text)


def test_a_day_without_chores() -> None:
    now = morning()
    bare = now.round._replace(spots=(), later=())
    text = printed_sheet(replace(now, known=PlannedDay((), bare)))
    assert "Nothing is due." in Page(text).words
