"""Commands about water, feed and stores; see ``report.commands``."""

from __future__ import annotations

from argparse import Namespace as Args

from tunneltui.holding.trouble import Trouble
from tunneltui.report import door


def water(args: Args) -> int:
    from tunneltui.report import care_text

    now = door.morning(args)
    return door.say(
        args,
        lambda: care_text.water_document(now.season, now.outlook),
        lambda: care_text.water_text(now.season, now.outlook),
    )


def feed(args: Args) -> int:
    from tunneltui.report import care_text

    now = door.morning(args)
    try:
        strength = care_text.label_strength(args.label, args.ml, args.density) if args.label else None
    except ValueError as fault:
        raise Trouble(
            f"The label {args.label!r} cannot be so: {fault}.", "Write it as N-P-K, such as 4-3-8."
        ) from None
    return door.say(
        args,
        lambda: care_text.feed_document(now.season, now.outlook, strength),
        lambda: care_text.feed_text(now.season, now.outlook, strength),
    )


def stores(args: Args) -> int:
    from tunneltui.report import care_text

    season = door.at_hand(args).ready_season()
    return door.say(args, lambda: care_text.stores_document(season), lambda: care_text.stores_text(season))
