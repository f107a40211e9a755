"""The loads as lines of a list on one scale, and as what stands beside one of them. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.cells import cell_len

from tunneltui.chores.morning import Morning
from tunneltui.draw import scale
from tunneltui.loads.result import ClipLoad
from tunneltui.pages import loads as page
from tunneltui.pages.loads import ClipChange, Kind, LoadLine
from tunneltui.pages.units import localize
from tunneltui.screens.parts import Line, Part, facts_in_lines, under

WHAT_CELLS, ON_CELLS, FOLDED_CELLS = 7, 5, 5
"""As wide as most names and numbers are; wider where one is."""
LAST = "   "
TALL_FROM = 8
"""Rows from which each fact on a clip has a line of its own."""


class ColumnWidths:
    """Of the first two columns, the same for all lines of a kind."""

    def __init__(self, lines: Sequence[LoadLine]) -> None:
        self.what = max([WHAT_CELLS, *(cell_len(line.what) + 1 for line in lines)])
        self.on = max([ON_CELLS, *(cell_len(line.on) for line in lines)])
        self.last = max([0, *(cell_len(line.last) for line in lines)])
        self.scaled = any(line.band is not None for line in lines)


def loads_lines(lines: Sequence[LoadLine], kind: Kind, *, spoken: int = 0) -> list[Line]:
    """``spoken``: cells of a line for a voice or a braille display, which have no columns; 0: for eyes."""
    if not lines:
        return [Line("none", (Part(page.NONE[kind], "quiet"),))]
    if spoken:
        return [part for line in lines for part in facts_in_lines(line.key, _spoken(line, kind), spoken)]
    widths = ColumnWidths(lines)
    return [Line(line.key, _parts(line, widths)) for line in lines]


def head_parts(lines: Sequence[LoadLine], kind: Kind) -> tuple[Part, ...]:
    """Over the columns; nothing where there are none."""
    if not lines:
        return ()
    what, on, last = page.HEADS[kind]
    widths = ColumnWidths(lines)
    first = Part(what, "quiet", max(cell_len(what) + 1, widths.what + widths.on - cell_len(on)))
    if not widths.scaled:
        return (first, Part(on, "quiet"))
    return (
        first,
        Part(on, "quiet", FOLDED_CELLS + cell_len(on)),
        Part(scale.head(), "quiet", rank=3),
        Part("likely", "quiet", 9, rank=2, right=True),
        Part("full", "quiet", 6, right=True),
        Part(f"{LAST}{last}", "quiet", cell_len(LAST) + widths.last, rank=1),
    )


def _parts(line: LoadLine, widths: ColumnWidths) -> tuple[Part, ...]:
    what = Part(line.what, "bold", widths.what)
    on = Part(line.on, "", widths.on, right=True)
    folded = Part(f" ({line.folded})" if line.folded > 1 else "", "quiet", FOLDED_CELLS)
    if line.band is None:
        columns = (what, on, Part("  ")) if line.on else (what, Part(" ")) if line.what else ()
        return (*columns, Part(line.lengths[0], shorter=line.lengths[1:]))
    rare = line.last.startswith("under")
    return (
        what,
        on,
        folded,
        *_scale(line.band, line.level),
        Part(line.load, "", 9, rank=2, right=True),
        Part(f"{line.band[1]:.0%}", line.level, 6, right=True),
        Part(f"{LAST}{line.last}", "quiet" if rare else "", cell_len(LAST) + widths.last, rank=1),
    )


def _scale(band: tuple[float, float, float], level: str) -> Iterable[Part]:
    on = scale.on_scale(*band)
    ink = level or "stem"
    runs = [(on.before, "rule"), (on.band, ink), (on.after, "rule")]
    if on.dot >= 0:
        runs[1:2] = [(on.band[: on.dot], ink), (on.band[on.dot], level), (on.band[on.dot + 1 :], ink)]
    # Where there is no room the scale goes before the figure it draws.
    return [Part(text, style, rank=3) for text, style in runs]


def _spoken(line: LoadLine, kind: Kind) -> list[str]:
    on = f"string {line.on}" if kind in ("clips", "strings") and line.on[-1:].isdigit() else line.on
    folded = f"{line.folded} clips" if line.folded > 1 else ""
    if line.band is None:
        return [fact for fact in (line.what, on, line.lengths[0]) if fact]
    word = {"must": "over", "near": "near its limit"}.get(line.level, "")
    last = f"fails in 7 days {line.last}" if kind == "clips" else line.last
    full = f"{line.band[1]:.0%} of its strength"
    return [fact for fact in (line.what, on, folded, line.load, full, word, last) if fact]


# Beside a clip

DetailLine = tuple[Part, ...]


def clip_detail(
    morning: Morning, clip: ClipLoad, answers: Sequence[ClipChange], width: int, rows: int
) -> list[DetailLine]:
    """What is known of a clip and what would help, in as many lines as there are rows."""
    return _tall(morning, clip, answers, width) if rows > TALL_FROM else _low(morning, clip, answers)


def _low(morning: Morning, clip: ClipLoad, answers: Sequence[ClipChange]) -> list[DetailLine]:
    season = morning.season
    links = dict(page.chain_words(morning, clip))
    short = localize(links["carries"]).split(",")[0]
    lines: list[DetailLine] = [
        (
            Part(page.clip_title(season, clip), "bold"),
            Part(f"  {short}; {localize(links['holds'])}", shorter=(f"  {short}",)),
        )
    ]
    chain: list[Part] = []
    for number, (name, value) in enumerate(page.brief_chain(morning, clip)):
        chain += [
            Part(f"{'   ' if number else ''}{name} ", "quiet", rank=9 - number),
            Part(value, rank=9 - number),
        ]
    lines.append(tuple(chain))
    goes = page.if_it_goes(morning, clip)
    lines.append((Part("if it goes  ", "quiet"), Part(goes[0], shorter=goes[1:])))
    lines.append(_answer(morning, answers[-1]) if answers else _helps(morning, clip))
    return lines


def _answer(morning: Morning, change: ClipChange) -> DetailLine:
    answer = page.answer_words(morning.season, change)
    return (Part(change.words, "chosen"), Part("  "), Part(answer[0], shorter=answer[1:]))


def _helps(morning: Morning, clip: ClipLoad) -> DetailLine:
    chore = page.on_the_walk(morning, clip)
    if chore is not None:
        return (Part("second clip", "chosen"), Part(f"  {page.where_on_the_walk(chore)}"))
    return (Part("c i b o d", "chosen"), Part("  say what would help: clip, tie, lowering, pick, leaves"))


def _tall(morning: Morning, clip: ClipLoad, answers: Sequence[ClipChange], width: int) -> list[DetailLine]:
    links = page.chain_words(morning, clip)
    own = ("carries", "holds", "fails", "hangs")
    lines: list[DetailLine] = [(Part(page.clip_title(morning.season, clip), "bold"),), ()]
    for name, value in links:
        lines += under(Part(name, "quiet", 9), value, width) if name in own else []
    lines += [(), (Part("up the chain", "quiet"),)]
    for name, value in links[len(own) : -1]:
        lines += under(Part(name, "quiet", 11), value, width)
    lines += [(), (Part("if it lets go", "quiet"),)]
    for value in links[-1][1].split("; "):
        lines += under(Part(""), value, width)
    lines += [(), (Part("what helps", "quiet"),)]
    chore = page.on_the_walk(morning, clip)
    if chore is not None:
        where = chore.pieces[0].place if chore.pieces else chore.row
        lines.append((Part("second clip", "chosen"), Part(f"  on today's walk, {where}")))
    for change in reversed(answers):
        forms = page.answer_words(morning.season, change)
        lines.append((Part(change.words, "chosen"), Part(f"  {forms[-1]}")))
        for more in localize(forms[0]).removeprefix(forms[-1]).lstrip(", ").split("; "):
            lines += under(Part("", cells=2), more, width)
    if not answers and chore is None:
        lines.append((Part("c i b o d", "chosen"), Part(" say what would help")))
    return lines


def line_detail(line: LoadLine) -> list[DetailLine]:
    """Of any other line."""
    return [(Part(f"{line.what} {line.on}".strip(), "bold"),), *((Part(words),) for words in line.lengths[:1])]
