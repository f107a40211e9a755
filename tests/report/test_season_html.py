"""The season's page: self-contained, well formed, harmless, and its figures those of the journal.

HTML by the standard library's parser; ``test_in_a_browser`` lays it out.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from html.parser import HTMLParser

import pytest

from tests.report.made import entries, morning
from tunneltui.loads.calibration import warnings_words
from tunneltui.pages.season_html import season_html
from tunneltui.review.look_back import LookBack, look_back
from tunneltui.review.season_weeks import season_weeks
from tunneltui.values import replace

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


def test_pictures_by_week_are_those_of_the_journal() -> None:
    """Every weighed kilogram is in a week, every clip hung in another; what was foreseen is there beside it."""
    season = morning().season
    weeks = season_weeks(entries(), season)
    assert weeks is not None
    weighed = sum(pick.picked.kg or 0.0 for pick in season.picks)
    assert sum(kg for of in weeks.kg.values() for kg in of.values()) == pytest.approx(weighed)
    assert weeks.foreseen_kg.keys() >= weeks.kg.keys()
    assert sum(weeks.clips_hung.values()) == sum(clip.hung for clip in back().clips)
    assert sum(weeks.clips_failed.values()) == sum(sum(clip.failed.values()) for clip in back().clips)
    for of in weeks.stems_m.values():
        lengths = list(of.values())
        assert lengths == sorted(lengths)
    page = Page(season_html(back(), "a trial", weeks=weeks))
    assert page.open == []
    assert not page.tags & {"script", "link", "img"}
    for words in ("Kilograms a week", "Stems and wire", "Air of W", str(warnings_words(back().warnings))):
        assert words in page.words


def test_seasons_stand_side_by_side_from_the_second_on() -> None:
    """40 kg of 2025 and what the demo weighed of 2026."""
    assert "Seasons side by side" not in Page(season_html(back(), "a trial")).words
    first = back().record.picks[0]
    picks = (*back().record.picks, replace(first, day=date(2025, 8, 1), kg=40.0))
    two = Page(season_html(replace(back(), record=replace(back().record, picks=picks)), "a trial")).words
    assert "Seasons side by side" in two
    assert "40.0" in two


def test_columns_without_a_value_are_left_out() -> None:
    assert "fruits" not in Page(season_html(back(), "a trial")).words
    counted = [replace(line, count=7) for line in back().yields]
    assert "fruits" in Page(season_html(replace(back(), yields=counted), "a trial")).words


def test_what_a_grower_wrote_does_no_harm() -> None:
    one = back().beds[0]
    page = Page(season_html(replace(back(), beds=[replace(one, making=HARM, dressings=())]), HARM))
    assert not page.tags & {"script", "img"}
    assert page.words.count(HARM) == 3


def test_a_season_without_picks_draws_no_curve() -> None:
    empty = Page(season_html(replace(back(), curves={}, yields=[], labour=[]), "a trial"))
    assert "No pick was weighed." in empty.words
    assert "svg" not in empty.tags
