"""From clips to strings, hooks, wires, hoops and rows: a house worked by hand, and what bad notes lead to."""

from __future__ import annotations

from datetime import timedelta
from math import exp

import pytest

from tests.loads.made import DAY, clip, holding, leader, outlook, row, season, stem, tiered
from tests.season.entries import FIRST, TWO_ROWS, Book
from tunneltui.growth.forecast import outlook as forecast
from tunneltui.holding.model import ClipKind, Holding, Tunnel
from tunneltui.journal.entry import Entry
from tunneltui.journal.kinds_holding_up import ClipFailed, Clipped, Hung, Lowered, Propped
from tunneltui.journal.kinds_standing import Measured, Planted
from tunneltui.loads.chain import loads
from tunneltui.loads.column import root_most_n
from tunneltui.loads.lines import twine_strength_n
from tunneltui.loads.masses import GRAVITY_M_PER_S2, lumps, weights
from tunneltui.loads.overhead import Pull, hoop_loads
from tunneltui.loads.result import Loads
from tunneltui.pages.loads import corner_words
from tunneltui.season.fold import fold
from tunneltui.season.state import SetAside
from tunneltui.values import replace


def test_lines_sum_their_clips_and_hooks_their_heads() -> None:
    one, grown = tiered("a", 0.58)
    two, other = tiered("b", 1.16)
    found = loads(season(one, two), outlook({"a": grown, "b": other}), DAY)
    on_string_four = [clip.mid_n for clip in found.clips if clip.on == "string 4"]
    line = next(line for line in found.lines if line.id == "W1/4")
    assert len(on_string_four) == 2
    assert line.mid_n == pytest.approx(sum(on_string_four))
    hook = next(line for line in found.lines if line.id == "W1-a hook")
    assert hook.mid_n == pytest.approx(sum(c.mid_n for c in found.clips if c.leader == "W1-a" and c.on == "head"))


def test_share_of_a_string_is_rated_times_knot_times_age() -> None:
    """177 N x 0.5 x 1: 88.5 N; with an age share of 0.8, 70.8 N; unknown stays unknown."""
    stands = holding()
    places = season(leader(), stands=stands).layout
    assert twine_strength_n(places, "jute", 0.5) == pytest.approx(88.5)
    aged = replace(stands, twines=(replace(stands.twines[0], age_share=0.8),))
    assert twine_strength_n(season(leader(), stands=aged).layout, "jute", 0.5) == pytest.approx(70.8)
    assert twine_strength_n(places, "hemp", 0.5) is None
    one, grown = tiered()
    found = loads(season(one), outlook({"a": grown}), DAY)
    line = next(line for line in found.lines if line.id == "W1/4")
    assert line.share == pytest.approx(line.mid_n / 88.5)


def test_a_loop_of_two_rows_by_hand() -> None:
    """Heads of a loop's first row that have turned the end hang from the second row's wire.

    Rows of 8 m, 1 m apart: u 10.5 is past the first wire (8 m and 1 m across), 1.5 m back along the second, at its
    x 6.5. An upright stem's hook is likely to bear its weight less three
    quarters of what buckles its root."""
    first = row(1, loop_with=2, across_m=1.8, corner="end_bar", hanger_every_m=4.0, wire_breaking_n=4000.0)
    second = row(2, loop_with=1, across_m=2.8, corner="end_bar", hanger_every_m=4.0, wire_breaking_n=4000.0)
    stands = holding(first, second)
    turned = leader("t", 10.5, (), 10.5, row="W2", x_m=6.5)
    grown = stem(1.9, 1.9, ((1.5, 1.0),), leaves=0.0)
    found = loads(season(turned, stands=stands), outlook({"t": grown}), DAY)
    (hook,) = found.lines
    assert hook.row == "W2"
    assert hook.x_m == pytest.approx(6.5)
    weight = weights(grown, season(turned, stands=stands).layout.cultivars["round"])
    root_n = 0.75 * root_most_n(lumps(weight, [0.1 * i for i in range(1, 16)]), 0.15)
    assert hook.mid_n == pytest.approx(weight.total_n - root_n)
    # The second wire's hangers at 4 and 8 m share it by the lever, with the wire's own weight.
    loaded = [wire for wire in found.wires if wire.row == "W2"]
    unloaded = [wire for wire in found.wires if wire.row == "W1"]
    assert max(w.tension_n for w in loaded) > max(w.tension_n for w in unloaded)
    assert max(loaded, key=lambda w: w.sag_m).span == "4.0 to 8.0 m"


