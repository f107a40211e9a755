"""One chore is done once (rule 11 of the journal, DEVELOPERS.md): of two live answers the first counts,
whatever the order
of arrival; crossed out, the other counts after all."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import timedelta
from random import Random

import pytest

from tests.season.entries import FIRST, TWO_ROWS, Book, differences
from tunneltui.holding.toml import to_toml
from tunneltui.journal.body import parsed, to_json
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds import KIND_OF, Body
from tunneltui.journal.kinds_care import Fed, Fleece
from tunneltui.journal.kinds_crop import Deleafed, Picked, SideShooted
from tunneltui.journal.kinds_holding_up import Clipped, Hung, Lowered, Unclipped
from tunneltui.journal.kinds_journal import CrossedOut, PutOff, Restored
from tunneltui.journal.kinds_standing import HoldingSet, Planted
from tunneltui.journal.order import live
from tunneltui.season.fold import Fold, fold
from tunneltui.values import replace

DAY = FIRST + timedelta(days=60)
PLANTS = ("W1-01", "W1-02", "W1-03", "W2-01", "W2-02")


def begun() -> Book:
    book = Book()
    book.write(HoldingSet(to_toml(TWO_ROWS)), id="holding")
    for place in PLANTS:
        book.write(Planted("cherry 1"), place, id=f"p{place}")
        book.write(Hung(f"p{place}", 1.0, 5.0, "hook"), place, id=f"h{place}", day=1)
        book.write(Clipped(f"p{place}", 0.4, "head"), place, id=f"c{place}", day=2)
    return book


def said(
    act: str, second: int, body: Body, about: str, chore: tuple[str, str], pieces: Sequence[str] = ()
) -> Entry:
    plain = json.loads(to_json(body, (*chore, DAY.isoformat())))
    text = json.dumps(plain | ({"pieces": list(pieces)} if pieces else {}), separators=(",", ":"))
    at_us = 1_700_000_000_000_000 + second * 1_000_000
    return Entry(f"{act}-{second}", act, act[0], DAY, at_us, act[0], about, KIND_OF[type(body)], 1, text)


def mark(act: str, second: int, kind: str) -> Entry:
    body = CrossedOut(act) if kind == "crossed_out" else Restored(act)
    at_us = 1_700_000_000_000_000 + second * 1_000_000
    return Entry(f"m{second}", f"mark{second}", "m", DAY, at_us, "", "", kind, 1, to_json(body))


def random_acts(luck: Random) -> list[Entry]:
    """Three hands tick the same few chores, each some of their pieces, and cross some out."""
    found: list[Entry] = []
    acts: list[str] = []
    second = 0
    for number in range(12):
        act = f"{luck.choice('abc')}{number}"
        acts.append(act)
        what = luck.randrange(6)
        some = luck.sample(PLANTS, luck.randint(1, 4))
        leaders = tuple(f"p{place}" for place in some)
        second += luck.randint(1, 3)
        match what:
            case 0:
                found.append(said(act, second, Deleafed(leaders, 2), "W1", ("deleaf", "W1"), leaders))
            case 1:
                found.append(said(act, second, SideShooted(leaders), "W1", ("side_shoot", "W1")))
            case 2:
                for place in some:
                    second += 1
                    body = Lowered(f"p{place}", 0.2, hook_u_m=2.0)
                    found.append(said(act, second, body, place, ("lower", "W1"), (f"p{place}",)))
                    found.append(
                        said(act, second + 50, Unclipped(f"c{place}"), place, ("lower", "W1"), (f"p{place}",))
                    )
            case 3:
                found.append(said(act, second, Picked("cherry 1", kg=1.0), "W1", ("pick", "W1 cherry 1")))
            case 4:
                found.append(said(act, second, Fed(cans=2.0), "W", ("feed", "W")))
            case 5:
                target = luck.choice(acts)
                found.append(mark(target, second, luck.choice(("crossed_out", "crossed_out", "restored"))))
    return found


def once_by_hand(entries: Sequence[Entry]) -> list[Entry]:
    """The rule written down a second time, over the sorted live entries; the marks go with what they took."""
    taken: dict[tuple[str, str], str] = {}
    found = []
    for entry in live(entries):
        if entry.kind in ("crossed_out", "restored"):
            continue
        plain = parsed(entry)
        if "answers" in plain:
            own = plain.get("pieces") or plain.get("leaders") or [plain.get("leader", "")]
            free = [x for x in own if taken.setdefault((str(plain["answers"]), x), entry.act) == entry.act]
            if not free:
                continue
            if "leaders" in plain:
                entry = entry._replace(body=json.dumps({**plain, "leaders": free}))
        found.append(entry)
    return found


@pytest.mark.parametrize("seed", range(60))
def test_three_hands_in_any_order_of_arrival_count_once(seed: int) -> None:
    luck = Random(seed)
    book, ticked = begun(), random_acts(luck)
    whole = [*book.entries, *ticked]
    expected = fold(once_by_hand(whole), DAY)
    told = fold(whole, DAY)
    for one, other in zip(expected.leaders.values(), told.leaders.values(), strict=True):
        assert one == other
    assert [(p.row, p.picked) for p in told.picks] == [(p.row, p.picked) for p in expected.picks]
    assert told.feeds == expected.feeds
    arriving = luck.sample(whole, len(whole))
    growing = Fold(DAY)
    while arriving:
        some = luck.randint(1, 4)
        growing.add(arriving[:some])
        arriving = arriving[some:]
    assert not differences(growing.season(), told)


def test_the_second_is_set_aside_with_the_first_beside_it() -> None:
    entries = begun().entries
    ann = said("ann", 1, Fed(cans=3.0), "W", ("feed", "W"))
    bob = said("bob", 2, Fed(cans=4.0), "W", ("feed", "W"))
    told = fold([*entries, bob, ann], DAY)
    assert [body for _, _, body in told.feeds] == [Fed(cans=3.0)]
    (aside,) = told.set_aside
    assert (aside.entry, aside.first) == (bob, ann)
    out = fold([*entries, bob, ann, mark("ann", 3, "crossed_out")], DAY)
    assert [body for _, _, body in out.feeds] == [Fed(cans=4.0)]
    assert not out.set_aside


def test_what_may_be_said_again_is() -> None:
    """Put off and then done; fleece off in the morning and on at night."""
    entries = begun().entries
    later = said("ann", 1, PutOff(DAY + timedelta(days=1)), "W", ("feed", "W"))
    done = said("bob", 2, Fed(cans=4.0), "W", ("feed", "W"))
    off = said("ann", 3, Fleece(False), "W", ("fleece", "W"))
    on = said("ann2", 4, Fleece(True), "W", ("fleece", "W"))
    told = fold([*entries, later, done, off, on], DAY)
    assert not told.set_aside
    assert told.feeds
    assert told.fleece_on == {"W": True}
    assert replace(told.done[0], act="") != replace(told.done[1], act="")


def due(entry: Entry, days: int) -> Entry:
    plain = parsed(entry)
    if "answers" in plain:
        plain["answers"][2] = (DAY + timedelta(days)).isoformat()
    return entry._replace(body=json.dumps(plain, separators=(",", ":")))


@pytest.mark.parametrize("seed", range(20))
def test_acts_due_on_different_days_count_alike_in_any_order_of_arrival(seed: int) -> None:
    luck = Random(seed)
    whole = [*begun().entries, *(due(entry, luck.randint(0, 1)) for entry in random_acts(luck))]
    growing = Fold(DAY)
    for entry in luck.sample(whole, len(whole)):
        growing.add([entry])
    assert not differences(growing.season(), fold(whole, DAY))


def test_of_two_acts_of_one_machine_on_one_chore_the_first_counts_whatever_the_second_did_before() -> None:
    """The second act had cleared the same head as due on another day too; what is due today the first cleared."""
    entries = begun().entries
    body, chore = SideShooted(leaders=("pW1-01",)), ("side_shoot", "W1")
    earlier, second = due(said("x2", 1, body, "W1", chore), 3), said("x2", 3, body, "W1", chore)
    first = said("x1", 2, body, "W1", chore)
    told = fold([*entries, earlier, first, second], DAY)
    assert [(aside.entry, aside.first) for aside in told.set_aside] == [(second, first)]
