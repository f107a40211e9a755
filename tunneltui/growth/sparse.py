"""What reading a few plants is worth: how well the growth of those not read is known with it and without."""

from __future__ import annotations

from math import exp, log, sqrt

from tunneltui.growth.groups import WIDE
from tunneltui.growth.stems import STRAY_CM2_PER_DAY, Grown, StemGroup

WEEKS = 4


def month_unread_m(m_a_week: float, read: int) -> float:
    """Half of the 90 % band of what an unread stem grows in four weeks, in m, when ``read`` plants of its group
    are read every week; 0: none are.

    ``m_a_week``: what the group is taken to grow.
    """
    cm_a_day = max(0.1, m_a_week * 100 / 7)
    group = StemGroup(log(cm_a_day))
    month_cm, cm2 = 28 * cm_a_day, STRAY_CM2_PER_DAY * 28
    for _ in range(WEEKS if read else 0):
        group.pass_days(7)
        week_cm = 7 * exp(group.level)
        visit = group.learn(7, 7, [Grown(f"{n}", 7 * cm_a_day) for n in range(read)])
        cm2 += week_cm**2 * visit.relative2 if visit is not None else 0.0
    own2 = group.effect("")[1] + (0.0 if read else group.level2)
    return WIDE * sqrt(cm2 + own2 * month_cm**2) / 100