def test_hangers_and_hoops_by_hand() -> None:
    """One hook of P at x 3 under hoops every 2 m: half to the hoops at 2 and 4 m each, and the wire's own weight
    of one bay (2 m) to every inner hoop."""
    stands = holding(row(start_m=0.0, across_m=1.0))
    standing = leader("a", 3.0, (), 3.0)
    grown = stem(1.9, 1.9, ((1.5, 1.0),), leaves=0.0)
    found = loads(season(standing, stands=stands), outlook({"a": grown}), DAY)
    p = next(line.mid_n for line in found.lines)
    own = 2.0 * 0.0385 * GRAVITY_M_PER_S2
    by_place = {hoop.x_m: hoop.load_n for hoop in found.hoops}
    assert by_place[2.0] == pytest.approx(p / 2 + own, rel=1e-3)
    assert by_place[4.0] == pytest.approx(p / 2 + own, rel=1e-3)
    assert by_place[6.0] == pytest.approx(own, rel=1e-3)
    assert sum(by_place.values()) == pytest.approx(p + 8.0 * 0.0385 * GRAVITY_M_PER_S2, rel=1e-3)


def test_a_row_that_starts_inside_the_tunnel_loads_the_hoops_there() -> None:
    """Hangers at 1, 3, 5 m of the tunnel lie midway between hoops: each shares a hanger with its neighbour."""
    found = hoop_loads(
        Tunnel("W", "w", 6.0, 5.0), [Pull(1.0, 1.0, 10.0), Pull(3.0, 1.0, 20.0), Pull(9.0, 1.0, 4.0)]
    )
    assert [(h.x_m, h.load_n) for h in found] == [(0.0, 5.0), (2.0, 15.0), (4.0, 10.0), (6.0, 4.0)]


def test_one_sided_loading_is_called_out() -> None:
    tunnel = Tunnel("W", "w", 4.0, 5.0, crop_allowed_kg_per_hoop=40.0)
    even = hoop_loads(tunnel, [Pull(2.0, 1.5, 100.0), Pull(2.0, 3.5, 80.0)])
    lopsided = hoop_loads(tunnel, [Pull(2.0, 1.5, 100.0), Pull(2.0, 3.5, 40.0)])
    unplaced = hoop_loads(tunnel, [Pull(2.0, 0.0, 100.0)])
    assert [h.one_sided for h in (*even, *lopsided, *unplaced)] == [False, True, False]
    assert lopsided[0].allowed_n == pytest.approx(40 * GRAVITY_M_PER_S2)


def test_rows_weigh_what_their_stems_weigh() -> None:
    one, grown = tiered()
    found = loads(season(one), outlook({"a": grown}), DAY)
    kg = weights(grown, season(one).layout.cultivars["round"]).total_n / GRAVITY_M_PER_S2
    (row_load,) = found.rows
    assert row_load.hanging_kg == pytest.approx(kg)
    assert row_load.peak_kg is None


def test_one_truss_more_and_one_clip_less_give_other_numbers() -> None:
    one, grown = tiered("a", 0.58)
    heavier = replace(grown, trusses=(*grown.trusses, grown.trusses[0]._replace(number=12, s_m=2.7)))
    fewer = replace(one, fixings=tuple(f for f in one.fixings if f.id != "a4"))
    base = {c.id: c for c in loads(season(one), outlook({"a": grown}), DAY).clips}
    more = {c.id: c for c in loads(season(one), outlook({"a": heavier}), DAY).clips}
    less = {c.id: c for c in loads(season(fewer), outlook({"a": grown}), DAY).clips}
    assert more["a5"].mid_n > base["a5"].mid_n + 0.5
    assert more["a5"].chance_7d > base["a5"].chance_7d
    assert abs(less["a5"].mid_n - base["a5"].mid_n) > 0.3


def test_fullest_first_and_nothing_called_safe() -> None:
    one, grown = tiered()
    found = loads(season(one), outlook({"a": grown}), DAY)
    shares = [c.share for c in found.clips]
    assert shares == sorted(shares, reverse=True)
    assert all(c.share == pytest.approx(c.mid_n / c.strength_n) for c in found.clips)
    assert "safe" not in " ".join(found.faults)


