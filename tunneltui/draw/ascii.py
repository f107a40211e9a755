"""What is shown where a terminal or a file can hold ASCII only: each character's stand-in, one for one."""

from __future__ import annotations

from unicodedata import east_asian_width, normalize

from tunneltui.draw.canvas import BRAILLE, Sign, ascii_of_dots
from tunneltui.draw.row_picture import CLIP, CLIP_ASSUMED, FLOWER, GREEN, PROP, RIPE, TIP, TURNING

_SIGNS: tuple[Sign, ...] = (*(CLIP, CLIP_ASSUMED, FLOWER, GREEN, TURNING, RIPE, TIP, PROP),)
"""No two pictures give one character two meanings (a test holds them to it)."""
_WORDS = {
    "…": "~",
    "–": "-",
    "—": "-",
    "’": "'",
    "‘": "'",
    "“": '"',
    "”": '"',
    "°": "d",
    "▲": "^",
    "←": "<",
    "→": ">",
    "×": "x",
    "✓": "x",
    "╮": ".",
    "╯": "'",
    "╰": "`",
    "┊": ":",
    "╪": "#",
    "▌": ">",
    "‹": "<",
    "›": ">",
    "•": "*",
}
_KNOWN = {sign.glyph: sign.ascii for sign in _SIGNS} | _WORDS
_BOXES, _BLOCKS = range(0x2500, 0x2580), range(0x2580, 0x25A0)
_FLAT, _UPRIGHT = frozenset("─━┄┅┈┉╌╍═╴╶╸╺"), frozenset("│┃┆┇┊┋╎╏║╵╷╹╻")
"""Lines of frames (The Unicode Standard, block Box Drawing)."""


def in_ascii(text: str) -> str:
    """The text in ASCII, as many cells wide; letters lose their accents, what has no stand-in is ``?``."""
    if text.isascii():
        return text
    return "".join(character if character.isascii() else _stand_in(character) for character in text)


def _stand_in(character: str) -> str:
    code = ord(character)
    if character in _KNOWN:
        return _KNOWN[character]
    if BRAILLE <= code < BRAILLE + 0x100:
        return ascii_of_dots(code - BRAILLE) if code > BRAILLE else " "
    if code in _BOXES:
        return "-" if character in _FLAT else "|" if character in _UPRIGHT else "+"
    if code in _BLOCKS:
        return "="
    bare = "".join(part for part in normalize("NFKD", character) if part.isascii())
    if len(bare) == 1:
        return bare
    return "??" if east_asian_width(character) in "WF" else "?"
