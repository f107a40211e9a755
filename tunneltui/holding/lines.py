"""On which line of a TOML text each key stands. For text that ``tomllib`` has read without complaint.

``tomllib`` keeps no line numbers, and a fault without its line is hard to find in a file of a thousand places.
"""

from __future__ import annotations

import re

Path = tuple[str | int, ...]
"""Keys, and numbers of elements from 0, such as ``("tunnels", 0, "rows", 1, "length_m")``."""

_SPACE = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_PLAIN_VALUE = re.compile(r"[^,\]}#\n]*")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG_BASIC = re.compile(r'"""(?:[^\\"]|\\.|"(?!""))*"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL)
_ESCAPES = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}
_ESCAPE = re.compile(r"\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|(.))")


def key_lines(text: str) -> dict[Path, int]:
    """Line, counted from 1, of every key, table header and list element."""
    return _Scan(text).document()


def nearest_line(lines: dict[Path, int], path: Path) -> int:
    """The line of a key, or of the nearest thing around it that is written down; 1 where there is none."""
    return next((lines[path[:end]] for end in range(len(path), 0, -1) if path[:end] in lines), 1)


class _Scan:
    """One walk through the text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._counted_to = 0
        self._line = 1
        self._elements: dict[Path, int] = {}
        """Number of elements so far, of each list of tables."""

    def document(self) -> dict[Path, int]:
        table: Path = ()
        self.skip_space()
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.skip_space()
        return self.lines

    def header(self) -> Path:
        """A ``[table]`` or ``[[table]]``; in a list of tables what follows belongs to its last element."""
        line, of_list = self.line(), self.text.startswith("[[", self.at)
        self.at += 2 if of_list else 1
        keys = self.keys()
        self.at += 2 if of_list else 1
        path: Path = ()
        for key in keys[:-1]:
            self.lines.setdefault((*path, key), line)
            path = self.last_of((*path, key))
        path = (*path, keys[-1])
        if of_list:
            self.lines.setdefault(path, line)
            self._elements[path] = self._elements.get(path, 0) + 1
        path = self.last_of(path)
        self.lines.setdefault(path, line)
        return path

    def last_of(self, path: Path) -> Path:
        return (*path, self._elements[path] - 1) if path in self._elements else path

    def pair(self, table: Path) -> None:
        line, path = self.line(), table
        for key in self.keys():
            path = (*path, key)
            self.lines.setdefault(path, line)
        self.at += 1
        self.skip_space()
        self.value(path)

    def keys(self) -> list[str]:
        """A dotted key; stops at what follows it."""
        keys = []
        while True:
            self.skip_space()
            keys.append(self.key())
            self.skip_space()
            if not self.text.startswith(".", self.at):
                return keys
            self.at += 1

    def key(self) -> str:
        begin = self.text[self.at]
        if begin == '"':
            return _ESCAPE.sub(_unescaped, self.take(_BASIC)[1:-1])
        return self.take(_LITERAL)[1:-1] if begin == "'" else self.take(_BARE_KEY)

    def value(self, path: Path) -> None:
        begin = self.text[self.at]
        if begin == "[":
            self.list(path)
        elif begin == "{":
            self.inline_table(path)
        elif self.text.startswith('"""', self.at):
            self.take(_LONG_BASIC)
        elif self.text.startswith("'''", self.at):
            self.take(_LONG_LITERAL)
        else:
            self.take({'"': _BASIC, "'": _LITERAL}.get(begin, _PLAIN_VALUE))

    def list(self, path: Path) -> None:
        self.at += 1
        number = 0
        self.skip_space()
        while self.text[self.at] != "]":
            self.lines.setdefault((*path, number), self.line())
            self.value((*path, number))
            number += 1
            self.skip_comma()
        self.at += 1

    def inline_table(self, path: Path) -> None:
        self.at += 1
        self.skip_space()
        while self.text[self.at] != "}":
            self.pair(path)
            self.skip_comma()
        self.at += 1

    def skip_comma(self) -> None:
        self.skip_space()
        if self.text[self.at] == ",":
            self.at += 1
            self.skip_space()

    def skip_space(self) -> None:
        self.take(_SPACE)

    def take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if match is None:
            raise ValueError(f"line {self.line()} is not TOML")
        self.at = match.end()
        return match.group()

    def line(self) -> int:
        self._line += self.text.count("\n", self._counted_to, self.at)
        self._counted_to = self.at
        return self._line


def _unescaped(match: re.Match[str]) -> str:
    code = match[1] or match[2]
    return chr(int(code, 16)) if code else _ESCAPES.get(match[3], match[3])
