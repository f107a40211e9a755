"""Forms for air, weather, water, feed and health: what is asked, what is wrong with it, what it writes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from tunneltui.cells import UnitName, say
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.check import checked_body, checked_day
from tunneltui.journal.entry import Draft
from tunneltui.journal.kinds_care import Doors, Fleece, Shade
from tunneltui.pages.prompts import (
    AIR_OF,
    CHANGED_IN,
    DRAINED,
    GIVEN,
    LEAST,
    LEAST_OUTSIDE,
    MOST,
    MOST_OUTSIDE,
    NOTED_AIR,
    NOTED_BED,
    NOTED_FEED,
)
from tunneltui.pages.units import localize
from tunneltui.screens.forms import Answer as Answer
from tunneltui.screens.forms import Field, Fields, FormChoice, Letters, Question
from tunneltui.screens.messages import Act
from tunneltui.season.state import Season

Plain = dict[str, Any]
Draftable = type[Fleece] | type[Doors] | type[Shade]


@dataclass(frozen=True, slots=True)
class EntryForm:
    """A few fields that become one entry."""

    title: str
    kind: str
    fields: tuple[Field, ...]
    about: str
    """What the entry is about, where no field says it."""
    abouts: tuple[str, ...]
    """What a field ``about`` may say; empty where there is no such field."""
    today: date
    noted: str
    plain_body: Callable[[Mapping[str, str]], Plain] = lambda values: _given(values)

    def form(self) -> Fields:
        return Fields(self.title, self.fields, self.fault)

    def fault(self, values: Mapping[str, str]) -> str:
        """What is wrong with the values, in one line; '' if nothing."""
        try:
            self._day(values)
            self._draft(values)
        except UserError as trouble:
            return localize(trouble.problem).replace("\n", " ")
        except ValueError as fault:
            return str(fault)
        return ""

    def act(self, values: Mapping[str, str]) -> Act:
        """Raises ``UserError`` or ``ValueError`` where ``fault`` says so."""
        return Act((self._draft(values),), self.noted, day=self._day(values))

    def _draft(self, values: Mapping[str, str]) -> Draft:
        about = values.get("about", self.about).strip()
        if self.abouts and about not in self.abouts:
            raise ValueError(f"About {about!r}: one of {', '.join(self.abouts)} was wanted.")
        return draft(about, checked_body(self.kind, self.plain_body(values), text=True))

    def _day(self, values: Mapping[str, str]) -> date | None:
        if "day" not in values:
            return None
        try:
            day = date.fromisoformat(values["day"].strip())
        except ValueError:
            raise ValueError(f"{values['day']!r} is no day: write it as {self.today}.") from None
        return checked_day(self.kind, day, self.today)


def _given(values: Mapping[str, str]) -> Plain:
    """Fields that were filled in, a decimal comma read as a point."""
    return {
        key: text.strip() if key in ("what", "found", "bed") else text.strip().replace(",", ".").replace("−", "-")
        for key, text in values.items()
        if key not in ("about", "day") and text.strip()
    }


def _about(abouts: Sequence[str]) -> Field:
    return Field("about", "About", abouts[0], "a row or the tunnel: " + ", ".join(abouts))


def air_by_hand(tunnel: str, today: date) -> EntryForm:
    """A minimum and maximum thermometer, read in the morning: they speak of the day before."""
    fields = (
        Field("min_c", LEAST, unit="degC"),
        Field("max_c", MOST, unit="degC"),
        Field("day", "Of the day", str(today - timedelta(days=1)), "read in the morning: yesterday's"),
    )

    def plain_body(values: Mapping[str, str]) -> Plain:
        given = _given(values)
        if not given:
            raise ValueError("A least or a most was wanted, in degC.")
        return {"source": "hand", **given}

    title, noted = say(AIR_OF, tunnel), say(NOTED_AIR, tunnel)
    return EntryForm(title, "air", fields, tunnel, (), today, noted, plain_body)


def weather_issued(today: date) -> EntryForm:
    """The weather issued for outside: least and most of today and the days after, in a line each."""
    fields = (
        Field(
            "min_c",
            LEAST_OUTSIDE,
            "",
            "such as 9 4 -1; the first is last night's",
            "degC",
        ),
        Field("max_c", MOST_OUTSIDE, "", "such as 18 21 24", "degC"),
    )

    def plain_body(values: Mapping[str, str]) -> Plain:
        return {"issued": str(today), **{key: _listed(text) for key, text in values.items()}}

    return EntryForm(
        "Weather issued for outside", "forecast", fields, "", (), today, "Noted the weather issued", plain_body
    )


def _listed(text: str) -> list[float | None]:
    """Figures with blanks between them; a dash where none was issued."""
    read: list[float | None] = []
    for word in text.replace("−", "-").split():
        try:
            read.append(None if word == "-" else float(word.replace(",", ".")))
        except ValueError:
            raise ValueError(
                f"{word!r} is no temperature: write them with blanks between, such as 9 4 -1."
            ) from None
    return read


def watered(abouts: Sequence[str]) -> EntryForm:
    fields = (
        Field("minutes", "Minutes of drip", "", "or"),
        Field("litres", say("In all, {}", UnitName("L")), "", "of what it is about", "L"),
        _about(abouts),
        Field("timer", "Set on a timer, every day from now on, y or n", "n"),
    )

    def plain_body(values: Mapping[str, str]) -> Plain:
        given = {**_given(values), "timer": _yes(values, "timer")}
        if not {"minutes", "litres"} & given.keys():
            raise ValueError("Minutes or litres were wanted.")
        return given

    return EntryForm(
        "Water given", "watered", fields, abouts[0], tuple(abouts), date.min, "Noted the water", plain_body
    )


def _yes(values: Mapping[str, str], key: str) -> bool:
    if values[key].strip() not in ("y", "n"):
        raise ValueError(f"{key.replace('_', '-').capitalize()}: y or n was wanted.")
    return values[key].strip() == "y"


def fed(tunnel: str) -> EntryForm:
    fields = (
        Field("what", "What", "", "as the label calls it"),
        Field("cans", "Cans"),
        Field("litres", say("How much, {}", UnitName("L")), unit="L"),
        Field("home_made", "Home-made, y or n", "n", "counted by volume only"),
    )

    def plain_body(values: Mapping[str, str]) -> Plain:
        return {**_given(values), "home_made": _yes(values, "home_made")}

    return EntryForm(f"Fed in {tunnel}", "fed", fields, tunnel, (), date.min, say(NOTED_FEED, tunnel), plain_body)


def dressed(tunnel: str, beds: Sequence[str]) -> EntryForm:
    """What was put on a bed; the season's review sets it against what the bed gave."""
    fields = (
        Field("bed", "Bed", beds[0], ", ".join(beds)),
        Field("what", "What", "", "compost, manure, the label's name"),
        Field("kg", say("Weight, {}", UnitName("kg")), unit="kg"),
        Field("litres", "or litres"),
    )

    def plain_body(values: Mapping[str, str]) -> Plain:
        given = _given(values)
        if given.get("bed") not in beds:
            raise ValueError(f"Bed {values['bed'].strip()!r}: one of {', '.join(beds)} was wanted.")
        if "what" not in given:
            raise ValueError("What was put on the bed was wanted.")
        return given

    return EntryForm(
        f"Bed dressed in {tunnel}", "bed_dressed", fields, tunnel, (), date.min, say(NOTED_BED, tunnel), plain_body
    )


