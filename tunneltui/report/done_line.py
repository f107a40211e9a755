"""The line typed at the end of a walk on paper: ``all but 07, 12; 14 slid; cherry 6.2``.

Parts are separated by ``;`` and may be:

- ``all``, ``W1 all``, ``all but 07, 12``: what the sheet said, but for those places;
- ``07, 12``: only those, as the sheet said;
- ``14 slid``, ``14 string 8 popped``, ``14 snapped``: a clip that failed, an accident;
- ``cherry 6.2``, ``cherry 1 6,2 kg``: a weighed pick;
- ``14 tip 40``: the tip hangs 40 cm under the wire, after lowering where that was on the sheet;
- ``note ...``: a note, to the end of the part.

A row's name before a part (``W1: 14 slid``) holds for it and those after it. What may mean two things is refused
with the choices; nothing is written then.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tunneltui.cells import Unit
from tunneltui.chores.chore import Chore
from tunneltui.chores.exceptions import together, without
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning
from tunneltui.holding.trouble import Trouble
from tunneltui.journal.body import draft, parsed, typed
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import (
    ClipFailed,
    HowFailed,
    Lowered,
    PlantDropped,
    StemKinked,
    TipSnapped,
)
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import Measured
from tunneltui.pages.units import in_metric
from tunneltui.season import names
from tunneltui.season.state import Leader, Season

FAILED: dict[str, HowFailed] = {
    "popped": "popped_open",
    "popped open": "popped_open",
    "broke": "broke",
    "broken": "broke",
    "slid": "slid",
    "slipped": "slid",
    "pulled out": "stem_pulled_out",
    "stem pulled out": "stem_pulled_out",
    "knot": "knot",
    "twine": "twine",
    "knocked": "knocked",
    "knocked off": "knocked",
}
ACCIDENTS = {"snapped": TipSnapped, "tip snapped": TipSnapped, "kinked": StemKinked, "dropped": PlantDropped}

_PLACE = r"[^\s,;.]*\d[^\s,;.]*"
"""A place or leader, or its number: any word with a digit, as on the label at the place."""
_PLACES = rf"{_PLACE}(?:\s*(?:,|and|\s)\s*{_PLACE})*"
_NUMBER = r"\d+(?:[.,]\d+)?"


@dataclass(frozen=True, slots=True)
class Done:
    """What a line means to write, and that in words."""

    drafts: tuple[Draft, ...]
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the line, understood but not yet looked up."""

    what: str
    """all, only, failed, accident, picked, tip or note."""
    said: str
    row: str = ""
    places: tuple[str, ...] = ()
    word: str = ""
    """How it failed, the accident, the cultivar or the note."""
    amount: float = 0.0


def done_line(line: str, morning: Morning) -> Done:
    """What the line writes, on the round of ``morning``.

    Raises:
        Trouble: a part is not understood, names nothing, or may mean two things.
    """
    parts = parsed_line(line, list(morning.season.layout.rows))
    if not parts:
        raise Trouble("The line is empty.", 'Write such as: tunneltui done "all but 07, 12; 14 slid; cherry 6.2"')
    return _Pen(morning).written(parts)


def example(morning: Morning) -> str:
    """A line that can be typed for this very round, with names that stand on its sheet."""
    chores = [chore for spot in morning.round.spots for chore in spot.chores]
    row = next((chore.row for chore in chores if len(chore.leaders) > 1), "")
    standing = morning.season.leaders_of_row(row)
    clipped = next(((one, fixing) for one in standing for fixing in one.fixings if fixing.on == "string"), None)
    picked = next((_cultivar_of(chore) for chore in chores if chore.kind == "pick" and chore.row == row), "")
    parts = [f"{row} all but {re.sub('.*-', '', standing[-1].place)}" if standing else "all"]
    parts += [f"{names.typed_name(morning.season, *clipped)} slid"] if clipped else []
    parts += [f"{picked} 6.2"] if picked else []
    return "; ".join(parts)


def parsed_line(line: str, rows: Sequence[str]) -> list[Part]:
    """The line's parts; ``rows`` are the names that may stand before a part.

    Raises:
        Trouble: a part is not understood; it is quoted.
    """
    found: list[Part] = []
    row = ""
    by_lower = {name.lower(): name for name in rows}
    for text in (part.strip() for part in re.split(r"[;\n]", line)):
        head, _, rest = text.partition(" ")
        named = by_lower.get(head.rstrip(":").lower())
        if named is not None:
            row, text = named, rest.strip()
        if text:
            found.append(replace(_part(text), row=row))
    return found


