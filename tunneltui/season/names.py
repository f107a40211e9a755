"""Names a grower types, turned into ids by what stands on the day; what is not found names its nearest.

Leaders are ``W1-07a`` (the letter may be left out where a place has one leader, the row where one place of the
season has that number), fixings a leader and what it is on: ``W1-07a string 8``, ``W1-07a head``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches

from tunneltui.holding.user_error import UserError
from tunneltui.season.state import Fixing, Leader, Season

_FIXING = re.compile(
    r"(\S+)(?:\s+(?:(?:string\s+)?(?:(?P<row>[a-z]+\d+)/)?(?P<string>\d+)|(?P<on>head|wire))(?:\s+(?P<nth>[a-z]))?)?",
    re.I | re.A,
)
_WORD_STRING = re.compile(r"^string\s+", re.I)


def leader_id(season: Season, text: str) -> str:
    """Id of the standing leader that ``text`` names.

    Raises:
        UserError: none or several have that name; the nearest or the several are listed.
    """
    return leader(season, text).id


def leader(season: Season, text: str, row: str = "") -> Leader:
    """The standing leader that ``text`` names; a bare number is looked for in ``row``, if one is given."""
    leaders = leaders_at(season, text, row)
    if len(leaders) > 1:
        say = f"{text!r} may be {', '.join(stem.name for stem in leaders)}."
        raise UserError(say, "Say which, with the row and the letter.")
    return leaders[0]


def leaders_at(season: Season, text: str, row: str = "") -> list[Leader]:
    """All standing leaders that ``text`` may mean: a leader's name, a place, or a place's number.

    Raises:
        UserError: nothing stands there.
    """
    sought = text.strip().lower()
    standing = [stem for stem in season.leaders.values() if not row or stem.row == row]
    if text.strip() in season.leaders:
        return [season.leaders[text.strip()]]
    exact = [stem for stem in standing if sought in (stem.name.lower(), stem.place.lower())]
    if exact:
        return exact
    renamed = season.layout.place(text.strip())
    if renamed is not None and (stems := [stem for stem in standing if stem.place == renamed.place.name]):
        return stems
    short = re.fullmatch(r"0*(\d+)([a-z]?)", sought)
    if short and (numbered := [stem for stem in standing if _has_number(stem, short[1], short[2])]):
        return numbered
    raise UserError(
        f"Nothing stands under the name {text.strip()!r} on {season.day}.",
        nearest(text, [stem.name for stem in standing] + [stem.place for stem in standing]),
    )


def _has_number(standing: Leader, number: str, letter: str) -> bool:
    match = re.search(r"(\d+)$", standing.place)
    return match is not None and int(match[1]) == int(number) and standing.name.lower().endswith(letter)


def place_name(season: Season, text: str) -> str:
    """A place, row or tunnel as the holding writes it; '' is the house.

    Raises:
        UserError: the holding has none of that name.
    """
    if not text:
        return ""
    names = [*season.layout.places, *season.layout.rows, *(tunnel.key for tunnel in season.holding.tunnels)]
    same = next((name for name in names if name.lower() == text.strip().lower()), None)
    if same is not None:
        return same
    renamed = season.layout.place(text.strip())
    if renamed is not None:
        return renamed.place.name
    raise UserError(f"There is no place, row or tunnel {text.strip()!r} in the holding.", nearest(text, names))


def clip_kind_key(season: Season, text: str) -> str:
    """A kind of clip by its name in the holding; '' for none said.

    Raises:
        UserError: the holding lists no such kind.
    """
    sought = text.strip().lower()
    kinds = [kind.key for kind in season.holding.clips]
    kind = next((key for key in kinds if key.lower() == sought), None)
    if kind is None and sought:
        add = "Add it to the holding first (holding edit)."
        raise UserError(
            f"The holding lists no kind of clip {text.strip()!r}.", nearest(sought, kinds) if kinds else add
        )
    return kind or ""


def cultivar_key(season: Season, text: str) -> str:
    """A cultivar by its name, or by its fruit kind where only one has that kind.

    Raises:
        UserError: none or several fit.
    """
    sought = text.strip().lower()
    cultivars = season.holding.cultivars
    exact = [c.key for c in cultivars if c.key.lower() == sought]
    fitting = exact or [
        c.key for c in cultivars if sought and (c.fruit == sought or c.key.lower().startswith(sought))
    ]
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise UserError(f"{text.strip()!r} may be {', '.join(fitting)}.", "Write its whole name.")
    raise UserError(f"The holding has no cultivar {text.strip()!r}.", nearest(text, [c.key for c in cultivars]))


def bed_key(season: Season, text: str, place: str = "") -> str:
    """A bed by its name, of the tunnel that ``place`` names or stands in, else of any that has one of that name.

    Raises:
        UserError: there is no such bed, or several tunnels have one and none is named.
    """
    layout = season.layout
    row = layout.places[place].row_id if place in layout.places else place
    tunnel = layout.rows[row][0].key if row in layout.rows else place
    beds = [
        (standing.key, bed.key)
        for standing in season.holding.tunnels
        for bed in standing.beds
        if tunnel in ("", standing.key)
    ]
    sought = text.strip().lower()
    fitting = [(where, bed) for where, bed in beds if bed.lower() == sought]
    if len(fitting) == 1:
        return fitting[0][1]
    if fitting:
        tunnels = ", ".join(where for where, _ in fitting)
        raise UserError(
            f"There is a bed {text.strip()!r} in {tunnels}.", "Add --about with the tunnel that is meant."
        )
    raise UserError(f"The holding has no bed {text.strip()!r} there.", nearest(text, [bed for _, bed in beds]))


def string_id(season: Season, text: str, row: str = "") -> str:
    """Id of a hung string from ``W1/8``, or from ``8`` within a row.

    Raises:
        UserError: no such string hangs.
    """
    sought = _WORD_STRING.sub("", text.strip())
    if sought in season.strings:
        return sought
    hung = [string for string in season.strings.values() if not row or string.row == row]
    fitting = [
        string.id
        for string in hung
        if sought.lower() in (f"{string.row}/{string.number}".lower(), str(string.number))
    ]
    if len(fitting) == 1:
        return fitting[0]
    names = [f"{string.row}/{string.number}" for string in hung]
    if fitting:
        raise UserError(f"String {text.strip()!r} hangs in several rows.", "Write row and number, such as W1/8.")
    raise UserError(f"No string {text.strip()!r} hangs on {season.day}.", nearest(sought, names))


def fixing_id(season: Season, text: str, row: str = "") -> str:
    """Id of the clip or tie that ``text`` names, such as ``W1-07a string 8`` or ``W1-07a head``.

    Raises:
        UserError: no or several clips fit; the several are listed as they can be typed.
    """
    by_id = {fixing.id for leader in season.leaders.values() for fixing in leader.fixings}
    if text.strip() in by_id:
        return text.strip()
    match = _FIXING.fullmatch(text.strip())
    if not match:
        raise UserError(f"{text.strip()!r} names no clip.", "Write leader and string, such as W1-07a string 8.")
    where = leaders_at(season, match[1], row)
    fitting = [(stem, fixing) for stem in where for fixing in stem.fixings if _is_meant(season, fixing, match)]
    if match["nth"]:
        place = ord(match["nth"].lower()) - ord("a")
        fitting = fitting[place : place + 1]
    if len(fitting) == 1:
        return fitting[0][1].id
    all_of_them = fitting or [(stem, fixing) for stem in where for fixing in stem.fixings]
    choices = ", ".join(dict.fromkeys(typed_name(season, stem, fixing) for stem, fixing in all_of_them))
    if not all_of_them:
        raise UserError(f"{', '.join(stem.name for stem in where)} has no clip noted.")
    if fitting:
        raise UserError(f"{text.strip()!r} may be one of several clips: {choices}.", "Say which.")
    raise UserError(f"{text.strip()!r} is no clip that holds now.", f"There are {choices}.")


def _is_meant(season: Season, fixing: Fixing, match: re.Match[str]) -> bool:
    if match["string"]:
        hung = season.strings.get(fixing.string)
        row = (match["row"] or "").lower()
        return hung is not None and hung.number == int(match["string"]) and row in ("", hung.row.lower())
    return fixing.on == match["on"].lower() if match["on"] else True


def typed_name(season: Season, of: Leader, fixing: Fixing) -> str:
    """A fixing as it can be typed: leader, what it is on, and a letter where several are alike.

    A string goes by its number, by row and number where its loop has that number in both rows.
    """
    alike = [held.id for held in of.fixings if (held.on, held.string) == (fixing.on, fixing.string)]
    on = season.string_name(fixing.string) if fixing.on == "string" else fixing.on
    letter = f" {chr(ord('a') + alike.index(fixing.id))}" if len(alike) > 1 else ""
    return f"{of.name} {on}{letter}"


def nearest(text: str, names: Sequence[str]) -> str:
    """A sentence with the names nearest to what was typed."""
    by_lower = {name.lower(): name for name in names}
    close = get_close_matches(text.strip().lower(), list(by_lower), n=4, cutoff=0.5)
    if close:
        return f"Nearest: {', '.join(by_lower[name] for name in close)}."
    return (
        f"Known: {', '.join(list(by_lower.values())[:8])}{' and more' if len(by_lower) > 8 else ''}."
        if names
        else ""
    )
