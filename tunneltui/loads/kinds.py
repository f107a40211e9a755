"""The strength of every kind of clip in the house, and each clip's own record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tunneltui.loads.lines import twine_strength_n
from tunneltui.loads.result import KindStrength
from tunneltui.loads.strength import BucketTest, HeldRecord, Prior, Strength, learn, prior_of
from tunneltui.loads.trials import Heaviest, Look, heaviest
from tunneltui.season.state import Fixing, Leader, Season

_UNSEEN = HeldRecord(None)
TIE_N = 88.0
"""Median of a tie whose twine is not known: half, for its knot, of the 177 N at which a twine for stems broke
(Wageningen Plant Research 2020)."""


def clip_kind(season: Season, leader: Leader) -> str:
    """The kind of the clip closed last on the leader, else the first of the holding."""
    clips = [fixing for fixing in leader.fixings if not fixing.tie and fixing.clip_kind]
    if clips:
        return max(clips, key=lambda fixing: (fixing.hung_on, fixing.s_m)).clip_kind
    return season.holding.clips[0].key if season.holding.clips else ""


def learned_strength(
    season: Season,
    kind: str,
    fixings: Sequence[Fixing],
    records: Mapping[str, HeldRecord],
    hanging: Mapping[str, Look],
) -> Strength:
    """What is learned of a kind of clip from the records of its ``fixings``, by fixing id, and from what those
    bear that hang."""
    rated = next((clip for clip in season.holding.clips if clip.key == kind), None)
    prior = prior_of(rated, season.holding.limits)
    recorded = [fixing for fixing in fixings if fixing.id in records]
    seen = [records[fixing.id] for fixing in recorded]
    return learn(prior, seen, tests_of(season, kind), unseen_clips(recorded, seen, hanging, prior))


def unseen_clips(
    fixings: Sequence[Fixing], records: Sequence[HeldRecord], hanging: Mapping[str, Look], prior: Prior
) -> list[Heaviest]:
    """What clips bear that have hung for a week and were never looked at. Those set by a tick may not be there:
    they are the others of a failure of such a clip only."""
    of_ticks = any(
        record.failed is not None and fixing.assumed for fixing, record in zip(fixings, records, strict=True)
    )
    looks = (
        hanging[fixing.id]
        for fixing, record in zip(fixings, records, strict=True)
        if record == _UNSEEN
        and fixing.id in hanging
        and hanging[fixing.id].weeks >= 1
        and (of_ticks or not fixing.assumed)
    )
    trials = (heaviest((look,), prior.weakening_per_week, prior.tau_ln) for look in looks)
    return [trial for trial in trials if trial is not None]


def kind_strength(season: Season, learned: Mapping[str, Strength], kind: str) -> Strength:
    """A kind's strength as learned, else as assumed."""
    if kind in learned:
        return learned[kind]
    rated = next((clip for clip in season.holding.clips if clip.key == kind), None)
    return learn(prior_of(rated, season.holding.limits), ())


def kind_strengths(learned: Mapping[str, Strength]) -> list[KindStrength]:
    """Each kind for showing, with what its figure rests on."""
    strengths = []
    for kind, strength in learned.items():
        low_n, high_n = strength.fifth_n
        strengths.append(
            KindStrength(
                kind=kind,
                strength_n=strength.quantile_n(),
                low_n=low_n,
                high_n=high_n,
                median_n=strength.quantile_n(z=0.0),
                failures=strength.failures,
                held=strength.held,
                tested=strength.tested,
            )
        )
    return strengths


def strength_of(season: Season, fixing: Fixing, learned: Mapping[str, Strength]) -> Strength:
    """A clip's kind; a tie is as strong as the knotted twine of its string, and nothing is learned of it."""
    if not fixing.tie:
        return learned[fixing.clip_kind]
    string = season.strings.get(fixing.string)
    known_n = twine_strength_n(season.layout, string.twine, string.knot_share) if string else None
    weakening = season.holding.limits.clip_weakening_per_week
    return learn(Prior(median_n=known_n or TIE_N, weakening_per_week=weakening), ())


def tests_of(season: Season, kind: str) -> list[BucketTest]:
    return [
        BucketTest(test.load_n, None if test.held else test.load_n, test.weeks_hung)
        for test in season.strength_tests
        if test.clip_kind == kind
    ]
