"""The strength of every kind of clip in the house, and each clip's own record."""

from __future__ import annotations

from collections.abc import Mapping

from tunneltui.growth.outlook import Outlook
from tunneltui.loads.history import clip_histories, kinds_of
from tunneltui.loads.lines import twine_strength_n
from tunneltui.loads.strength import BucketTest, History, Prior, Strength, learn, prior_of
from tunneltui.season.state import Fixing, Season

TIE_N = 88.0
"""Median of a tie whose twine is not known: half, for its knot, of the 177 N at which a twine for stems broke
(Wageningen Plant Research 2020, in mechanics.md section 4)."""


def strengths(season: Season, outlook: Outlook) -> tuple[dict[str, Strength], dict[str, History]]:
    """What is learned of each kind of clip, by its key, and every clip's visits, by fixing id."""
    histories = clip_histories(season, outlook)
    kinds = {kind.key: kind for kind in season.holding.clips}
    learned = {}
    for key, fixings in kinds_of(season).items():
        prior = prior_of(kinds.get(key), season.holding.limits)
        learned[key] = learn(prior, [histories[f.id] for f in fixings if f.id in histories], _tests(season, key))
    for key in kinds:
        if key not in learned:
            learned[key] = learn(prior_of(kinds[key], season.holding.limits), (), _tests(season, key))
    return learned, histories


def strength_of(season: Season, fixing: Fixing, learned: Mapping[str, Strength]) -> Strength:
    """A clip's kind; a tie is as strong as the knotted twine of its string, and nothing is learned of it."""
    return learned[fixing.clip_kind] if not fixing.tie else _tie(season, fixing)


def _tie(season: Season, fixing: Fixing) -> Strength:
    string = season.strings.get(fixing.string)
    known_n = twine_strength_n(season.layout, string.twine, string.knot_share) if string else None
    weakening = season.holding.limits.clip_weakening_per_week
    return learn(Prior(median_n=known_n or TIE_N, weakening_per_week=weakening), ())


def _tests(season: Season, kind: str) -> list[BucketTest]:
    return [
        BucketTest(test.load_n, None if test.held else test.load_n, test.weeks_hung)
        for test in season.strength_tests
        if test.clip_kind == kind
    ]
