"""The season on one page: self-contained HTML with curves, yields, and all that the review says.

It asks nothing of the network and runs nothing; every text that a grower wrote is escaped.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from html import escape

from tunneltui.cells import METRIC, Quantity, Units, kg, localized, one_line, scale
from tunneltui.pages.page import Section
from tunneltui.pages.season import air_words, money, season_page, span_words
from tunneltui.pages.season_pictures import air_picture, clips_picture, hours_picture, kg_pictures, stems_picture
from tunneltui.pages.text import LONGEST, day_words, table_html
from tunneltui.review.look_back import LookBack
from tunneltui.review.record import within
from tunneltui.review.season_weeks import SeasonWeeks
from tunneltui.review.seasons import Curve, season_years
from tunneltui.season.growing_year import GrowingYear

_STYLE = """
@page { size: A4; margin: 12mm }
body { font: 11pt/1.3 sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 46em; padding: 0 .5em }
h1 { font-size: 15pt } h2 { font-size: 12pt; border-bottom: 1.5pt solid #000; margin: 1em 0 .3em }
table { border-collapse: collapse; width: 100% } tr { break-inside: avoid }
th, td { text-align: left; vertical-align: top; padding: .15em .4em; border-bottom: .5pt solid #999 }
li { break-inside: avoid } ul { padding-left: 1.2em; margin: .2em 0 }
svg { width: 100%; height: auto } .day { white-space: nowrap }
h3 { font-size: 10pt; margin: .4em 0 0 } figure { margin: 0; break-inside: avoid } p { margin: .2em 0 }
@media print {
body { font-size: 9.5pt; max-width: none } .sheet + .sheet { break-before: page }
.rest { columns: 2; font-size: 7.5pt } .rest h2 { font-size: 9pt; margin: .4em 0 .2em; break-after: avoid }
.pictures { display: grid; grid-template-columns: 1fr 1fr; gap: 0 1em }
}
@media screen and (max-width: 40em) {
table, tbody, tr { display: block } tr:first-child, td:empty { display: none }
tr { border-bottom: .5pt solid #999; padding: .3em 0 }
td { display: inline-block; border: 0; padding: 0 .4em 0 0 }
td:first-child { font-weight: bold } td + td::before { content: attr(data-of) " "; color: #333 }
}
"""
"""On a phone every row of a table is a paragraph, each number with its name before it."""
_WIDTH, _HEIGHT, _EDGE = 640, 240, 40
_DASHES = ("", "7 4", "2 4")
"""Years are told apart by their dashes as well as by the year written at the curve's end."""
Cell = str | int | float | date | None


OWN = ("yields", "weeks", "clips", "hours")
"""Sections that have a place of their own on the page."""


def season_html(back: LookBack, name: str, units: Units = METRIC, weeks: SeasonWeeks | None = None) -> str:
    """The page as text; ``name`` is what the grower calls the holding. Metric unless ``units`` says otherwise.

    Printed it is four sheets of A4: kilograms; stems and air; hours and clips; all else. ``weeks`` None leaves out
    what is drawn by week.
    """
    title = f"{name}: {span_words(back.since, back.until)}, as of {day_words(back.day)}"
    sections = season_page(back).sections
    by_key = {section.key: section for section in sections}
    hours = hours_picture({job.chore.replace("_", " ")[:28]: job.minutes / 60 for job in back.labour[:MOST_KINDS]})
    return "".join(
        (
            '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n',
            '<meta name="viewport" content="width=device-width, initial-scale=1">\n',
            f"<title>{_text(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n<h1>{_text(title)}</h1>\n",
            '<div class="sheet">\n',
            _kilograms(weeks, units),
            "<h2>Picked so far, by week</h2>\n",
            _curves(back.curves, back.record.growing_year, units),
            _seasons(back, units),
            "</div>\n",
            _stems_and_air(weeks, units),
            '<div class="sheet">\n',
            f"<h2>What came off, by {_text(back.by)}</h2>\n",
            _yields(back, units),
            f"<figure>{hours}</figure>\n" if hours else "",
            _section_html(by_key["hours"], units),
            clips_picture(weeks) if weeks is not None else "",
            _section_html(by_key["clips"], units),
            '</div>\n<div class="sheet rest">\n',
            *(_section_html(section, units) for section in sections if section.key not in OWN),
            "</div>\n</body>\n</html>\n",
        )
    )


def _kilograms(weeks: SeasonWeeks | None, units: Units) -> str:
    """A picture a cultivar, those that gave most first; what is too much for a sheet is in the table."""
    pictures = dict(kg_pictures(weeks, units)) if weeks is not None else {}
    if weeks is None or not pictures:
        return ""
    most = sorted(pictures, key=lambda name: -sum(weeks.kg.get(name, {}).values()))[:MOST_PICTURES]
    figures = "".join(f"<figure><h3>{_text(name)}</h3>\n{pictures[name]}</figure>\n" for name in most)
    how = "Boxes: weighed. Line: foreseen before the season, by the day each truss was to ripen."
    return f"{_head('Kilograms a week')}<p>{how}</p>\n{_div('pictures', figures)}"


MOST_PICTURES = 8


def _stems_and_air(weeks: SeasonWeeks | None, units: Units) -> str:
    if weeks is None:
        return ""
    parts = []
    if drawn := stems_picture(weeks, units):
        parts += ["<h2>Stems and wire</h2>\n", f"<figure>{drawn}</figure>\n"]
    for tunnel, cost in weeks.air_cost.items():
        if drawn := air_picture(weeks.air[tunnel], units, tunnel):
            sentence = _text(localized(air_words(cost), units))
            parts += [_head(f"Air of {tunnel}"), f"<figure>{drawn}</figure>\n<p>{sentence}</p>\n"]
    return _div("sheet", "".join(parts)) if parts else ""


def _head(title: str) -> str:
    return f"<h2>{_text(title)}</h2>\n"


def _div(kind: str, inside: str) -> str:
    return f'<div class="{kind}">\n{inside}</div>\n'


MOST_KINDS = 10


def _section_html(section: Section, units: Units) -> str:
    if section.columns:
        return _head(section.title) + "\n".join(table_html(section, units)) + "\n"
    items = "".join(f"<li>{_text(localized(item.lengths[0], units))}</li>\n" for item in section.items)
    return f"<h2>{_text(section.title)}</h2>\n<ul>\n{items}</ul>\n"


def _curves(curves: dict[int, Curve], growing: GrowingYear, units: Units) -> str:
    if not curves:
        return "<p>No pick was weighed.</p>\n"
    weeks = [week for curve in curves.values() for week in curve]
    first, last = min(weeks), max(weeks)
    most = max(kg for curve in curves.values() for kg in curve.values()) or 1.0

    def at(week: int, kg: float) -> tuple[float, float]:
        across = (week - first) / max(1, last - first)
        return _EDGE + across * (_WIDTH - 2 * _EDGE), _HEIGHT - _EDGE - kg / most * (_HEIGHT - 2 * _EDGE)

    parts = [
        f'<svg viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" aria-label="picked so far by ISO week">',
        f'<line x1="{_EDGE}" y1="{_HEIGHT - _EDGE}" x2="{_WIDTH - _EDGE}" y2="{_HEIGHT - _EDGE}" stroke="#000"/>',
        _words(_EDGE, _HEIGHT - _EDGE / 2, f"week {growing.week_number(first)}"),
        _words(_WIDTH - _EDGE, _HEIGHT - _EDGE / 2, f"week {growing.week_number(last)}"),
        _words(_EDGE, _EDGE / 2, kg(most).shown(units)),
    ]
    for number, (year, curve) in enumerate(sorted(curves.items(), reverse=True)):
        points = [at(week, kg) for week, kg in curve.items()]
        drawn = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        dashes = _DASHES[min(number, len(_DASHES) - 1)]
        parts.append(
            f'<polyline points="{drawn}" fill="none" stroke="#000" stroke-width="2" stroke-dasharray="{dashes}"/>'
        )
        parts += [f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3"/>' for x, y in points]
        parts.append(_words(points[-1][0], points[-1][1] - 8, growing.name(year)))
    return "\n".join([*parts, "</svg>"]) + "\n"


def _words(x: float, y: float, text: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="12" text-anchor="middle">{_text(text)}</text>'


def _seasons(back: LookBack, units: Units) -> str:
    """A line a season, from the second on; '' before."""
    years, growing = season_years(back.record), back.record.growing_year
    if len(years) < 2:
        return ""
    mass = scale("kg", units)
    rows = []
    for year in years:
        written = within(back.record, *growing.span(year))
        weighed = [pick for pick in written.picks if pick.kg is not None]
        kg = sum(pick.kg or 0.0 for pick in weighed) * mass.times
        plants = sum(growing.of(plant.planted_on) == year for plant in written.plants)
        days = sorted(pick.day for pick in weighed)
        per_plant = kg / plants if weighed and plants else None
        first, last = (days[0], days[-1]) if days else (None, None)
        rows.append((growing.name(year), kg if weighed else None, plants or None, per_plant, first, last))
    head = ["season", mass.name, "plants", f"{mass.name} a plant", "first pick", "last pick"]
    return "<h2>Seasons side by side</h2>\n" + _table(head, rows)


def _yields(back: LookBack, units: Units) -> str:
    mass, per_area = scale("kg", units), scale("kg/m2", units)
    head = [back.by, mass.name, "fruits", f"lost {mass.name}", "plants", f"{mass.name} a plant", per_area.name]
    head += ["first pick", "last pick", "weeks", f"value {back.currency}".rstrip()]
    rows = [
        (
            line.group or "not said",
            line.kg * mass.times if line.kg else None,
            line.count,
            line.lost_kg * mass.times if line.lost_kg else None,
            line.plants,
            line.kg_per_plant * mass.times if line.kg and line.kg_per_plant else None,
            Quantity(line.kg_per_m2, "kg/m2").figure(units) if line.kg and line.kg_per_m2 else None,
            line.first_pick,
            line.last_pick,
            line.days / 7 if line.days else None,
            money(line.value, "") if line.value is not None else None,
        )
        for line in back.yields
    ]
    return _table(head, rows)


def _table(head: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Columns without a value are left out."""
    rows = list(rows)
    kept = [n for n in range(len(head)) if any(row[n] is not None for row in rows)]
    head, rows = [head[n] for n in kept], [[row[n] for n in kept] for row in rows]
    body = "".join(f"<tr>{''.join(map(_cell, head, row))}</tr>\n" for row in rows)
    if not body:
        return "<p>Nothing was noted.</p>\n"
    return f"<table>\n<tr>{''.join(f'<th>{_text(word)}</th>' for word in head)}</tr>\n{body}</table>\n"


def _cell(name: str, cell: Cell) -> str:
    """Unknown is an empty cell."""
    text = "" if cell is None else f"{cell:.1f}" if isinstance(cell, float) else _text(str(cell))
    kind = ' class="day"' if isinstance(cell, date) else ""
    return f'<td data-of="{_text(name)}"{kind}>{text}</td>'


def _text(text: str) -> str:
    return escape(one_line(text, LONGEST))
