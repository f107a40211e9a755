"""What is known of a leader, in words beside its pictures: on the screen and in print the same. Pure."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from tunneltui.cells import Day, Quantity, Range, Share, cm, day_word, joined, load, m, many, say
from tunneltui.chores.morning import Morning
from tunneltui.chores.wording import hook_place
from tunneltui.draw.canvas import CanvasRow
from tunneltui.draw.chart import AxisUnit, BandDay, ReadDay, band_chart
from tunneltui.draw.row_picture import Window, row_picture
from tunneltui.draw.row_scene import row_scene
from tunneltui.growth.outlook import Outlook, TrussOn
from tunneltui.loads.result import ClipLoad, Loads
from tunneltui.pages.story import measured_words
from tunneltui.season.state import Ending, Fixing, Leader, Lowering, Season

PICTURE_ROWS, CHART_ROWS, ZOOM_M = 16, 9, 5.0
"""Rows of the picture and the chart, and the metres of the loop that the picture shows."""
MOST_READ = 12
LEFT_OUT = "Readings that make no sense: nothing is learned from them"
STORY_TITLE = " {}   arrows move, q goes back"
READ_AGAIN = "Left out, read again: {}."
FULLEST_CLIP = "Its clip on {} carries {}; 1 in 20 of these fails by {}."
"""Templates for ``say``."""


class StemFact(NamedTuple):
    """One line of a row's table."""

    leader: Leader
    length: str
    tip: str
    hangs: str
    """Its hook and its fullest clip."""
    fullest: ClipLoad | None


class TrussFact(NamedTuple):
    truss: TrussOn
    words: str


class FixingFact(NamedTuple):
    fixing: Fixing
    on: str
    load: ClipLoad | None
    """None where no load is known."""
    words: str

    @property
    def share(self) -> float:
        """Of its strength."""
        return self.load.share if self.load is not None else 0.0


class DatedNote(NamedTuple):
    day: date
    words: str


def row_table(season: Season, outlook: Outlook, bearing: Loads, loop: str) -> list[StemFact]:
    """The loop's leaders in the order of their hooks."""
    leaders = [leader for leader in season.leaders_of_loop(loop) if leader.id in bearing.paths]
    leaders.sort(key=lambda leader: bearing.paths[leader.id].hook_u_m)
    return [_stem_fact(season, outlook, bearing, leader) for leader in leaders]


