"""What each kind of entry does to a leader.

An effect takes the builder and a record and changes what the leader is; it answers with a plain reason where
the entry leans on something that is not there, and then changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tunneltui.holding.user_error import Fault
from tunneltui.journal.kinds_holding_up import HowFailed
from tunneltui.season.state import Lowering, Prop, Reading
from tunneltui.season.stem import Clip, HookNow, Mishap, StemBuilder
from tunneltui.season.touch import TOUCHES, Record

STANDS_IN_WITHIN_M = 0.15
"""A clip this near on the stem stands in for one that failed (as in the loads: two so near are one support)."""


def _hung(stem: StemBuilder, record: Record, body: Any) -> None:
    hook = stem.hook
    if hook is None:
        hook = stem.hook = HookNow(body.hook_u_m, record.day)
    stem.take_up(body.hook_u_m - hook.u_m)
    hook.u_m = body.hook_u_m
    hook.assumed = body.assumed
    hook.kind = body.hook_kind or hook.kind
    if body.spare_m is not None:
        hook.spare_m = body.spare_m
    stem.mend("plant_dropped")
    stem.props.clear()


HUNG_LOWER_M = 0.20
"""Nobody who lets a tip down to a place by eye lets it further past it (assumed)."""


def _lowered(stem: StemBuilder, record: Record, body: Any) -> None:
    let_out_m = 0.0 if _hung_lower(body) else body.let_out_m
    if let_out_m is None and body.turns is not None:
        turn_m = stem.facts.turn_m.get(stem.hook.kind if stem.hook is not None else "")
        let_out_m = None if turn_m is None else body.turns * turn_m
    if not _hung_lower(body):
        _lower_hook(stem, record, body, let_out_m)
        stem.coiled_m += body.coiled_m
    stem.saw_all(record.day)
    # A stem that moves on leaves its props behind.
    stem.props.clear()
    for ended in stem.ended.values():
        ended.made_good = True
    stem.lowerings.append(
        Lowering(
            record.id,
            record.day,
            let_out_m,
            body.hook_u_m,
            body.tip_under_wire_m,
            body.finish,
            body.as_proposed,
            body.aimed_under_wire_m,
        )
    )


def _hung_lower(body: Any) -> bool:
    """Seen to hang so far under the place it was to come to that it hung lower before: nothing was let out."""
    place_m, seen_m = body.aimed_under_wire_m, body.tip_under_wire_m
    return place_m is not None and seen_m is not None and seen_m > place_m + HUNG_LOWER_M


def _lower_hook(stem: StemBuilder, record: Record, body: Any, let_out_m: float | None) -> None:
    if body.hook_u_m is not None:
        if stem.hook is None:
            stem.hook = HookNow(body.hook_u_m, record.day)
        stem.hook.u_m = body.hook_u_m
        stem.hook.assumed = body.as_proposed
    if stem.hook is not None and stem.hook.spare_m is not None and let_out_m is not None:
        stem.hook.spare_m = max(stem.hook.spare_m - let_out_m, 0.0)


def _clipped(stem: StemBuilder, record: Record, body: Any) -> Fault | None:
    return _fix(stem, record, body, body.clip_kind)


def _tied(stem: StemBuilder, record: Record, body: Any) -> Fault | None:
    why = _fix(stem, record, body, None)
    if why is None:
        stem.mend("stem_kinked")
    return why


def _fix(stem: StemBuilder, record: Record, body: Any, clip_kind: str | None) -> Fault | None:
    u_m = None
    if body.on == "string":
        fact = stem.facts.strings.get(body.string)
        if fact is None:
            return Fault(f"there is no string {body.string}" if body.string else "it names no string")
        if fact.cut is not None and fact.cut < record:
            return Fault(f"string {body.string} was cut on {fact.cut.day.isoformat()}")
        u_m = fact.hung.u_m
    stem.saw_all(record.day)
    for ended in stem.ended.values():
        if abs(ended.fixing.s_m - body.s_m) <= STANDS_IN_WITHIN_M:
            ended.made_good = True
    stem.mend("plant_dropped", "tip_snapped")
    stem.clips[record.id] = Clip(record, body, u_m, clip_kind)
    return None


def _unclipped(stem: StemBuilder, record: Record, body: Any) -> Fault | None:
    return _let_go(stem, record, body.fixing, None, False)


def _clip_failed(stem: StemBuilder, record: Record, body: Any) -> Fault | None:
    return _let_go(stem, record, body.fixing, body.how, body.dropped)


def _let_go(stem: StemBuilder, record: Record, fixing: str, how: HowFailed | None, dropped: bool) -> Fault | None:
    clip = stem.clips.get(fixing)
    if clip is None:
        ended = stem.ended.get(fixing)
        return Fault(
            f"this clip held only until {ended.day.isoformat()}" if ended else "its clip did not hold then"
        )
    stem.end(clip, record.day, how, dropped)
    return None


def _string_cut(stem: StemBuilder, record: Record, body: Any) -> None:
    for clip in [clip for clip in stem.clips.values() if clip.string == body.string]:
        stem.end(clip, record.day, None)


def _looked(stem: StemBuilder, record: Record, body: Any) -> None:
    if not body.fixings:
        stem.looked_on = record.day
    seen = [clip for clip in stem.clips.values() if not body.fixings or clip.id in body.fixings]
    for clip in seen:
        clip.saw(record.day)
        clip.assumed = False


def _scouted(stem: StemBuilder, record: Record, body: Any) -> None:
    about = record.entry.about
    wide = not body.leaders and about in ("", stem.root.tunnel, stem.root.row)
    # "Something in row 2" makes no suspects, it would put the whole row last; "over" may be said of it.
    if body.over or not wide:
        stem.suspect = not body.over


def _measured(stem: StemBuilder, record: Record, body: Any) -> None:
    stem.readings.append(
        Reading(
            record.id,
            record.day,
            body.length_m,
            body.growth_m,
            body.tip_under_wire_m,
            body.diameter_mm,
            body.flowering_truss,
            body.flowering_since,
            body.lowest_truss,
            body.trusses_hanging,
            body.leaves,
            body.stems,
            body.by,
            len(stem.lowerings),
        )
    )
    stem.mend("tip_snapped")


def _truss_fruits(stem: StemBuilder, _record: Record, body: Any) -> None:
    stem.truss_fruits[body.truss] = body.fruits


def _truss_lost(stem: StemBuilder, _record: Record, body: Any) -> None:
    stem.trusses_lost.add(body.truss)


def _marked(stem: StemBuilder, record: Record, body: Any) -> None:
    stem.marked_on = record.day if body.marked else None


def _tip_snapped(stem: StemBuilder, record: Record, body: Any) -> None:
    stem.mishaps.append(Mishap(record, body.length_left_m))


def _stem_kinked(stem: StemBuilder, record: Record, body: Any) -> None:
    stem.mishaps.append(Mishap(record, body.s_m))


def _plant_dropped(stem: StemBuilder, record: Record, _body: Any) -> None:
    stem.props.clear()
    stem.mishaps.append(Mishap(record, None))


def _propped(stem: StemBuilder, record: Record, body: Any) -> None:
    stem.mend("stem_kinked")
    stem.propped_on = record.day
    if body.z_m > 0:
        stem.props.append(Prop(record.id, body.s_m, body.z_m, record.day))


def _leader_kept(stem: StemBuilder, _record: Record, _body: Any) -> None:
    stem.mend("tip_snapped")


def _twisted_in(stem: StemBuilder, record: Record, _body: Any) -> None:
    stem.twisted_in_on = record.day


def _side_shooted(stem: StemBuilder, record: Record, _body: Any) -> None:
    stem.side_shooted_on = record.day


def _deleafed(stem: StemBuilder, record: Record, body: Any) -> None:
    stem.deleafed.append((record.day, body.leaves))


def _green_stripped(stem: StemBuilder, record: Record, _body: Any) -> None:
    stem.stripped_on = record.day


def _tip_taken_out(stem: StemBuilder, record: Record, _body: Any) -> None:
    stem.tip_taken_out_on = record.day


def _let_it_run(stem: StemBuilder, _record: Record, body: Any) -> None:
    if body.though_weak:
        stem.kept_though_weak = True
    else:
        stem.let_it_run = True


def _training_changed(stem: StemBuilder, _record: Record, body: Any) -> None:
    stem.training = body.training


def _pollinated(stem: StemBuilder, record: Record, _body: Any) -> None:
    stem.pollinated_on = record.day


def _nothing(_stem: StemBuilder, _record: Record, _body: Any) -> None:
    """Counted by its day alone (``Season.last``), or with the picks."""


_EFFECTS: dict[str, Callable[[StemBuilder, Record, Any], Fault | None]] = {
    "hung": _hung,
    "lowered": _lowered,
    "clipped": _clipped,
    "tied": _tied,
    "unclipped": _unclipped,
    "clip_failed": _clip_failed,
    "string_cut": _string_cut,
    "looked": _looked,
    "scouted": _scouted,
    "measured": _measured,
    "truss_counted": _truss_fruits,
    "truss_pruned": _truss_fruits,
    "truss_lost": _truss_lost,
    "marked_plant": _marked,
    "tip_snapped": _tip_snapped,
    "stem_kinked": _stem_kinked,
    "plant_dropped": _plant_dropped,
    "propped": _propped,
    "leader_kept": _leader_kept,
    "twisted_in": _twisted_in,
    "side_shooted": _side_shooted,
    "deleafed": _deleafed,
    "tip_taken_out": _tip_taken_out,
    "let_it_run": _let_it_run,
    "training_changed": _training_changed,
    "pollinated": _pollinated,
    "green_stripped": _green_stripped,
    "picked": _nothing,
}

if unfiled := _EFFECTS.keys() - TOUCHES.keys() - {"string_cut"}:
    raise TypeError(f"season.touch does not say which stems these touch: {sorted(unfiled)}")


def read(stem: StemBuilder, record: Record) -> Fault | None:
    """Take one entry into a leader; a plain reason where it leans on something that is not there."""
    return _EFFECTS[record.entry.kind](stem, record, record.body)
