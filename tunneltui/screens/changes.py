"""Done with changes: which fields a chore's entries offer, and the entries after the grower changed them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from tunneltui.cells import Unit, say
from tunneltui.chores.chore import Chore
from tunneltui.journal import body
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_journal import Note
from tunneltui.pages.prompts import CHANGES
from tunneltui.screens.acts import place_of
from tunneltui.screens.forms import Field
from tunneltui.screens.messages import Act
from tunneltui.screens.numbers import NotANumber, number
from tunneltui.screens.round_view import LeaderFacts

FINISHES = {"w": "well_under", "s": "as_said", "o": "over"}


class _ChangeableField(NamedTuple):
    """A field of an entry that can be changed in a form."""

    kind: str
    key: str
    per_unit: float = 1
    """Typed units in one unit kept; 0: a finish letter."""
    per_entry: bool = False
    """Also offered where the chore writes several such entries; the value then holds for all."""

    @property
    def words(self) -> str:
        return CHANGES[self.kind, self.key]


_OFFERED = (
    _ChangeableField("lowered", "finish", per_unit=0, per_entry=True),
    _ChangeableField("lowered", "let_out_m", 100),
    _ChangeableField("lowered", "tip_under_wire_m", 100),
    _ChangeableField("lowered", "hook_u_m", 100),
    _ChangeableField("picked", "kg"),
    _ChangeableField("picked", "count"),
    _ChangeableField("deleafed", "leaves", per_entry=True),
    _ChangeableField("clipped", "s_m", 100),
    _ChangeableField("tied", "s_m", 100),
    _ChangeableField("truss_pruned", "fruits"),
    _ChangeableField("fed", "cans"),
    _ChangeableField("fed", "litres"),
    _ChangeableField("watered", "minutes"),
    _ChangeableField("watered", "litres"),
)
_WHOLE = {"count", "leaves", "fruits"}


def fields_of(chore: Chore, leaders: Sequence[LeaderFacts]) -> list[Field]:
    """What can be changed, most often needed first; a note always."""
    fields = []
    if len(leaders) > 1:
        names = ", ".join(leader.name for leader in leaders)
        fields.append(Field("all but", "All but", "", f"such as 07, 12; of {names}"))
    for offered in _offered_by(chore):
        initial = _initial(chore, offered)
        fields.append(Field(f"{offered.kind} {offered.key}", offered.words, initial, unit=_unit_of(offered)))
    fields.append(Field("note", "Note"))
    return fields


def _unit_of(offered: _ChangeableField) -> Unit:
    if offered.key.endswith("_m"):
        return "cm"
    units: dict[str, Unit] = {"kg": "kg", "litres": "L"}
    return units.get(offered.key, "")


def fault_in(chore: Chore, leaders: Sequence[LeaderFacts], values: Mapping[str, str]) -> str:
    """What is wrong with what was typed, as a sentence; '' if nothing."""
    try:
        act(chore, leaders, values)
    except NotANumber as not_one:
        return str(not_one)
    return ""


def act(chore: Chore, leaders: Sequence[LeaderFacts], values: Mapping[str, str]) -> Act:
    """The act with the changes in it. Raises ``NotANumber`` with a sentence where something does not fit."""
    from tunneltui.chores.exceptions import together, without

    left_out = _named(values.get("all but", ""), leaders)
    if left_out and len(left_out) == len(leaders):
        raise NotANumber("All of them are left out; z puts the chore off.")
    reduced = without(chore, frozenset(left_out)) if left_out else chore
    drafts = list(reduced.writes)
    for offered in _offered_by(chore):
        typed = values.get(f"{offered.kind} {offered.key}", "")
        if typed != _initial(chore, offered):
            drafts = [_with(draft, offered, typed) if draft.kind == offered.kind else draft for draft in drafts]
    if values.get("note"):
        drafts.append(body.draft(place_of(chore), Note(values["note"])))
    what = say("Done: {}{}", chore.proposal, f", all but {len(left_out)}" if left_out else "")
    return Act(together(drafts), what, (chore.id,))


def _offered_by(chore: Chore) -> list[_ChangeableField]:
    counts: dict[str, int] = {}
    for draft in chore.writes:
        counts[draft.kind] = counts.get(draft.kind, 0) + 1
    return [
        offered
        for offered in _OFFERED
        if counts.get(offered.kind) == 1 or (offered.per_entry and counts.get(offered.kind))
    ]


def _initial(chore: Chore, offered: _ChangeableField) -> str:
    values = {
        _typed_form(body.parsed(draft).get(offered.key), offered)
        for draft in chore.writes
        if draft.kind == offered.kind
    }
    return values.pop() if len(values) == 1 else ""


def _typed_form(value: Any, offered: _ChangeableField) -> str:
    if value is None:
        return ""
    if not offered.per_unit:
        return next((letter for letter, finish in FINISHES.items() if finish == value), "")
    return f"{value * offered.per_unit:.10g}"


def _with(draft: Draft, offered: _ChangeableField, typed: str) -> Draft:
    value = _value(offered, typed)
    seen = {"as_proposed": None} if offered.kind == "lowered" and value is not None else {}
    return body.changed(draft, **{offered.key: value}, **seen)


def _value(offered: _ChangeableField, typed: str) -> float | int | str | None:
    if not typed.strip():
        return None
    if not offered.per_unit:
        finish = FINISHES.get(typed.strip().lower()[:1])
        if finish is None:
            raise NotANumber("Tip against what was said: w, s or o was wanted.")
        return finish
    from tunneltui.holding.expected import limits
    from tunneltui.journal.kinds import KINDS

    least, most = (limit * offered.per_unit for limit in limits(KINDS[offered.kind], offered.key))
    value = number(typed, least, most, offered.words, _unit_of(offered)) / offered.per_unit
    return int(value) if offered.key in _WHOLE else value


def _named(text: str, leaders: Sequence[LeaderFacts]) -> list[str]:
    """Ids of the leaders named by the ends of their names: ``07``, ``7``, ``W1-07`` or ``W1-07b``."""
    named: list[str] = []
    for word in re.split(r"[\s,;]+", text.strip()):
        if word:
            matching = [leader for leader in leaders if _is_named(word, leader)]
            if not matching:
                raise NotANumber(f"All but: {word} is not one of these.")
            places = dict.fromkeys(leader.place for leader in matching)
            if len(places) > 1:
                raise NotANumber(f"All but: {word} may be {' or '.join(places)}.")
            named += [leader.id for leader in matching]
    return list(dict.fromkeys(named))


def _is_named(word: str, leader: LeaderFacts) -> bool:
    sought = word.casefold()
    names = (leader.name.casefold(), leader.place.casefold())
    if sought in names:
        return True
    tails = [name.rpartition("-")[2] for name in names]
    return any(tail.lstrip("0") == sought.lstrip("0") for tail in tails)