def _part(text: str) -> Part:
    lower = re.sub(r"\s+", " ", text.lower()).rstrip(".")
    if said := re.fullmatch(rf"(?:all|everything)(?:\s+(?:but|except|save)\s+({_PLACES}))?", lower):
        return Part("all", text, places=_places(said[1]))
    if said := re.fullmatch(_PLACES, lower):
        return Part("only", text, places=_places(lower))
    if said := re.fullmatch(
        rf"({_PLACE}(?: (?:string (?:[a-z]+\d+/)?\d+|head|wire)(?: [a-z])?)?) ({'|'.join(FAILED)})", lower
    ):
        return Part("failed", text, places=(said[1],), word=said[2])
    if said := re.fullmatch(rf"({_PLACES}) ({'|'.join(ACCIDENTS)})", lower):
        return Part("accident", text, places=_places(said[1]), word=said[2])
    if said := re.fullmatch(rf"({_PLACE}) tip ({_NUMBER}) ?(cm|in)?", lower):
        return Part("tip", text, places=(said[1],), amount=_amount(said[2], "cm", said[3]))
    if said := re.match(r"note[: ]\s*(.+)", text, re.I | re.S):
        return Part("note", text, word=said[1].strip())
    if said := re.fullmatch(rf"(\S.*?) ({_NUMBER}) ?(kg|g|lb|oz)?", lower):
        return Part("picked", text, word=said[1], amount=_amount(said[2], "kg", said[3]))
    raise Trouble(
        f"{text!r} is not understood, so nothing was written.",
        "Parts may be: all; all but 07, 12; 14 slid; 14 string 8 popped; 14 snapped; cherry 6.2; "
        "14 tip 40; note ...",
    )


def _places(text: str | None) -> tuple[str, ...]:
    return tuple(re.findall(_PLACE, text or ""))


def _amount(text: str, metric: Unit, unit: str | None) -> float:
    """In the metric unit; a number without a unit is in the grower's."""
    value = in_metric(float(text.replace(",", ".")), metric, unit or "")
    if value is None:
        raise Trouble(f"{text} {unit} is no amount in {metric}.")
    return round(value, 4)


