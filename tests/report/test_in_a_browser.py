"""The pages that leave the house in a real browser: on paper, on a phone, with nothing asked of the network.

Chromium, headless; skipped where it is not installed. The pages run no script of their own: a page around each
measures it, since a frame's own scrolling width is what a reader would have to scroll.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from functools import cache
from html import escape
from pathlib import Path

import pytest

from tests.report.made import entries, morning, printed_sheet
from tunneltui.pages.season_html import season_html
from tunneltui.review.look_back import look_back
from tunneltui.review.season_weeks import season_weeks

PHONE_PX = 390
"""CSS pixels across, as common phones have (common practice, no source)."""
AROUND = """<!DOCTYPE html><html><body>
<iframe style="width: {px}px; height: 800px; border: 0" srcdoc="{page}"></iframe>
<p id="told"></p><script>
const frame = document.querySelector("iframe");
frame.onload = () => {{
  const page = frame.contentDocument;
  const drawn = [...page.querySelectorAll("svg")].map(one => one.getBoundingClientRect());
  document.getElementById("told").textContent = "told" + JSON.stringify({{
    across: page.documentElement.scrollWidth,
    drawn: drawn.map(one => [Math.round(one.width), Math.round(one.height)]),
    asked: frame.contentWindow.performance.getEntriesByType("resource").length,
  }}) + "told";
}};
</script></body></html>"""
PAGES = ("sheet", "season")


@cache
def page(name: str) -> str:
    if name == "sheet":
        return printed_sheet(morning())
    season = morning().season
    return season_html(look_back(entries(), season, "cultivar"), "a trial", weeks=season_weeks(entries(), season))


def chromium(folder: Path, *options: str) -> str:
    """What it printed."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        pytest.skip("no chromium is installed here")
    own = [f"--user-data-dir={folder / 'browser'}", "--headless", "--no-sandbox", "--disable-gpu"]
    done = subprocess.run([browser, *own, *options], check=True, capture_output=True, text=True, timeout=120)
    return done.stdout


@pytest.mark.parametrize("name", PAGES)
def test_a_phone_shows_it_without_scrolling_sideways(name: str, tmp_path: Path) -> None:
    around = tmp_path / "around.html"
    around.write_text(AROUND.format(px=PHONE_PX, page=escape(page(name))), encoding="utf-8")
    told = re.search(r"told(\{.*?\})told", chromium(tmp_path, "--dump-dom", around.as_uri()))
    assert told is not None
    seen = json.loads(told[1])
    assert seen["across"] <= PHONE_PX
    assert seen["asked"] == 0
    assert seen["drawn"], "a drawing stands in the page without an address of its kind"
    assert all(width > PHONE_PX / 2 and height > 20 for width, height in seen["drawn"])


@pytest.mark.parametrize("name", PAGES)
def test_paper_takes_all_of_it(name: str, tmp_path: Path) -> None:
    """Read back by poppler's pdftotext; a usual morning fits one sheet, two sides, a season four."""
    reader, counter = shutil.which("pdftotext"), shutil.which("pdfinfo")
    if reader is None or counter is None:
        pytest.skip("no pdftotext is installed here")
    source, printed = tmp_path / "page.html", tmp_path / "page.pdf"
    source.write_text(page(name), encoding="utf-8")
    chromium(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={printed}", source.as_uri())
    words = subprocess.run([reader, "-layout", printed, "-"], check=True, capture_output=True, text=True).stdout
    about = subprocess.run([counter, printed], check=True, capture_output=True, text=True).stdout
    sides = re.search(r"Pages:\s+(\d+)", about)
    assert sides is not None
    if name == "sheet":
        assert int(sides[1]) <= 2
        for spot in morning().round.spots:
            for chore in spot.chores:
                assert chore.proposal.split()[0] in words
    else:
        assert int(sides[1]) == 4
        for headed in ("Kilograms a week", "Stems and wire", "What came off, by cultivar", "Clips", "Clearing"):
            assert headed in words