def test_growth_ahead_raises_the_chance() -> None:
    """Alike today, but one stem's trusses swell within the week."""
    one, grown = tiered()
    still, growing = outlook({"a": grown}), outlook({"a": grown})
    week = DAY + timedelta(days=7)
    swelled = replace(
        growing.leaders["a"].days[week], trusses=tuple(t._replace(kg=t.kg * 1.6) for t in grown.trusses)
    )
    growing.leaders["a"].days[week] = swelled
    before = {c.id: c.chance_7d for c in loads(season(one), still, DAY).clips}
    after = {c.id: c.chance_7d for c in loads(season(one), growing, DAY).clips}
    assert after["a5"] > 1.5 * before["a5"]


def test_a_rating_is_the_kinds_strength() -> None:
    one, grown = tiered()
    stands = replace(holding(), clips=(ClipKind("green", rating_n=60.0),))
    rated = loads(season(one, stands=stands), outlook({"a": grown}), DAY)
    plain = loads(season(one), outlook({"a": grown}), DAY)
    ratio = rated.clips[0].strength_n / plain.clips[0].strength_n
    assert ratio == pytest.approx(60 / 38, rel=0.06)


def test_a_tie_is_as_strong_as_its_knotted_twine() -> None:
    """88.5 N median of string 4's twine, spread 0.35: 1 in 20 by 88.5 exp(-1.645 x .35) = 49.8 N when new."""
    one, grown = tiered()
    tied = replace(
        one, fixings=tuple(replace(f, tie=True, clip_kind="") if f.id == "a4" else f for f in one.fixings)
    )
    found = {c.id: c for c in loads(season(tied), outlook({"a": grown}), DAY).clips}
    assert found["a4"].strength_n == pytest.approx(88.5 * exp(-1.645 * 0.40), abs=0.1)


def test_what_cannot_be_worked_out_is_said_and_the_rest_is_worked_out() -> None:
    one, grown = tiered("a", 0.58)
    above = replace(one, fixings=(*one.fixings, clip("a", "too high", 9.0, 1.1, string="W1/2")))
    short, short_stem = leader("s", 2.0, (clip("s", "far", 0.9, 6.6, string="W1/12"),), 2.0), stem(1.2, 1.2)
    lost = Entry(
        "e1", "act", "dev", DAY, 0, "", "W1-01", "clip_failed", 1, '{"fixing": "nowhere", "how": "broke"}'
    )
    aside = (SetAside(lost, "its clip did not hold then"),)
    found = loads(season(above, short, set_aside=aside), outlook({"a": grown, "s": short_stem}), DAY)
    text = "\n".join(found.faults)
    assert "too high" in text
    assert "shorter than the path" in text
    assert "Entry e1" in text
    assert "breaking force" in text
    assert {c.leader for c in found.clips} >= {"W1-a"}
    assert all(wire.share is None for wire in found.wires)
    assert "too high" not in {c.id for c in found.clips}


def test_a_leader_without_outlook_is_left_out() -> None:
    one, grown = tiered("a", 0.58)
    two, _ = tiered("b", 1.16)
    found = loads(season(one, two), outlook({"a": grown}), DAY)
    assert set(found.paths) == {"a"}


def test_the_same_season_gives_the_same_loads_twice() -> None:
    one, grown = tiered()
    first, again = (loads(season(one), outlook({"a": grown}), DAY) for _ in range(2))
    assert first.clips == again.clips
    assert first.weak_points == again.weak_points