class _Pen:
    """Gathers what the parts write.

    Failures come first, so that a row looked over does not count a failed clip as seen holding; then weights and
    tips, so that ``all`` knows what stands in for a chore's own entries.
    """

    def __init__(self, morning: Morning) -> None:
        self._season: Season = morning.season
        self._chores = [chore for spot in morning.round.spots for chore in spot.chores]
        self._drafts: list[Draft] = []
        self._says: list[str] = []
        self._weighed: dict[str, list[Draft]] = {}
        """By the id of the pick chore they stand in for."""
        self._tips: dict[str, float] = {}
        """By leader id, metres under the wire, not yet written."""

    def written(self, parts: Sequence[Part]) -> Done:
        steps: dict[str, Callable[[Part], None]] = {
            "failed": self._failed,
            "accident": self._accident,
            "picked": self._picked,
            "tip": self._tip,
            "all": self._as_said,
            "only": self._as_said,
            "note": self._note,
        }
        for what, step in steps.items():
            for part in parts:
                if part.what == what:
                    step(part)
        self._tips_left()
        if not self._drafts:
            raise Trouble("The round of today has nothing that this line could tick off.")
        return Done(tuple(self._drafts), tuple(self._says))

    def _picked(self, part: Part) -> None:
        picks = [c for c in self._chores if c.kind == "pick" and (not part.row or c.row == part.row)]
        fitting = [c for c in picks if _names_cultivar(self._season, c, part.word)]
        cultivar = _cultivar_of(fitting[0]) if fitting else names.cultivar_key(self._season, part.word)
        if len({_cultivar_of(c) for c in fitting}) > 1 or len(fitting) > 1:
            weight = part.said[len(part.word) :].strip()
            choices = "; ".join(f"{c.row} {_cultivar_of(c)} {weight}" for c in fitting)
            raise Trouble(f"{part.said!r} may be several picks of today.", f"Write each: {choices}.")
        about = fitting[0].row if fitting else part.row or self._only_row_of(cultivar)
        body = Picked(cultivar, kg=part.amount)
        made = draft(about, body, answers=fitting[0].answers if fitting else None)
        self._says.append(f"picked {part.amount:g} kg {cultivar} in {about or 'the house'}")
        self._drafts.append(made)
        if fitting:
            self._weighed.setdefault(fitting[0].id, []).append(made)

    def _only_row_of(self, cultivar: str) -> str:
        rows = {leader.row for leader in self._season.leaders.values() if leader.cultivar == cultivar}
        return rows.pop() if len(rows) == 1 else ""

    def _tip(self, part: Part) -> None:
        leader = names.leader(self._season, part.places[0], part.row)
        if part.amount > 600:
            raise Trouble(f"{part.said!r}: a tip is not {part.amount:g} cm under the wire.")
        self._tips[leader.id] = part.amount / 100

    def _as_said(self, part: Part) -> None:
        named = self._leaders(part)
        chores = [chore for chore in self._chores if not part.row or chore.row == part.row]
        for chore in chores:
            meant = self._meant(chore, part, named)
            if meant is not None and chore.id not in self._weighed and KINDS[chore.kind].is_ticked:
                self._drafts += self._with_tips(together(meant.writes))
                self._says.append(f"done: {chore.proposal}")

    def _leaders(self, part: Part) -> list[Leader]:
        """Every leader at the places named, which must be in one row."""
        found: list[Leader] = []
        for place in part.places:
            there = names.leaders_at(self._season, place, part.row)
            rows = dict.fromkeys(leader.row for leader in there)
            on_the_sheet = {id_ for chore in self._chores for id_ in chore.leaders}
            if len(rows) > 1:
                there = [leader for leader in there if leader.id in on_the_sheet]
                rows = dict.fromkeys(leader.row for leader in there)
            if len(rows) > 1:
                choices = ", ".join(dict.fromkeys(leader.place for leader in there))
                raise Trouble(
                    f"{place} may be {choices}.", f"Say the row first, such as: {next(iter(rows))}: {part.said}"
                )
            found += there
        return found

    def _meant(self, chore: Chore, part: Part, named: Sequence[Leader]) -> Chore | None:
        """The chore as far as this part ticks it off; None where not at all."""
        ids = {leader.id for leader in named}
        if part.what == "all":
            left = without(chore, ids) if ids else chore
            return left if left.leaders or not chore.leaders else None
        mine = [id_ for id_ in chore.leaders if id_ in ids]
        return without(chore, [id_ for id_ in chore.leaders if id_ not in ids]) if mine else None

    def _with_tips(self, writes: Sequence[Draft]) -> list[Draft]:
        """A lowering carries the tip that was read after it (rule 7: then it teaches growth)."""
        made = []
        for one in writes:
            body = typed(one) if one.kind == "lowered" else None
            if isinstance(body, Lowered) and body.leader in self._tips:
                under_m = self._tips.pop(body.leader)
                read = replace(body, tip_under_wire_m=under_m, as_proposed=False)
                self._says.append(
                    f"{self._season.leaders[body.leader].name}: tip {under_m * 100:g} cm under the wire"
                )
                made.append(_same_answers(one, read))
            else:
                made.append(one)
        return made

    def _tips_left(self) -> None:
        """Tips read where nothing was lowered."""
        for leader_id, under_m in self._tips.items():
            leader = self._season.leaders[leader_id]
            self._drafts.append(draft(leader.place, Measured(leader_id, tip_under_wire_m=under_m)))
            self._says.append(f"{leader.name}: tip {under_m * 100:g} cm under the wire")

    def _note(self, part: Part) -> None:
        self._drafts.append(draft(part.row, Note(part.word)))
        self._says.append(f"note: {part.word}")

    def _failed(self, part: Part) -> None:
        id_ = names.fixing_id(self._season, part.places[0], part.row)
        holder = next(one for one in self._season.leaders.values() if id_ in {f.id for f in one.fixings})
        fixing = next(f for f in holder.fixings if f.id == id_)
        how = FAILED[part.word]
        self._drafts.append(draft(holder.place, ClipFailed(id_, how)))
        self._says.append(
            f"clip failed: {names.typed_name(self._season, holder, fixing)}, {how.replace('_', ' ')}"
        )

    def _accident(self, part: Part) -> None:
        for place in part.places:
            leader = names.leader(self._season, place, part.row)
            self._drafts.append(draft(leader.place, ACCIDENTS[part.word](leader.id)))
            self._says.append(f"{leader.name}: {part.word}")


def _same_answers(old: Draft, body: Lowered) -> Draft:
    plain = parsed(old)
    answers, pieces = plain.get("answers"), plain.get("pieces") or [""]
    made = draft(old.about, body, tuple(answers) if answers else None, pieces[0])
    return made._replace(id=old.id)


def _cultivar_of(chore: Chore) -> str:
    bodies = [typed(one) for one in chore.writes]
    return next((body.cultivar for body in bodies if isinstance(body, Picked)), "")


def _names_cultivar(season: Season, chore: Chore, word: str) -> bool:
    """Whether a pick is of the cultivar, or of the kind of fruit, that was typed."""
    key = _cultivar_of(chore)
    cultivar = season.layout.cultivars.get(key)
    return key.lower() == word or key.lower().startswith(word) or (cultivar is not None and cultivar.fruit == word)
