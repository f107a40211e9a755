"""The README's pictures are made by the program and fetch nothing."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

from tunneltui.screens.pictures import SHOWN, _take


async def test_pictures(tmp_path: Path) -> None:
    made = await _take(tmp_path, (80, 24))
    assert [path.stem for path in made] == list(SHOWN)
    texts = {path.stem: path.read_text("utf-8") for path in made}
    for text in texts.values():
        ElementTree.fromstring(text)  # noqa: S314  (made here, a moment ago)
        assert "@font-face" not in text
        assert "url(http" not in text
        assert "<circle" not in text, "no window is drawn around it"
    assert "how full each clip is" in texts["row"].replace("&#160;", " ")
    assert "from the side" in texts["side"].replace("&#160;", " ")
    assert texts["round"] != texts["walk"]