def test_wrong_entries_are_each_named_and_everything_else_is_worked_out() -> None:
    """The bad entries of a hurried evening, read from a journal: a clip above the tip, one too far for its stem,
    a hook further than the stem reaches, a prop above the tip, a failure of a clip that never was, wires of which
    nobody knows the strength."""
    book = Book()
    book.set(TWO_ROWS)
    for place in ("W1-01", "W1-02", "W1-03", "W2-01"):
        book.write(Planted("cherry 1"), place, id=place)
    for name in ("W1-01", "W1-02", "W1-03"):
        book.write(Measured(name, length_m=1.2, tip_under_wire_m=0.9), name, day=20, id=f"{name} read")
    book.write(Measured("W2-01", length_m=1.5, tip_under_wire_m=0.6), "W2-01", day=20)
    book.write(Hung("W2-01", 0.6), "W2-01", day=20)
    book.write(Clipped("W2-01", 1.2, "head"), "W2-01", day=20, id="sound")
    book.write(Clipped("W1-01", 6.0, string="W1/1"), "W1-01", day=20, id="above the tip")
    book.write(Clipped("W1-02", 0.5, string="W1/6"), "W1-02", day=20, id="too far")
    book.write(Hung("W1-03", 9.0), "W1-03", day=20)
    book.write(Lowered("W1-03", 0.3, hook_u_m=9.0), "W1-03", day=20, id="hook away")
    book.write(Propped("W1-01", 7.0, 1.0), "W1-01", day=20, id="prop in the air")
    book.write(ClipFailed("nowhere", "broke"), "W1-01", day=20, id="no such clip")
    standing = fold(book.entries, FIRST + timedelta(days=20))
    found = loads(standing, forecast(standing), standing.day)
    for word in ("above the tip", "too far", "hook away", "prop in the air", "no such clip", "W1-03 read"):
        assert any(word in fault for fault in found.faults), word
    assert all(fault.endswith(".") for fault in found.faults)
    assert "breaking force of its wire is not noted" in " ".join(found.faults)
    sound = next(clip for clip in found.clips if clip.id == "sound")
    assert sound.mid_n > 0.3
    assert {clip.id for clip in found.clips} >= {"sound", "too far"}
    assert set(found.paths) == {"W1-01", "W1-02", "W1-03", "W2-01"}
    assert found.rows[1].hanging_kg > 0


def looped(corner: str) -> Holding:
    rows = (
        row(1, loop_with=2, corner=corner, across_m=1.0, wire_diameter_mm=2.5, pretension_n=300.0),
        row(2, loop_with=1, corner=corner, across_m=2.2),
    )
    return holding(*rows)


def round_the_end(corner: str) -> Loads:
    """Two heads that hang between the rows, 0.4 and 0.8 m from the first, and one that has not come there yet."""
    one, grown = tiered("a", 0.58)
    others = [
        (replace(one, id=i, name=f"W1-{i}", fixings=(), u_m=u_m - 0.01, hook=replace(one.hook, u_m=u_m)), g)
        for i, u_m, g in (("b", 8.4, stem(1.9, 1.8, ((1.5, 1.0),))), ("c", 8.8, stem(1.9, 1.8, ((1.5, 1.2),))))
        if one.hook is not None
    ]
    leaders = [one, *(leader_ for leader_, _ in others)]
    stems = {"a": grown, **{leader_.id: g for leader_, g in others}}
    return loads(season(*leaders, stands=looped(corner)), outlook(stems), DAY)


def test_a_cross_wire_pulls_the_frames_sideways_as_a_wire_with_two_loads() -> None:
    """The form checked against exact wires (cases W01 to W06), by hand for two loads on 1.2 m: the shears squared
    along the wire, H^3 - T0 H^2 = EA S / (2 L) with EA of 2.5 mm at the row's own modulus."""
    (corner,) = round_the_end("cross_wire").corners
    assert corner.heads == ("W1-b", "W1-c")
    hooks = {line.id: line.mid_n for line in round_the_end("cross_wire").lines}
    b_n, c_n = hooks["W1-b hook"], hooks["W1-c hook"]
    assert corner.load_n == pytest.approx(b_n + c_n)
    left_n = (b_n * 0.8 + c_n * 0.4) / 1.2
    squared = 0.4 * (left_n**2 + (left_n - b_n) ** 2 + (left_n - b_n - c_n) ** 2)
    ea_n = looped("cross_wire").tunnels[0].rows[0].wire_modulus_gpa * 1e9 * 3.14159265 / 4 * 0.0025**2
    pull_n = corner.side_pull_n
    assert pull_n is not None
    # The wire's own 0.5 N are left out here: 1.5 % of the load, 3 % of its square.
    assert pull_n**3 - 300.0 * pull_n**2 == pytest.approx(ea_n * squared / (2 * 1.2), rel=0.04)
    assert pull_n > 300.0
    assert corner_words(corner).startswith("End of W1, cross wire: W1-b, W1-c, ")


def test_an_end_bar_pulls_no_frame_and_nothing_overhead_is_said() -> None:
    (bar,) = round_the_end("end_bar").corners
    assert bar.side_pull_n == 0.0
    assert "does not pull" in corner_words(bar)
    (bare,) = round_the_end("nothing").corners
    assert bare.side_pull_n is None
    assert "nothing overhead" in corner_words(bare)
    one, grown = tiered("a", 0.58)
    assert loads(season(one, stands=looped("nothing")), outlook({"a": grown}), DAY).corners == ()
