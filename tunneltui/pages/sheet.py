"""The round on paper: one page of plain HTML in walking order, a picture of every row, blanks for what is read.

Self-contained: its style is in the page, it asks nothing of the network and runs nothing. Every text is escaped.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape

from tunneltui.cells import day_word, joined, one_line, say
from tunneltui.chores.chore import Chore, Round
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning
from tunneltui.draw.row_picture import Window, draw_scene, label_rows
from tunneltui.draw.row_scene import row_scene
from tunneltui.draw.svg import svg
from tunneltui.pages import lowering
from tunneltui.pages.round import answers_words, cautions, minutes_words, with_place
from tunneltui.pages.text import LONGEST, day_words
from tunneltui.pages.units import localize

_STYLE = """
@page { size: A4; margin: 11mm }
body { font: 10.5pt/1.25 sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 46em }
h1 { font-size: 14pt; margin: 0 } h2 { font-size: 11.5pt; margin: .7em 0 .1em; border-bottom: 1.5pt solid #000 }
p { margin: .2em 0 } table { border-collapse: collapse; width: 100% }
td { vertical-align: top; padding: .15em .3em; border-bottom: .5pt solid #999 }
tr, svg { break-inside: avoid } .box { width: 1.1em; font-size: 13pt; line-height: 1 } .at { width: 4.5em }
.why { font-size: 8.5pt; color: #333 } .min { width: 5em; text-align: right } .must { font-weight: bold }
.blank { display: inline-block; min-width: 4.5em; border-bottom: 1pt solid #000 }
.later { font-size: 9pt } code { font-size: 10pt }
@media print {
@page { margin: 7mm }
body { columns: 2; column-gap: 5mm; font-size: 7.5pt; line-height: 1.12; max-width: none }
h1, .head { column-span: all } h1 { font-size: 10pt } h2 { font-size: 8.5pt; margin-top: .3em; break-after: avoid }
td { padding: .05em .15em } .box { font-size: 9pt } .why { font-size: 6pt }
.at { width: 3.6em } .min { width: 4em }
.card { break-before: page; column-span: all; font-size: 15pt } .large, .large .box { font-size: 11pt }
.later { font-size: 6.5pt } code { font-size: 7pt } .blank { min-width: 6em !important }
.large .blank { min-width: 3em !important }
svg { display: block; width: 86% } .why { line-height: 1.05 }
}
"""
"""On paper a usual morning of forty chores fits one side of A4, in two columns."""
_PICTURE_COLUMNS, _PICTURE_ROWS = 100, 9
_PAPER = {"rule": "#999999", "string": "#777777"}
"""Greys that a printer tells apart; the rest is black."""


def sheet(morning: Morning, numbers: Mapping[str, int], example: str) -> str:
    """The page as text; ``numbers`` of its lines by the chore's id, ``example`` a line ``done`` takes of it."""
    walk = morning.round
    title = f"{day_words(walk.day)}, {morning.season.holding.name}"
    line = _text(f'tunneltui done "{example}"')
    return "".join(
        (
            '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n',
            '<meta name="viewport" content="width=device-width, initial-scale=1">\n',
            f"<title>{_text(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n",
            f"<h1>{_text(title)}</h1>\n",
            f"<p>{len(walk.spots)} spots, {walk.minutes_planned:.0f} of {walk.minutes_there:.0f} minutes.</p>\n",
            *(f'<p class="mind">! {_text(caution)}</p>\n' for caution in cautions(walk)),
            *_rows(morning, numbers),
            *_later(walk),
            f"<h2>Afterwards, one line such as</h2>\n<p><code>{line}</code></p>\n" if walk.spots else "",
            *_lowerings(morning),
            "</body>\n</html>\n",
        )
    )


def _text(text: str) -> str:
    return escape(one_line(localize(text), LONGEST))


def _rows(morning: Morning, numbers: Mapping[str, int]) -> Iterator[str]:
    loop_of = {stretch.row: loop for loop in morning.season.layout.loops.values() for stretch in loop.stretches}
    row, drawn = None, set[str]()
    for spot in morning.round.spots:
        if spot.row != row:
            if row is not None:
                yield "</table>\n"
            row = spot.row
            yield f"<h2>{_text(f'Row {row}' if row else 'The house')}</h2>\n"
            loop = loop_of.get(row)
            if loop is not None and loop.id not in drawn:
                drawn.add(loop.id)
                # To point at: wire, strings by number, stems by place, what is weak by ``!``.
                scene = row_scene(morning.season, morning.outlook, morning.loads, loop.id)
                canvas = draw_scene(scene, _PICTURE_COLUMNS, _PICTURE_ROWS, Window(scene.length_m / 2))
                rows = " and ".join(row for _, row in scene.rows)
                yield svg(canvas, _PAPER, one_line(f"{rows} from the side", LONGEST), label_rows(canvas, scene))
            yield "<table>\n"
        for chore in spot.chores:
            yield _chore(spot.place, chore, numbers[chore.id])
    yield "</table>\n" if row is not None else "<p>Nothing is due.</p>\n"


def _chore(place: str, chore: Chore, number: int) -> str:
    marks = [word for word, applies in (("must", chore.must), ("overhead", chore.overhead)) if applies]
    label, room_em = KINDS[chore.kind].blank or ("", 0)
    blank = f'; {label}: <span class="blank" style="min-width: {room_em}em">&nbsp;</span>' if label else ""
    must = ' class="must"' if chore.must else ""
    sentences = [chore.why, f"Decide: {answers_words(chore, number)}."] if chore.choices else [chore.why]
    why = f'<br><span class="why">{_text(joined(" ", sentences))}</span>'
    return (
        f'<tr><td class="box">{number}</td><td class="at">{_text(place)}</td>'
        f"<td><span{must}>{_text(chore.proposal)}</span>{blank}{why}</td>"
        f'<td class="min">{_text(" ".join(marks))}<br>{minutes_words(chore.minutes)}</td></tr>\n'
    )


def _later(walk: Round) -> Iterator[str]:
    if walk.later:
        waiting = "; ".join(
            say("{} (by {})", with_place(chore.about, chore.proposal), day_word(chore.latest))
            for chore in walk.later
        )
        yield f'<h2>Can wait</h2>\n<p class="later">{_text(waiting)}</p>\n'


def _lowerings(morning: Morning) -> Iterator[str]:
    """Each lowering of the round on a page of its own, large enough to be read from the steps."""
    lowered = {
        chore.about: chore for spot in morning.round.spots for chore in spot.chores if chore.kind == "lower"
    }
    if not lowered:
        return
    for job in morning.lowerings:
        if job.loop in lowered:
            title = lowering.title(morning.season, job, lowered[job.loop].minutes)
            yield f'<h2 class="card">{_text(title)}</h2>\n'
            yield f'<p class="large">{"<br>".join(map(_text, lowering.CARE))}</p>\n<table class="large">\n'
            for number, card in enumerate(lowering.head_cards(morning.season, job), 1):
                steps = "<br>".join(_text(say("{} {}", step, words)) for step, words in enumerate(card.steps, 1))
                name = f'<span class="must">{_text(lowering.heading(card))}</span>'
                yield (
                    f'<tr><td class="box">{number}</td><td>{name}'
                    f"<br>{steps}<br>{_text(localize(lowering.tip_words(card)))}; read: "
                    '<span class="blank">&nbsp;</span></td></tr>\n'
                )
            stuck = lowering.stuck_lines(morning.season, job)
            yield "</table>\n" + "".join(f'<p class="large">{_text(words)}</p>\n' for words in stuck)
