"""A row laid apart as the lines of a list, and the numbers of its strings over them. Pure."""

from __future__ import annotations

from rich.cells import cell_len

from tunneltui.draw.apart import Apart, ApartStem, Columns, columns, head_row, spoken, stem_row
from tunneltui.screens.parts import Line, Part, facts_in_lines

NAME_CELLS = 8


class ApartLines:
    """The lines of one row or loop on a list of ``width`` cells."""

    def __init__(self, shown: Apart, width: int, chosen: str, before: Apart | None = None) -> None:
        self._shown = shown
        self._was = {stem.leader: stem for stem in before.stems} if before is not None else {}
        self._name = max([NAME_CELLS, *(cell_len(stem.name) + 2 for stem in shown.stems)])
        self._tip = max([4, *(cell_len(stem.tip) for stem in shown.stems)]) + 1
        self._at: Columns = columns(shown, max(width - self._name - self._tip, 8), chosen)

    def head(self) -> tuple[Part, ...]:
        numbers = tuple(Part(run.text, run.style) for run in head_row(self._at))
        return (Part("stem", "quiet", self._name), *numbers, Part("tip", "quiet", self._tip, right=True))

    def lines(self, chosen: str) -> list[Line]:
        return [self.line(stem, chosen) for stem in self._shown.stems]

    def line(self, stem: ApartStem, chosen: str) -> Line:
        ink = "chosen" if stem.leader == chosen else "stem"
        drawn = stem_row(stem, self._at, ink, self._was.get(stem.leader))
        return Line(
            stem.leader,
            (
                Part(stem.name, "bold", self._name),
                *(Part(run.text, run.style) for run in drawn),
                Part(stem.tip, stem.tip_level, self._tip, right=True),
            ),
        )


def spoken_lines(shown: Apart, width: int) -> list[Line]:
    """For a voice or a braille display, which have no columns to go by."""
    lines: list[Line] = []
    for stem in shown.stems:
        lines += facts_in_lines(stem.leader, [fact for fact in spoken(stem, shown.strings) if fact], width)
    return lines
