"""How much a watcher of clips could find at best: the simulated worlds told by those who know more.

Beside the program stand one who knows what each clip truly bears and learns how strong the kind is, one who knows
how strong the kind is and has the told loads, and one who knows both. The last knows all but what nobody can: each
clip's own strength and its own errors of load. His chances are exact, by sums over strengths, so that no warnings
can be expected to find more. ``python -m tests.loads.bounds 50`` prints the table, with ``100`` after it that of
fresh seeds.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date
from math import hypot, log
from random import Random

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from tests.loads.worlds import (
    EPS,
    LOOK_DAYS,
    START,
    WEEK,
    WORLDS,
    Clip,
    ClipWeek,
    Lived,
    Score,
    World,
    add_season,
    kind_of_clip,
    lived,
    season_places,
    told,
)

LN_STRENGTHS = np.linspace(log(2.0), log(400.0), 321)
HEADS = ("", "who knows", "told/happened", "found", "clips found", "precision", "precision at .80")


def rows_of(world: World, life: Lived, kind: tuple[float, float, float]) -> Mapping[str, list[ClipWeek]]:
    """What each watcher says of every clip and week."""
    true_loads = [
        Clip(
            clip.cultivar,
            clip.hung_on,
            [look._replace(told_n=look.true_n, lasting_ln=world.lasting) for look in clip.looks],
            clip.failed,
        )
        for clip in life.clips
    ]
    return {
        "the program": told(life.clips)[0],
        "true loads": told(true_loads)[0],
        "true strengths": list(_exactly(world, life.clips, kind, of_loads=1.0)),
        "both": list(_exactly(world, true_loads, kind, of_loads=0.0)),
    }


def _exactly(
    world: World, clips: list[Clip], kind: tuple[float, float, float], of_loads: float
) -> Iterator[ClipWeek]:
    """Told by one who knows the kind's strengths; ``of_loads`` is how much of what is said to be lasting in the
    error of a clip's load is so."""
    for number, clip in enumerate(clips):
        own = of_loads * max(look.lasting_ln for look in clip.looks)
        holds = _spread_of(world, kind, round(hypot(world.lasting, own), 3)) * (1 - world.badly_closed)
        unseen = world.badly_closed
        looks: dict[date, list[tuple[float, float]]] = defaultdict(list)
        for look in clip.looks:
            weeks = (look.day - clip.hung_on).days / 7
            monday = START + (look.day - START) // WEEK * WEEK
            looks[monday].append((weeks, log(look.told_n) + 0.005 * weeks))
        last = max(looks)
        if clip.failed and (clip.looks[-1].day - last).days == LOOK_DAYS[0]:
            looks[last].append(looks[last][-1])
        for monday, of_week in looks.items():
            all_right = 1.0
            for _, trial in of_week:
                so_far = holds.sum() + unseen
                through = holds * ndtr((LN_STRENGTHS - trial) / world.looks) * (1 - EPS)
                gone = unseen + holds.sum() - through.sum()
                holds, unseen = through, gone * world.missed
                all_right *= 1 - gone * (1 - world.missed) / so_far if so_far > 0 else 0.0
            failed = clip.failed and monday == last
            yield ClipWeek(1 - all_right, failed, int(of_week[0][0]), monday, 0.0, number)


def _spread_of(world: World, kind: tuple[float, float, float], lasting: float) -> NDArray[np.float64]:
    """Shares of ``LN_STRENGTHS`` that clips of a kind have, less a lasting error of their load."""
    median, shape, spread = kind
    if world.weibull:
        z = shape * (LN_STRENGTHS - log(median)) + log(log(2))
        shares = np.exp(z - np.exp(z))
    else:
        shares = np.exp(-(((LN_STRENGTHS - log(median)) / spread) ** 2) / 2)
    if lasting:
        step = LN_STRENGTHS[1] - LN_STRENGTHS[0]
        errors = np.exp(-((np.arange(-150, 151) * step / lasting) ** 2) / 2)
        shares = np.convolve(shares, errors, mode="same")
    return np.asarray(shares / shares.sum())


def table(seeds: range) -> Iterator[str]:
    yield f"| {' | '.join(HEADS)} |"
    yield "|" + "---|" * len(HEADS)
    for name, world in WORLDS.items():
        scores: dict[str, Score] = defaultdict(Score)
        for seed in seeds:
            life = lived(world, season_places(seed), Random(f"{name} {seed}"))
            for watcher, rows in rows_of(world, life, kind_of_clip(Random(f"{name} {seed}"))).items():
                add_season(scores[watcher], rows)
        for watcher, score in scores.items():
            shares = (
                score.told / score.happened,
                score.recall,
                score.clips_found / score.clips_failed,
                score.clips_found / score.clips_flagged,
                score.precision_at_most,
            )
            yield f"| {name} | {watcher} | {' | '.join(f'{share:.3f}' for share in shares)} |"


if __name__ == "__main__":
    count, first = (*map(int, sys.argv[1:]), *(10, 0)[len(sys.argv) - 1 :])
    for line in table(range(first, first + count)):
        print(line, flush=True)
