"""Whether a terminal or file can hold more than ASCII; asked before the first paint, so it imports nothing."""

from __future__ import annotations

from collections.abc import Mapping

LIMITED = ("linux", "vt100", "vt102", "vt220", "ansi", "dumb")
"""Values of TERM whose character sets hold no braille (the Linux console's font has 512 glyphs at most: console
(4) and setfont(8))."""


def shows_ascii_only(encoding: str | None, environment: Mapping[str, str]) -> bool:
    """Whether signs and dots would come out as boxes or question marks there."""
    spelt = (encoding or "ascii").lower().replace("-", "").replace("_", "")
    return spelt not in ("utf8", "utf16", "utf32", "cp65001") or environment.get("TERM", "") in LIMITED