def bucket_tested(abouts: Sequence[str]) -> EntryForm:
    fields = (
        Field("plants", "Plants whose water was weighed"),
        Field("given_l", GIVEN, unit="L"),
        Field("drained_l", DRAINED, "0", unit="L"),
        Field("days", "Over how many days, up to yesterday", "7"),
        _about(abouts),
    )
    return _form("Bucket test", "bucket_tested", fields, abouts, "Noted the bucket test")


def scouted(abouts: Sequence[str]) -> EntryForm:
    fields = (Field("found", "What was found", "", "nothing: leave it empty"), _about(abouts))
    return _form("Looked for sickness and pests", "scouted", fields, abouts, "Noted what was found")


def _form(title: str, kind: str, fields: tuple[Field, ...], abouts: Sequence[str], noted: str) -> EntryForm:
    return EntryForm(title, kind, fields, abouts[0], tuple(abouts), date.min, noted)


COVERS: dict[str, tuple[Draftable, str, str]] = {
    "fleece": (Fleece, "fleece on", "fleece off"),
    "doors": (Doors, "doors open", "doors shut"),
    "shade": (Shade, "shade on", "shade off"),
}


def covers(season: Season, tunnel: str) -> Letters:
    """Fleece, doors and shade, each to the state it was not last noted in; doors never noted, to either."""
    stand = {
        "fleece": season.fleece_on.get(tunnel, False),
        "doors": season.doors_open.get(tunnel),
        "shade": season.shade_on.get(tunnel, False),
    }
    choices = []
    for what, (_, on, off) in COVERS.items():
        if stand[what] is not True:
            choices.append(FormChoice(f"{what} on", on))
        if stand[what] is not False:
            choices.append(FormChoice(f"{what} off", off))
    return Letters(Question(say(CHANGED_IN, tunnel), choices))


def covered(tunnel: str, answer: str) -> Act:
    """What an answer of ``covers`` writes."""
    what, _, state = answer.partition(" ")
    kind, on, off = COVERS[what]
    return Act((draft(tunnel, kind(state == "on")),), f"Noted: {on if state == 'on' else off}")
