"""Entries from ``KEY=VALUE`` words: names become ids, then the same checks as any form."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tunneltui.cells import Unit
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.check import checked_body, required_keys, what_it_takes
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds import KINDS
from tunneltui.journal.order import MARKS
from tunneltui.pages.units import typed
from tunneltui.season import names
from tunneltui.season.state import Season

_BY_COMMANDS = {"holding_set": "tunneltui holding edit", **dict.fromkeys(MARKS, "tunneltui journal cross-out")}
"""Kinds that have a command of their own, which checks more."""
_NEEDS_A_PLACE = frozenset({"planted"})
_NEEDS_A_ROW = frozenset({"string_hung"})


_OF_A_ROW = ("planted", "removed")
"""Kinds noted plant by plant that may be typed for a whole row at once."""
_STEMS = frozenset({"leader", "plant", "leaders"})
"""Keys that say which stem; where none is given, what the entry is about says it."""


def kinds_to_type() -> dict[str, str]:
    """What each kind that can be added by hand takes, in the order of its family."""
    return {kind: what_it_takes(kind) for kind in KINDS if kind not in _BY_COMMANDS}


def typed_entries(season: Season, kind: str, words: Sequence[str], about: str | None) -> list[Draft]:
    """The entries that a grower typed: one, or one a plant where a whole row was planted or cleared.

    ``about``: a place, row or tunnel, or a stem. ``but=07,12`` leaves some places of a row out.

    Raises:
        UserError: the kind, a key, a name or a value is not right; every key is named.
    """
    row = _row(season, about)
    if kind not in _OF_A_ROW or not row:
        return [typed_entry(season, kind, words, about)]
    given = _mapping(kind, words)
    but = _left_out(season, row, given.pop("but", ""))
    if kind == "removed":
        return _removed(season, row, given, but)
    return _planted(season, row, given, but)


def _row(season: Season, about: str | None) -> str:
    """The row of that name; '' where it is none."""
    sought = (about or "").strip().lower()
    return next((row for row in season.layout.rows if row.lower() == sought), "")


def _left_out(season: Season, row: str, text: str) -> frozenset[str]:
    """Places of a row by their names or numbers."""
    places = [place.name for place in season.layout.rows[row][1].places]
    left_out = set()
    for word in filter(None, (part.strip() for part in text.split(","))):
        fits = [
            name
            for name in places
            if name.lower() == word.lower()
            or (word.isdigit() and name.rpartition("-")[2].lstrip("0") == word.lstrip("0"))
        ]
        if len(fits) != 1:
            raise UserError(f"{row} has no place {word!r}.", names.nearest(word, places))
        left_out.add(fits[0])
    return frozenset(left_out)


def _removed(season: Season, row: str, given: dict[str, str], but: frozenset[str]) -> list[Draft]:
    plants = {leader.plant: leader.place for leader in season.leaders_of_row(row) if leader.place not in but}
    if not plants:
        raise UserError(f"Nothing stands on {row} that could be cleared.")
    return [
        draft(place, checked_body("removed", {**given, "plant": plant}, text=True))
        for plant, place in plants.items()
    ]


def _planted(season: Season, row: str, given: dict[str, str], but: frozenset[str]) -> list[Draft]:
    """Every empty place of the row; without a cultivar the one that is intended there."""
    taken = {leader.place for leader in season.leaders_of_row(row)}
    empty = [place for place in season.layout.rows[row][1].places if place.name not in taken | but]
    if not empty:
        raise UserError(
            f"{row} has no empty place left.", "Clear what stands there first: removed --about the row."
        )
    drafts = []
    for place in empty:
        words = {"cultivar": place.cultivar, "leaders": f"{place.leaders}"} | given
        if not words["cultivar"]:
            raise UserError(f"No cultivar is intended at {place.name}.", "Add cultivar=NAME.")
        resolved = {key: _resolved(season, "planted", key, value, place.name) for key, value in words.items()}
        drafts.append(draft(place.name, checked_body("planted", resolved, text=True)))
    return drafts


def typed_entry(season: Season, kind: str, words: Sequence[str], about: str | None) -> Draft:
    """The entry that a grower typed.

    Raises:
        UserError: the kind, a key, a name or a value is not right; every key is named.
    """
    if kind in _BY_COMMANDS:
        raise UserError(f"{kind} is not added by hand.", f"Use `{_BY_COMMANDS[kind]}`.")
    if kind not in KINDS:
        near = names.nearest(kind, [key for key in KINDS if key not in _BY_COMMANDS])
        raise UserError(f"There is no kind of entry {kind!r}.", f"{near} `tunneltui add` alone lists them all.")
    given = _mapping(kind, words)
    if about and kind not in _NEEDS_A_PLACE:
        given = _with_stems(season, kind, given, about)
    place = _about(season, kind, given) if about is None else _place(season, about)
    _refuse_without_place(season, kind, place)
    stem = given.get("leader", "")
    resolved = {key: _resolved(season, kind, key, value, place, stem) for key, value in given.items()}
    return draft(place, checked_body(kind, resolved, text=True))


def _place(season: Season, about: str) -> str:
    """A place, row or tunnel; of a stem the place it stands at."""
    try:
        return names.place_name(season, about)
    except UserError:
        if stems := [stem for stem in season.leaders.values() if stem.name.lower() == about.strip().lower()]:
            return stems[0].place
        raise


def _with_stems(season: Season, kind: str, given: dict[str, str], about: str) -> dict[str, str]:
    """With the stem that the entry is about, or all of its row, where the kind must name one and none is named."""
    key = next((key for key in required_keys(kind) if key in _STEMS), None)
    if key is None or key in given:
        return given
    row = _row(season, about)
    if key == "leaders" and row:
        but = _left_out(season, row, given.pop("but", ""))
        stems = [stem.name for stem in season.leaders_of_row(row) if stem.place not in but]
        return given | {key: ",".join(stems)} if stems else given
    # Of a whole row one stem cannot be meant; what is missing is told as ever.
    return given if row or _place(season, about) not in season.layout.places else given | {key: about}


def _mapping(kind: str, words: Sequence[str]) -> dict[str, str]:
    if kind == "note" and words and "=" not in words[0]:
        return {"text": " ".join(words)}
    given: dict[str, str] = {}
    for word in words:
        key, sign, value = word.partition("=")
        if not sign or not key:
            raise UserError(f"{word!r} is no KEY=VALUE.", what_it_takes(kind))
        if key in given:
            raise UserError(f"{key} is given twice.")
        given[key] = _in_si(key, value)
    return given


_UNITS: tuple[tuple[str, Unit], ...] = (
    ("kg", "kg"),
    ("litres", "L"),
    ("_l", "L"),
    ("_mm", "mm"),
    ("_m", "m"),
    ("_c", "degC"),
)
"""How the name of a key ends, and the unit its figures are kept in."""


def _in_si(key: str, value: str) -> str:
    """Figures as they are kept: typed in the grower's units, or with a unit of their own (``24cm``, ``5lb``)."""
    unit = next((unit for ending, unit in _UNITS if key.endswith(ending)), None)
    if unit is None:
        return value
    whole = typed(value, unit)
    return (
        whole if whole != value or "," not in value else ",".join(typed(part, unit) for part in value.split(","))
    )


