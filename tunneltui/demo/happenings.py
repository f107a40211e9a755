"""What the made-up growers noticed and decided on certain days of the season, in their own words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from tunneltui.demo.house import EVENING, MORNING, House, due
from tunneltui.journal.kinds_care import Scouted, Treated
from tunneltui.journal.kinds_crop import Stocked
from tunneltui.journal.kinds_journal import Note, PutOff

_NOTES: tuple[tuple[tuple[int, int], str, Note], ...] = (
    ((4, 18), "", Note("The line that came as a gift is two leaves behind the others in the tray.", "raising")),
    ((4, 25), "W1", Note("Soil 13 degC at a hand's depth. The gift plant filled the gap at W1-05.", "planting")),
    ((5, 9), "", Note("Cold nights look likely for a while yet, fleece kept at hand.", "before_first_pick")),
    ((6, 3), "W1", Note("W1-05 is half as high as its neighbours. Wrong place for it.", "before_first_pick")),
    ((6, 20), "", Note("First heads near the wire in the west tunnel. Hooks loaded.", "before_first_pick")),
    ((6, 29), "E2", Note("Peas cleared, the late plants in the same day.", "planting")),
    ((7, 1), "", Note("The kept clips are used up, new ones from now on.", "before_first_pick")),
    ((7, 12), "W1", Note("Heads go past W1-05 on the path side, easier with two pairs of hands.", "picking")),
    ((7, 26), "W1", Note("The wire hangs lower at mid span than it did in June.", "picking")),
    ((8, 9), "", Note("Stems bend easily after seven in the evening, not before.", "picking")),
    ((8, 18), "E2", Note("Tips in E2 a hand or two under the wire. Decide this week.", "picking")),
)


def happen(house: House, day: date) -> None:
    """Writes down what belongs to this day."""
    today = (day.month, day.day)
    for on, about, note in _NOTES:
        if on == today and (not about or about in house.layout.rows):
            house.diary.at(day, 20.5, EVENING)
            house.diary.alone(note, about)
    happening = _HAPPENINGS.get(today)
    if happening is not None and house.stems:
        happening(house, day)


def _straw(house: House, day: date) -> None:
    if "E1" in house.layout.rows:
        house.diary.at(day, 20.0, EVENING)
        house.diary.alone(Note("Straw under the lying stems."), "E1", due("low_fruit", "E1", day))


def _greenfly(house: House, day: date) -> None:
    stems = house.stems[3:5]
    house.diary.at(day, 19.0, EVENING)
    house.diary.alone(Scouted("greenfly on the tips", tuple(stem.id for stem in stems)), stems[0].row)


def _soft_soap(house: House, day: date) -> None:
    tunnel, _ = house.layout.rows[house.stems[0].row]
    house.diary.at(day, 20.0, EVENING)
    house.diary.alone(Treated("soft soap, as the label says", reentry_hours=4.0, pick_days=1.0), tunnel.key)


def _greenfly_over(house: House, day: date) -> None:
    stems = house.stems[3:5]
    house.diary.at(day, 19.0, EVENING)
    house.diary.alone(Scouted("", tuple(stem.id for stem in stems), over=True), stems[0].row)


def _new_clips(house: House, day: date) -> None:
    house.diary.at(day, 17.0, EVENING)
    house.diary.act()
    for kind in house.layout.holding.clips[:1]:
        house.diary.write(Stocked("clip", kind.key, -150.0))
    for kind in house.layout.holding.clips[1:]:
        house.diary.write(Stocked("clip", kind.key, 250.0))


def _weak_one_later(house: House, day: date) -> None:
    """They would not decide about the weak one yet."""
    for stem in house.stems:
        if stem.weak:
            house.diary.at(day, 9.2, MORNING)
            tick = due("weak_plant", stem.name, day)
            house.diary.alone(PutOff(date(day.year, 8, 15)), stem.place, tick)


def _brown_spots(house: House, day: date) -> None:
    stem = house.stems[-12 % len(house.stems)]
    house.diary.at(day, 19.0, EVENING)
    house.diary.alone(Scouted("brown spots on two low leaves", (stem.id,)), stem.row)


_HAPPENINGS: dict[tuple[int, int], Callable[[House, date], None]] = {
    (6, 14): _greenfly,
    (6, 15): _soft_soap,
    (7, 1): _new_clips,
    (7, 2): _straw,
    (7, 5): _greenfly_over,
    (7, 18): _weak_one_later,
    (8, 16): _brown_spots,
}
