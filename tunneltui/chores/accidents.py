"""What happened to a stem: tip snapped, stem kinked, plant dropped."""

from __future__ import annotations

from collections.abc import Iterator

from tunneltui.cells import Day, cm, day_word, joined, listed, say
from tunneltui.chores.chore import Chore
from tunneltui.chores.chore_kind import ChoreKind
from tunneltui.chores.making import Where, at_head, at_root, fixing_again, make_chore, on_the_loop, whole
from tunneltui.chores.minutes import minutes_for
from tunneltui.chores.rule import ChoreRule
from tunneltui.chores.wording import hook_place, on_what
from tunneltui.growth.outlook import Outlook
from tunneltui.journal.kinds import Body
from tunneltui.journal.kinds_holding_up import Hung, Propped, Tied
from tunneltui.loads.path import hook_u_m
from tunneltui.loads.result import Loads, StemPath
from tunneltui.season.state import Accident, Ending, Leader, Season

DROPPED = ChoreKind(
    "dropped",
    "rescue a dropped plant",
    "stem",
    "plants",
    worth=0.2,
    minutes=10.0,  # a failure costs about 10 minutes (assumed)
    reach="loop",
    lasts="facts",
    joins=True,
)
TIP_SNAPPED = ChoreKind(
    "tip_snapped", "tip snapped", "stem", "plants", worth=0.1, minutes=5.0, reach="loop", lasts="facts", joins=True
)
KINKED = ChoreKind(
    "kinked", "stem kinked", "stem", "plants", worth=0.1, minutes=5.0, reach="loop", lasts="facts", joins=True
)
BELOW_BREAK_M = 0.10
"""The strongest shoot is tied so far under a snapped tip (common practice, no source)."""


def accidents(season: Season, outlook: Outlook, loads: Loads) -> Iterator[Chore]:
    """Every accident not made good, one chore a leader and kind."""
    for leader in season.leaders.values():
        open_kinds = {accident.kind: accident for accident in leader.accidents if not accident.made_good}
        if snapped := open_kinds.get("tip_snapped"):
            yield _tip_snapped(season, outlook, leader, snapped)
        if kinked := open_kinds.get("stem_kinked"):
            yield _kinked(season, loads, leader, kinked)
        let_go = [ending for ending in leader.endings if ending.dropped and not ending.made_good]
        if let_go or "plant_dropped" in open_kinds:
            yield _dropped(season, leader, let_go)


def _accident_chore(
    season: Season,
    leader: Leader,
    kind: ChoreKind,
    where: Where,
    proposal: str,
    why: str,
    writes: list[Body],
    key: str,
) -> Chore:
    return make_chore(
        kind,
        leader.name,
        where,
        when="any",
        earliest=season.day,
        latest=season.day,
        must=True,
        proposal=f"{leader.name}: {proposal}",
        why=why,
        pieces=whole(
            where,
            minutes_for(season, kind),
            *((leader.place, body) for body in writes),
            leaders=[leader.id],
            key=key,
        ),
    )


def _tip_snapped(season: Season, outlook: Outlook, leader: Leader, accident: Accident) -> Chore:
    left_m = accident.s_m
    if left_m is None and leader.id in outlook.leaders:
        left_m = outlook.stem(leader.id, season.day).length_m.mid
    tie_m = round(max(0.0, (left_m or 0.0) - BELOW_BREAK_M), 2)
    noted = (
        say("{} of stem are left", cm(accident.s_m)) if accident.s_m is not None else "nothing grows on from it"
    )
    return _accident_chore(
        season,
        leader,
        TIP_SNAPPED,
        at_head(season, leader),
        "keep the strongest shoot under the break, tie it to the twine",
        say("The tip snapped {}: {}; a shoot takes some weeks to lead.", Day(accident.day, season.day), noted),
        [Tied(leader.id, tie_m, "head", assumed=True)],
        accident.id,
    )


def _kinked(season: Season, loads: Loads, leader: Leader, accident: Accident) -> Chore:
    path = loads.paths.get(leader.id)
    s_m = accident.s_m if accident.s_m is not None else (path.bend_s_m if path else None)
    where = _on_stem(season, leader, path, s_m)
    at = say("{} up the stem", cm(s_m)) if s_m is not None else "at its bend"
    return _accident_chore(
        season,
        leader,
        KINKED,
        where,
        "splint the kink and tie it on both sides",
        say(
            "Kinked {}, {}; splinted at once it mostly heals, and is not lowered for ten days.",
            at,
            Day(accident.day, season.day),
        ),
        [Propped(leader.id, round(s_m or 0.0, 2))],
        accident.id,
    )


def _on_stem(season: Season, leader: Leader, path: StemPath | None, s_m: float | None) -> Where:
    """Where a place on the stem is along the row now."""
    if path is None or s_m is None:
        return at_head(season, leader)
    before = leader.u_m, 0.0
    for u_m, _, here_s_m in path.points:
        if here_s_m >= s_m:
            share = (s_m - before[1]) / (here_s_m - before[1]) if here_s_m > before[1] else 0.0
            return on_the_loop(season, leader.loop, before[0] + share * (u_m - before[0]))
        before = u_m, here_s_m
    return at_head(season, leader)


def _dropped(season: Season, leader: Leader, let_go: list[Ending]) -> Chore:
    hook_m = hook_u_m(leader, season.layout.loops.get(leader.loop))
    again: list[Body] = [fixing_again(ending) for ending in let_go]
    if not again:
        again = [Hung(leader.id, hook_m, hook_kind=leader.hook.kind if leader.hook else "", assumed=True)]
    fell = [on_what(season, ending.fixing.on, ending.fixing.string) for ending in let_go]
    cause = say("Its hold on {} let go", listed(fell)) if fell else "It came down"
    day = max([e.day for e in let_go] + [a.day for a in leader.accidents if a.kind == "plant_dropped"])
    return _accident_chore(
        season,
        leader,
        DROPPED,
        at_head(season, leader) if leader.hook else at_root(leader),
        "prop the head first, then hang it again",
        say("{} {}. {}", cause, day_word(day, season.day), joined(" ", rescue_card(season, leader))),
        again,
        f"{day} {len(let_go)} {len(leader.accidents)}",
    )


def rescue_card(season: Season, leader: Leader) -> list[str]:
    """What to do after a drop, in order: prop, leave, tie the neighbours, hang again."""
    holding = [say("{} at {}", on_what(season, f.on, f.string), cm(f.s_m)) for f in leader.fixings]
    neighbours = _neighbours(season, leader)
    hook_m = hook_u_m(leader, season.layout.loops.get(leader.loop))
    card = ["Prop the head and the heaviest trusses before you pull anything."]
    if holding:
        card.append(say("Leave what still holds: {}.", listed(holding)))
    if neighbours:
        card.append(say("Tie {} before you touch them.", listed(neighbours)))
    card.append(say("Hang it again from the root up, the hook {} last.", hook_place(season, leader.loop, hook_m)))
    return card


def _neighbours(season: Season, leader: Leader) -> list[str]:
    """Leaders that share a string with it: what moves it moves them."""
    strings = {fixing.string for fixing in leader.fixings if fixing.string}
    strings |= {ending.fixing.string for ending in leader.endings if ending.fixing.string and ending.dropped}
    return [
        other.name
        for other in season.leaders_of_loop(leader.loop)
        if other.id != leader.id and any(fixing.string in strings for fixing in other.fixings)
    ]


RULES = (ChoreRule(accidents, (DROPPED, TIP_SNAPPED, KINKED)),)
