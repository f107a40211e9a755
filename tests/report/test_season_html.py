"""The season's page: self-contained, well formed, harmless, and its figures those of the journal.

HTML by the standard library's parser; ``test_in_a_browser`` lays it out.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from html.parser import HTMLParser

from tests.report.made import entries, morning
from tunneltui.report.season_html import season_html
from tunneltui.review.look_back import LookBack, look_back

HARM = "<script>alert(1)</script>\"'&<img src=x onerror=y>"
VOID = {"meta", "line", "polyline", "circle"}


@cache
def back() -> LookBack:
    return look_back(entries(), morning().season, "cultivar")


class Page(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.names: set[str] = set()
        self.values: list[str] = []
        self.open: list[str] = []
        self.words = ""
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_startendtag(tag, attrs)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.names |= {name for name, _ in attrs}
        self.values += [value or "" for _, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words += data


def test_self_contained_and_well_formed() -> None:
    text = season_html(back(), "a trial")
    page = Page(text)
    assert page.open == []
    assert {"svg", "polyline", "table"} <= page.tags
    assert not page.tags & {"script", "link", "img", "iframe", "object"}
    assert not page.names & {"xmlns", "src", "href"}
    assert not any(name.startswith("on") for name in page.names)
    assert "://" not in text
    assert "url(" not in text
    assert "@import" not in text


def test_figures_are_those_of_the_look_back() -> None:
    words = Page(season_html(back(), "a trial")).words
    for line in back().yields:
        assert line.group in words
        assert f"{line.kg:.1f}" in words
    assert f"{max(back().curves[2026].values()):.1f} kg" in words


def test_what_a_grower_wrote_does_no_harm() -> None:
    one = back().beds[0]
    page = Page(season_html(replace(back(), beds=[replace(one, made=HARM, dressings=())]), HARM))
    assert not page.tags & {"script", "img"}
    assert page.words.count(HARM) == 3


def test_a_season_without_picks_draws_no_curve() -> None:
    empty = Page(season_html(replace(back(), curves={}, yields=[], labour=[]), "a trial"))
    assert "No pick was weighed." in empty.words
    assert "svg" not in empty.tags
