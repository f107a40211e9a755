"""What a grower or an outside file wrote, made safe on its way to a terminal.

A name may hold a sequence that moves the cursor or sets the window's title. Control and direction marks are shown
as ``\\x1b``; what goes to a file or a program in one of our formats (``export``) stays byte for byte.
"""

from __future__ import annotations

from typing import Any, TextIO

_KEPT = frozenset("\n\t")
_MARKS = [*range(0x20), *range(0x7F, 0xA0), 0x2028, 0x2029, *range(0x202A, 0x202F), *range(0x2066, 0x206A)]
SHOWN = {code: ascii(chr(code))[1:-1] for code in _MARKS if chr(code) not in _KEPT}
IN_JSON = {code: f"\\u{code:04x}" for code in _MARKS if code >= 0x20}
"""JSON writes those below by itself."""


class SafeOutput:
    """A text stream on which control and direction marks are shown instead of acting."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(text.translate(SHOWN))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)
