"""The open registrations as a grower brings them: whole files, nothing edited, through the commands that read it.

Sources, never copied here: Ohio 2024 cherry trial (Kim, Dao, Tran, Kubota, CEA Open Data collection); Autonomous
Greenhouse Challenge, first edition (Hemming et al. 2019, Sensors 19(8) 1807) and second (Hemming et al. 2020,
4TU.ResearchData, doi 10.4121/uuid:88d22c60-21b3-4ea8-90db-20249a5be2a7); a field trial at Tucson (Buck et al.
2008, HortTechnology 18(3) 460).
"""

from __future__ import annotations

import os
from contextlib import redirect_stdout
from dataclasses import dataclass
from datetime import date
from functools import cache
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.growth.open_data import folder
from tunneltui.cli import main
from tunneltui.journal.entry import Entry
from tunneltui.store.journals import open_journal


@dataclass(frozen=True)
class OpenSet:
    stems: str
    air: str
    picks: str
    flags: tuple[str, ...]
    """What a grower says beside the file: day of planting, lamps, latitude, kind."""
    last: date
    of_picks: tuple[str, ...] = ()
    """What a grower answers where the picks do not tell."""


_LIT = ("--lit",)
SETS = {
    "ohio": OpenSet(
        "ohio/crop.csv",
        "ohio/air-5min.csv",
        "ohio/harvest.csv",
        ("--planted", "2024-06-24", "--latitude", "40.8", "--fruit", "cherry"),
        date(2024, 11, 20),
        # A label stands for some 14 stems, so that its picks are heavier than one plant's.
        ("--unit", "kg=kg", "--odd", "take"),
    ),
    "field-1": OpenSet(
        "field-1/stem.csv",
        "field-1/air-daily.csv",
        "field-1/picks.csv",
        ("--latitude", "32.3", "--fruit", "cherry"),
        date(2003, 10, 20),
    ),
    **{
        f"challenge-{n}": OpenSet(
            f"challenge/compartment-{n}/crop.csv",
            f"challenge/compartment-{n}/slab-daily.csv",
            f"challenge/compartment-{n}/harvest.csv",
            ("--planted", "2019-12-16", "--fruit", "cherry", *_LIT),
            date(2020, 6, 1),
            ("--map", "kg=ProdA"),
        )
        for n in (1, 2)
    },
    **{
        f"cucumber-{n}": OpenSet(
            f"cucumber-{n}/stem.csv",
            f"cucumber-{n}/air-daily.csv",
            f"cucumber-{n}/picks.csv",
            ("--planted", "2018-08-14", "--crop", "cucumber", *_LIT),
            date(2018, 12, 10),
        )
        for n in (1, 2)
    },
}


@cache
def through_the_door(name: str) -> tuple[Entry, ...]:
    """Entries of a set, as the commands ``measurements``, ``air`` and ``picks`` write them."""
    said = SETS[name]
    with TemporaryDirectory() as home:
        journal = Path(home) / "set.db"
        _run(journal, "measurements", str(folder() / said.stems), *said.flags)
        _run(journal, "air", str(folder() / said.air))
        _run(journal, "picks", str(folder() / said.picks), *said.of_picks)
        with open_journal(journal) as held:
            return tuple(held.entries())


def _run(journal: Path, *words: str) -> None:
    home = os.environ.get("TUNNELTUI_HOME")
    os.environ["TUNNELTUI_HOME"] = str(journal.parent)
    try:
        with redirect_stdout(StringIO()) as said:
            status = main(["--at", str(journal), *words])
    finally:
        if home is None:
            del os.environ["TUNNELTUI_HOME"]
        else:
            os.environ["TUNNELTUI_HOME"] = home
    assert status == 0, said.getvalue()
