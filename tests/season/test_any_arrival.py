"""The season is a function of the live entries in their order: an incremental fold equals a full one for any
order of arrival, with late, crossed-out, restored and repeated entries (rule 1 of the journal, DEVELOPERS.md)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.season.entries import FIRST, TWO_ROWS, Book, differences, holding, places
from tunneltui.holding.model import Holding
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import defaults_of
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KINDS, Body
from tunneltui.journal.kinds_care import (
    Air,
    BedDressed,
    BucketTested,
    Doors,
    Fed,
    Fleece,
    Forecast,
    Frosted,
    Scouted,
    Shade,
    Treated,
    Watered,
)
from tunneltui.journal.kinds_crop import (
    CropOver,
    Deleafed,
    FruitLost,
    GreenStripped,
    LeaderKept,
    LetItRun,
    Picked,
    PlantLost,
    Pollinated,
    Removed,
    SideShooted,
    Stocked,
    StrengthTested,
    TipTakenOut,
    TrussLost,
    TrussPruned,
)
from tunneltui.journal.kinds_holding_up import (
    ClipFailed,
    Clipped,
    Hung,
    Lowered,
    PlantDropped,
    Propped,
    RoomDecided,
    StemKinked,
    StringCut,
    StringHung,
    Tied,
    TipSnapped,
    TwistedIn,
    Unclipped,
)
from tunneltui.journal.kinds_journal import Away, CrossedOut, Looked, Note, PutOff, Restored, Timed
from tunneltui.journal.kinds_standing import (
    BedMade,
    Germinated,
    Hardened,
    HoldingSet,
    MarkedPlant,
    Measured,
    PlanAdopted,
    Planted,
    PlantedAbout,
    PottedOn,
    Sown,
    TrainingChanged,
    TrussCounted,
)
from tunneltui.journal.order import live
from tunneltui.season.fold import Fold, fold, fold_days
from tunneltui.values import replace

HOLDINGS = (
    TWO_ROWS,
    # A place moved up by one, one taken out, one come: names that meant another place before.
    holding(places("W1-01", "W1-02", "W1-03", W1_03="W1-02"), places("W2-01"), strings=5),
    holding(places("W1-02", "W1-04", W1_04="W1-03"), places("W2-01", "W2-02", "W2-03"), turn_m=None),
)
FOLDED_ON = 40
ABOUTS = ("", "W", "W1", "W2", "W1-01", "W1-02", "W1-03", "W1-04", "W2-02", "nowhere")

ids = st.integers(0, 60).map(lambda n: f"e{n:04}")
"""Ids of entries that may be there, and may be of any kind."""
leaders = st.one_of(ids, ids.map(lambda one: f"{one}+b"))
s_m = st.sampled_from((0.4, 0.5, 0.62, 1.3))
u_m = st.sampled_from((0.6, 1.4, 3.0))
strings = st.one_of(st.sampled_from(("W1/1", "W1/2", "W2/6", "W1/9", "")), ids)
cultivars = st.sampled_from(("cherry 1", "beef 3", "a stray"))
maybe = st.booleans()
some = st.lists(leaders, max_size=3).map(tuple)
on = st.sampled_from(("string", "string", "head", "wire"))

BODIES: dict[type, st.SearchStrategy[Any]] = {
    HoldingSet: st.builds(
        HoldingSet, st.sampled_from([*map(to_toml, HOLDINGS), "name =", 'name = "x"\nrows = 3'])
    ),
    Planted: st.builds(
        Planted, cultivars, st.integers(1, 3), training=st.none() | st.just("laid_down"), came_up_m=st.none() | u_m
    ),
    LeaderKept: st.builds(LeaderKept, ids, st.sampled_from("bc")),
    PlantedAbout: st.builds(PlantedAbout, ids, st.sampled_from((FIRST, FIRST - timedelta(days=40)))),
    TrainingChanged: st.builds(TrainingChanged, ids, st.just("pinched_at_wire")),
    PlantLost: st.builds(PlantLost, ids, st.just("wilted")),
    Removed: st.builds(Removed, ids),
    Hung: st.builds(Hung, leaders, u_m, st.none() | st.just(4.0), st.sampled_from(("", "hook")), maybe),
    Clipped: st.builds(Clipped, leaders, s_m, on, strings, assumed=maybe),
    Tied: st.builds(Tied, leaders, s_m, on, strings),
    Unclipped: st.builds(Unclipped, ids),
    ClipFailed: st.builds(ClipFailed, ids, st.sampled_from(("broke", "slid")), maybe),
    Lowered: st.builds(
        Lowered, leaders, st.none() | st.just(0.3), st.none() | st.just(1.0), st.none() | u_m, as_proposed=maybe
    ),
    StringHung: st.builds(StringHung, u_m, st.just(20)),
    StringCut: st.builds(StringCut, strings),
    RoomDecided: st.builds(RoomDecided, st.sampled_from(("coil", "turn_back"))),
    Propped: st.builds(Propped, leaders, s_m, st.sampled_from((0.0, 0.4))),
    TwistedIn: st.builds(TwistedIn, leaders),
    TipSnapped: st.builds(TipSnapped, leaders),
    StemKinked: st.builds(StemKinked, leaders),
    PlantDropped: st.builds(PlantDropped, leaders),
    Measured: st.builds(Measured, leaders, length_m=st.just(2.0), lowest_truss=st.none() | st.just(3.0)),
    TrussCounted: st.builds(TrussCounted, leaders, st.integers(1, 3), st.integers(0, 9)),
    TrussPruned: st.builds(TrussPruned, leaders, st.integers(1, 3), st.integers(0, 9)),
    TrussLost: st.builds(TrussLost, leaders, st.integers(1, 3)),
    MarkedPlant: st.builds(MarkedPlant, leaders, maybe),
    TipTakenOut: st.builds(TipTakenOut, leaders),
    LetItRun: st.builds(LetItRun, leaders),
    SideShooted: st.builds(SideShooted, some),
    Deleafed: st.builds(Deleafed, some, st.none() | st.just(3)),
    Pollinated: st.builds(Pollinated, some),
    GreenStripped: st.builds(GreenStripped, some),
    Looked: st.builds(Looked, some | st.just(()), some),
    Scouted: st.builds(Scouted, st.just("spots"), some | st.just(()), maybe),
    Picked: st.builds(Picked, cultivars, st.none() | st.just(2.0), clean=maybe, leader=st.just("") | leaders),
    FruitLost: st.builds(FruitLost, cultivars),
    Air: st.builds(Air, st.sampled_from(("sensor", "hand", "estimate")), mean_c=st.sampled_from((15.0, 21.0))),
    Forecast: st.builds(Forecast, st.sampled_from(("2026-04-05", "2026-06-30", "soon")), st.just((9.0,))),
    Fed: st.builds(Fed, st.just("feed")),
    BedDressed: st.builds(BedDressed, st.just("bed"), st.just("compost"), st.none() | st.just(40.0)),
    BucketTested: st.builds(BucketTested, st.just(2), st.just(20.0), st.just(1.5)),
    Watered: st.builds(Watered, st.just(30.0)),
    Fleece: st.builds(Fleece, maybe),
    Frosted: st.builds(Frosted, maybe),
    CropOver: st.builds(CropOver, maybe),
    Doors: st.builds(Doors, maybe),
    Shade: st.builds(Shade, maybe),
    Treated: st.builds(Treated, st.just("soap"), pick_days=st.sampled_from((0.0, 2.5))),
    Stocked: st.builds(Stocked, st.just("clip"), st.just("green"), st.sampled_from((100.0, -7.0))),
    StrengthTested: st.builds(StrengthTested, st.just("green"), st.just(40.0), maybe),
    Timed: st.builds(Timed, st.just("lower"), st.just(30.0), st.none() | st.just(12)),
    Away: st.builds(Away, st.just(FIRST + timedelta(days=70))),
    Note: st.builds(Note, st.text(max_size=5)),
    PutOff: st.builds(PutOff, st.just(FIRST + timedelta(days=50))),
    Sown: st.builds(Sown, st.just("tray"), cultivars, st.just(12)),
    Germinated: st.builds(Germinated, st.just("tray"), st.just(9)),
    PlanAdopted: st.builds(
        PlanAdopted,
        st.just("apart"),
        st.just(FIRST),
        st.just(FIRST + timedelta(days=50)),
        st.sampled_from((("W1-01",), ("W1-01", "nowhere"))),
        st.just(("cherry 1", "a stray")),
        st.just((1, 2)),
        st.just(("W1",)),
        st.just(("tiered",)),
        st.just((0,)),
        st.just(0.9),
        st.just(0.1),
    ),
    PottedOn: st.builds(PottedOn, st.just("tray"), st.just(9)),
    Hardened: st.builds(Hardened, st.just("tray")),
    BedMade: st.builds(BedMade, st.just("bed"), st.just("turf")),
    CrossedOut: st.builds(CrossedOut, ids.map(lambda one: f"act of {one}")),
    Restored: st.builds(Restored, ids.map(lambda one: f"act of {one}")),
}


def test_every_kind_has_a_body_in_these_tests() -> None:
    assert set(BODIES) == set(KINDS.values())


OFTEN = [
    *(HoldingSet, Planted, Planted, LeaderKept, Clipped, Clipped, Clipped, Clipped, Hung, Hung, Lowered),
    *(Unclipped, ClipFailed, StringHung, StringCut, CrossedOut, CrossedOut, CrossedOut, CrossedOut, Restored),
]
"""Kinds on which the others lean come oftener than their share."""
any_body: st.SearchStrategy[Body] = st.sampled_from([*OFTEN, *BODIES]).flatmap(lambda cls: BODIES[cls])
Draw = Callable[[st.SearchStrategy[Any]], Any]
answers = st.none() | st.sampled_from((("lower", "W1", "2026-05-01"), ("put_right", "W1", "2026-05-01")))


@dataclass
class Known:
    """What the entries so far have made, for later ones to lean on."""

    ids: dict[str, list[str]] = field(default_factory=lambda: {"string": ["W1/1", "W1/2", "W1/2", "W2/6"]})

    def take_in(self, entry: Entry, body: Body) -> None:
        made = {"planted": "plant", "clipped": "fixing", "tied": "fixing", "string_hung": "string"}
        if entry.kind in made:
            self.ids.setdefault(made[entry.kind], []).append(entry.id)
        if entry.kind in ("planted", "leader_kept"):
            self.ids.setdefault("leader", []).append(entry.id)
        if entry.kind == "planted" and body.leaders > 1:
            self.ids["leader"].append(f"{entry.id}+b")
        acts = self.ids.setdefault("act", [])
        # An act that was crossed out is the likeliest to be restored, and its mark to be crossed out in turn.
        acts += [body.act, body.act, entry.act] if entry.kind in ("crossed_out", "restored") else [entry.act]

    def leaned_on(self, draw: Draw, body: Body) -> Body:
        """The body with its references drawn from what there is, mostly."""
        there = {key: self.ids.get(key, []) for key in defaults_of(body.__class__) if key in LEAN_ON}
        drawn = {
            name: draw(st.sampled_from(ids)) for name, ids in there.items() if ids and draw(st.integers(0, 9))
        }
        if getattr(body, "leaders", None) and isinstance(body.leaders, tuple) and "leader" in self.ids:
            drawn["leaders"] = tuple(draw(st.lists(st.sampled_from(self.ids["leader"]), max_size=3)))
        if isinstance(body, Picked) and not body.leader:
            drawn.pop("leader", None)
        return replace(body, **drawn)


LEAN_ON = ("leader", "plant", "fixing", "string", "act")


@st.composite
def journals(draw: Draw, most: int) -> list[Entry]:
    """A begun season and entries of all kinds after it, written on any day, some of them of one act."""
    book, known = Book(), Known()

    def write(body: Body, about: str, day: int = 0, act: str = "", ticked: Any = None) -> None:
        book.write(body, about, day=day, act=act, answers=ticked)
        known.take_in(book.entries[-1], body)

    write(HoldingSet(to_toml(TWO_ROWS)), "")
    for about in ("W1-01", "W1-02", "W2-01"):
        write(Planted("cherry 1", draw(st.integers(1, 2))), about)
    for _ in range(draw(st.integers(3, most))):
        day, about, dice = (
            draw(st.integers(0, FOLDED_ON + 2)),
            draw(st.sampled_from(ABOUTS)),
            draw(st.integers(0, 19)),
        )
        shared = f"act of e{len(book.entries):04}" if dice < 5 else ""
        if dice == 19:
            book.raw(draw(st.sampled_from(("clipped", "of tomorrow", "lowered"))), '{"leader":[]}', about, day=day)
        else:
            write(known.leaned_on(draw, draw(any_body)), about, day, shared, draw(answers))
    return book.entries


@st.composite
def arrivals(draw: Draw, most: int) -> list[list[Entry]]:
    """A journal in any order, in parts of any size, some entries given again."""
    entries = draw(journals(most))
    again = draw(st.lists(st.sampled_from(entries), max_size=3))
    waiting = draw(st.permutations([*entries, *again]))
    parts = []
    while waiting:
        size = draw(st.integers(1, 6))
        parts.append(waiting[:size])
        waiting = waiting[size:]
    return parts


def same_for_any_arrival(parts: list[list[Entry]]) -> None:
    day = FIRST + timedelta(days=FOLDED_ON)
    folding = Fold(day)
    before = folding.season()
    come: list[Entry] = []
    for part in parts:
        folding.add(part)
        come += part
        whole = fold(come, day)
        # The row of each leader, as a key asks for it, before the whole.
        for leader in [*whole.leaders, *whole.ended]:
            alone = folding.rows_of({leader}, before)
            rows = {one.row for id_, one in (whole.leaders | whole.gone).items() if id_ == leader}
            assert [*alone.leaders.items()] == [item for item in whole.leaders.items() if item[1].row in rows]
            assert (alone.strings, alone.done) == (whole.strings, whole.done)
            assert alone.last.items() <= whole.last.items()
        before = folding.season()
        assert differences(before, whole) == []


@settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(arrivals(40))
def test_an_incremental_season_equals_a_full_one(parts: list[list[Entry]]) -> None:
    same_for_any_arrival(parts)


@pytest.mark.long
@settings(max_examples=4000, deadline=None, suppress_health_check=list(HealthCheck))
@given(arrivals(70))
def test_an_incremental_season_equals_a_full_one_over_many(parts: list[list[Entry]]) -> None:
    same_for_any_arrival(parts)


@settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)
@given(journals(40), st.sets(st.integers(0, FOLDED_ON + 2)), st.randoms(use_true_random=False))
def test_a_season_walked_through_equals_each_day_folded(
    entries: list[Entry], asked: set[int], chance: Random
) -> None:
    days = [FIRST + timedelta(days=day) for day in sorted(asked)]
    chance.shuffle(entries)
    for day, walked in zip(days, fold_days(entries, days), strict=True):
        assert differences(walked, fold(entries, day)) == []


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(journals(40))
def test_crossed_out_entries_leave_nothing_behind(entries: list[Entry]) -> None:
    """The season of a journal is that of its live entries alone, marks apart."""
    day = FIRST + timedelta(days=FOLDED_ON)
    by_the_day = [entry for entry in entries if entry.day <= day or entry.kind in ("forecast", "away")]
    plain = [entry for entry in live(by_the_day) if entry.kind not in ("crossed_out", "restored")]
    assert differences(fold(entries, day), fold(plain, day)) == []


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(journals(30), st.data())
def test_undo_brings_the_season_back(entries: list[Entry], data: st.DataObject) -> None:
    """An act crossed out is as if it had never been; restored, as if nothing had happened."""
    day = FIRST + timedelta(days=FOLDED_ON)
    act = data.draw(st.sampled_from([entry.act for entry in entries]))
    entries = [entry for entry in entries if entry.kind not in ("crossed_out", "restored")]
    book = Book([*entries])
    book.write(CrossedOut(act), day=FOLDED_ON, id="the undo")
    without = [entry for entry in entries if entry.act != act]
    assert differences(fold(book.entries, day), fold(without, day)) == []
    book.write(CrossedOut("act of the undo"), day=FOLDED_ON, id="undone")
    assert differences(fold(book.entries, day), fold(entries, day)) == []


def a_full_season() -> list[Entry]:
    """Every kind of thing that leans on another, done right, undone and done again."""
    book = Book()
    book.set(HOLDINGS[0])
    book.write(Planted("cherry 1", 2), "W1-01", id="p")
    book.write(Planted("cherry 1"), "W1-02", id="q")
    book.write(Planted("beef 3"), "W2-01", id="r", day=1)
    book.write(Hung("p", 0.6, 4.0), id="hung", day=2)
    book.write(Hung("r", 2.0), id="first hung", day=1)
    book.write(Clipped("p", 0.5, "head"), id="head", day=3)
    book.write(Clipped("p", 0.4, string="W1/1", assumed=True), id="low", day=3)
    book.write(Clipped("p+b", 0.4, string="W1/2"), id="other", day=3)
    book.write(Looked(), "W1", id="look", day=5)
    book.write(StringHung(1.2, 9), "W1", id="string", day=6)
    book.write(Clipped("q", 0.4, string="string"), id="on string", day=7)
    book.write(Lowered("p", turns=1, hook_u_m=1.1), id="tick", day=8, answers=("lower", "W1", "2026-04-09"))
    book.write(Unclipped("low"), id="opened", day=8, act="act of tick")
    book.write(ClipFailed("other", "broke"), id="failed", day=9)
    book.write(Tied("p+b", 0.45, string="W1/2"), id="tied", day=10)
    book.write(LeaderKept("q", "b"), id="kept", day=11)
    book.write(Measured("kept", length_m=0.3), id="read", day=12)
    book.write(TrainingChanged("q", "laid_down"), id="trained", day=12)
    book.write(TipSnapped("r"), id="snapped", day=12)
    book.write(Picked("cherry 1", 2.0), "W1", id="pick", day=13)
    book.write(Scouted("spots"), "W2-01", id="scouted", day=13)
    book.write(StringCut("string"), id="cut", day=14)
    book.write(HoldingSet(to_toml(HOLDINGS[1])), id="moved", day=15)
    book.write(Planted("beef 3"), "W2-01", id="anew", day=16)
    book.write(Removed("p"), id="removed", day=17)
    undoable = [entry for entry in book.entries if entry.id not in ("e0001", "p", "q", "r")]
    for number, entry in enumerate(undoable):
        book.write(CrossedOut(entry.act), id=f"undo {entry.id}", day=20)
        if number % 2:
            book.write(Restored(entry.act), id=f"redo {entry.id}", day=21)
        if number % 3 == 0:
            book.write(CrossedOut(f"act of undo {entry.id}"), id=f"undo the undo of {entry.id}", day=22)
    return book.entries


@pytest.mark.parametrize("seed", range(6))
def test_a_full_season_one_entry_at_a_time_in_any_order(seed: int) -> None:
    entries = a_full_season()
    in_order = [entry for entry in entries if not entry.id.startswith(("undo", "redo"))]
    marks = entries[len(in_order) :]
    chance = Random(seed)
    # The season first and its marks after it, or all of it in any order: each step is one key on one laptop.
    chance.shuffle(marks)
    waiting = [*in_order, *marks]
    if seed % 2:
        chance.shuffle(waiting)
    same_for_any_arrival([[entry] for entry in waiting])


def test_the_only_plant_crossed_out_together_with_a_new_holding_is_gone() -> None:
    book = Book()
    book.set(TWO_ROWS)
    planting = book.write(Planted("cherry 1"), "W1-01")
    book.write(CrossedOut(f"act of {planting}"))
    book.set(HOLDINGS[1])
    same_for_any_arrival([book.entries[:2], book.entries[2:]])


def test_two_texts_under_one_id_are_settled_the_same_way_whichever_came_first() -> None:
    book = Book()
    book.set(TWO_ROWS)
    book.write(Planted("cherry 1"), "W1-01", id="p")
    book.write(Measured("p", length_m=1.0), id="m", day=3)
    other = book.entries[-1]._replace(body='{"leader":"p","length_m":2.0}')
    day = date(2026, 5, 1)
    seasons = []
    for last_two in ([book.entries[-1], other], [other, book.entries[-1]]):
        folding = Fold(day)
        folding.add(book.entries[:-1])
        for entry in last_two:
            folding.add([entry])
        seasons.append(folding.season())
        assert differences(folding.season(), fold([*book.entries[:-1], *last_two], day)) == []
    assert differences(*seasons) == []


def test_adding_says_what_was_touched() -> None:
    book = Book()
    book.set(TWO_ROWS)
    book.write(Planted("cherry 1", 2), "W1-01", id="p")
    book.write(Planted("cherry 1"), "W1-02", id="q")
    book.write(Planted("beef 3"), "W2-01", id="r")
    folding = Fold(date(2026, 5, 1))
    assert folding.add(book.entries).house
    assert folding.add(book.entries).leaders == frozenset(), "known entries change nothing"
    told: list[tuple[Body, str, set[str], set[str], bool]] = [
        (Measured("q", length_m=1.0), "", {"q"}, {"W1"}, False),
        (Looked(), "W1", {"p", "p+b", "q"}, {"W1"}, False),
        (Picked("beef 3", 2.0), "W2", {"r"}, {"W2"}, False),
        (Air(mean_c=12.0), "W", set(), set(), True),
    ]
    for body, about, leaders_touched, rows, house in told:
        book.write(body, about)
        touched = folding.add(book.entries[-1:])
        assert (set(touched.leaders), set(touched.rows), touched.house) == (leaders_touched, rows, house)


def test_a_holding_in_the_tests_differs_from_the_next() -> None:
    kinds: list[Holding] = list(HOLDINGS)
    assert len({to_toml(one) for one in kinds}) == 3