def _about(season: Season, kind: str, given: dict[str, str]) -> str:
    """The place an entry is about, from what it names."""
    if kind in _NEEDS_A_PLACE:
        return ""
    if leader := given.get("leader") or given.get("plant"):
        return names.leaders_at(season, leader)[0].place
    if fixing := given.get("fixing"):
        holder = names.fixing_id(season, fixing)
        return next(stem.place for stem in season.leaders.values() if holder in {f.id for f in stem.fixings})
    if leaders := given.get("leaders"):
        rows = {names.leader(season, name).row for name in leaders.split(",")}
        return rows.pop() if len(rows) == 1 else ""
    return ""


def _refuse_without_place(season: Season, kind: str, place: str) -> None:
    if kind in _NEEDS_A_PLACE and place not in season.layout.places:
        raise UserError(
            f"{kind} needs the place it is about.",
            "Add --about W1-07, with the place's name, or --about W1 for all of a row.",
        )
    if kind == "planted" and (
        standing := next((leader for leader in season.leaders.values() if leader.place == place), None)
    ):
        say = f"{place} is planted with {standing.cultivar} since {standing.planted_on}."
        raise UserError(say, f"Note its end first: tunneltui add removed plant={place}, or plant_lost.")
    if kind in _NEEDS_A_ROW and place not in season.layout.rows:
        raise UserError(f"{kind} needs the row it is about.", "Add --about W1, with the row's name.")


def _string(season: Season, text: str, row: str, stem: str) -> str:
    if stem:
        # Which of two is in reach is asked of the stem's forecast: no other entry waits for that code.
        from tunneltui.chores.put_right import string_meant

        return string_meant(season, names.leader(season, stem), text)
    return names.string_id(season, text, row)


def _resolved(season: Season, kind: str, key: str, value: str, place: str, stem: str = "") -> object:
    """``stem``: the leader that the same entry names."""
    if kind in _NEEDS_A_PLACE and key == "leaders":
        # How many a plant has, not which.
        return value
    standing = season.layout.places.get(place)
    row = standing.row_id if standing else place
    resolvers: dict[str, Callable[[], object]] = {
        "leader": lambda: names.leader_id(season, value),
        "leaders": lambda: [names.leader_id(season, name) for name in value.split(",")],
        "plant": lambda: names.leaders_at(season, value)[0].plant,
        "fixing": lambda: names.fixing_id(season, value),
        "string": lambda: _string(season, value, row, stem) if value else "",
        "cultivar": lambda: names.cultivar_key(season, value),
        "clip_kind": lambda: names.clip_kind_key(season, value),
        "bed": lambda: names.bed_key(season, value, place),
    }
    return resolvers[key]() if key in resolvers else value