def _stem_fact(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> StemFact:
    stem = outlook.stem(leader.id, bearing.day) if leader.id in outlook.leaders else None
    length = say("{}", m(stem.length_m.mid)) if stem is not None else "unknown"
    fullest = fullest_clip(leader, bearing)
    place = hook_place(season, leader.loop, bearing.paths[leader.id].hook_u_m) + ", " if leader.hook else ""
    clip = (
        say("{} on {}, {}", load(fullest.mid_n), fullest.on, Share(fullest.share))
        if fullest is not None
        else "no clip"
    )
    return StemFact(leader, length, tip_words(season, outlook, bearing, leader), say("{}{}", place, clip), fullest)


def tip_words(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> str:
    """Where the tip hangs against the wire."""
    if leader.id not in outlook.leaders:
        return ""
    stem = outlook.stem(leader.id, bearing.day)
    under_m = season.layout.rows[leader.row][1].wire_height_m - stem.tip_z_m.mid
    return say("{} under wire", cm(under_m)) if under_m >= 0 else say("{} over wire", cm(-under_m))


def fullest_clip(leader: Leader, bearing: Loads) -> ClipLoad | None:
    """The leader's clip nearest to its strength."""
    own = {fixing.id for fixing in leader.fixings}
    return next((clip for clip in bearing.clips if clip.id in own), None)


def leader_words(season: Season, outlook: Outlook, bearing: Loads, leader: Leader) -> list[str]:
    """The chosen leader: stem, hook, fullest clip, what is wrong with its path."""
    words: list[str] = [leader.name, leader.cultivar]
    if leader.id in outlook.leaders:
        stem = outlook.stem(leader.id, bearing.day)
        words += [say("{}", m(stem.length_m.mid)), many(len(stem.trusses), *season.crop_of(leader).bears)]
        words.append(say("tip {}", tip_words(season, outlook, bearing, leader)))
    if leader.hook is not None:
        hook_u_m = bearing.paths[leader.id].hook_u_m if leader.id in bearing.paths else leader.hook.u_m
        words.append(say("hook {}, {}", leader.hook.number, hook_place(season, leader.loop, hook_u_m)))
    lines: list[str] = [joined("  ", words)]
    clip = fullest_clip(leader, bearing)
    if clip is not None:
        lines.append(
            say(
                "Its clip on {} carries {}; 1 in 20 of these fails by {}. {} of that.",
                clip.on,
                Range(clip.low_n, clip.high_n, "N"),
                load(clip.strength_n),
                Share(clip.share),
            )
        )
    if leader.id in bearing.paths and bearing.paths[leader.id].fault:
        lines.append(bearing.paths[leader.id].fault)
    return lines


def left_out(morning: Morning, leader: Leader) -> list[DatedNote]:
    """Readings that make no sense, the latest first; nothing is learned from them."""
    coming = morning.outlook.leaders.get(leader.id)
    return (
        [DatedNote(reading.day, reading.why) for reading in reversed(coming.flagged)] if coming is not None else []
    )


def side_view(morning: Morning, leader: Leader, width: int) -> list[CanvasRow]:
    """The leader bright among its neighbours; [] where it has no path."""
    scene = row_scene(morning.season, morning.outlook, morning.loads, leader.loop)
    stem = next((stem for stem in scene.stems if stem.leader == leader.id), None)
    if stem is None:
        return []
    middle = (stem.points[0][0] + stem.points[-1][0]) / 2
    window = Window(middle, max(scene.length_m / ZOOM_M, 1.0))
    return row_picture(scene, width, PICTURE_ROWS, window, leader.id)


def stem_chart(morning: Morning, leader: Leader, width: int, unit: AxisUnit) -> list[CanvasRow]:
    """Its measured lengths and the band it will be in."""
    coming = morning.outlook.leaders.get(leader.id)
    if coming is None:
        return []
    bands = [
        BandDay(day, on.length_m.low, on.length_m.mid, on.length_m.high) for day, on in sorted(coming.days.items())
    ]
    read = [ReadDay(reading.day, reading.length_m) for reading in leader.readings if reading.length_m is not None]
    return band_chart(width, CHART_ROWS, bands=bands, marks=read[-MOST_READ:], unit=unit)


def length_facts(morning: Morning, leader: Leader) -> list[str]:
    """What the chart of its length draws, a day a sentence: measured, then the band it will be in."""
    read = [reading for reading in leader.readings if reading.length_m is not None]
    coming = morning.outlook.leaders.get(leader.id)
    return [
        *(
            say("{}: measured {}", Day(reading.day), m(reading.length_m or 0.0, 2))
            for reading in read[-MOST_READ:]
        ),
        *(
            say("{}: {}", day_word(day), Range(on.length_m.low, on.length_m.high, "m"))
            for day, on in sorted(coming.days.items() if coming is not None else ())
        ),
    ]


def truss_facts(morning: Morning, leader: Leader) -> list[TrussFact]:
    """The lowest first."""
    if leader.id not in morning.outlook.leaders:
        return []
    facts = []
    for truss in morning.outlook.stem(leader.id, morning.day).trusses:
        ripe = f"ripe about {day_word(truss.ripe_on)}" if truss.ripe_on else "ripe date beyond the forecast"
        words = say(
            "{}{}, {}, {} up, {}",
            "" if truss.counted else "some ",
            many(round(truss.fruits), "fruit"),
            Quantity(truss.kg, "g"),
            cm(truss.s_m),
            ripe,
        )
        facts.append(TrussFact(truss, words))
    return facts


def fixing_facts(morning: Morning, leader: Leader) -> list[FixingFact]:
    """Clips and ties from the soil up."""
    loads = {clip.id: clip for clip in morning.loads.clips}
    facts = []
    for fixing in leader.fixings:
        bears = loads.get(fixing.id)
        on = morning.season.string_name(fixing.string) if fixing.on == "string" else fixing.on
        state = "assumed" if fixing.assumed else f"seen {day_word(max(fixing.seen_on, default=fixing.hung_on))}"
        carries = (
            say("{}, {} of its strength", Range(bears.low_n, bears.high_n, "N"), Share(bears.share))
            if bears
            else "no load known"
        )
        words = say("{} up, {}, hung {}, {}", cm(fixing.s_m), carries, day_word(fixing.hung_on), state)
        facts.append(FixingFact(fixing, on, bears, words))
    return facts


def leader_notes(leader: Leader) -> list[DatedNote]:
    """Readings, lowerings, failures and accidents as they were noted, the latest first."""
    notes = [DatedNote(reading.day, measured_words(reading)) for reading in leader.readings]
    notes += [DatedNote(lowering.day, _lowered(lowering)) for lowering in leader.lowerings]
    notes += [DatedNote(end.day, _ended(end)) for end in leader.endings]
    notes += [DatedNote(accident.day, accident.kind.replace("_", " ")) for accident in leader.accidents]
    if leader.tip_taken_out_on is not None:
        notes.append(DatedNote(leader.tip_taken_out_on, "tip taken out"))
    notes.append(DatedNote(leader.planted_on, "planted"))
    return sorted(notes, key=lambda fact: fact.day, reverse=True)


def _lowered(lowering: Lowering) -> str:
    let_out = say(" {}", cm(lowering.let_out_m)) if lowering.let_out_m else ""
    return say("lowered{}{}", let_out, ", as proposed" if lowering.as_proposed else "")


def _ended(end: Ending) -> str:
    how = f"failed: {end.how.replace('_', ' ')}" if end.how else "opened"
    return say("clip {}, {} up", how, cm(end.fixing.s_m))
