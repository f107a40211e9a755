"""Commands about air, water, feed and stores; see ``report.commands``."""

from __future__ import annotations

from argparse import Namespace as Args

from tunneltui.holding.trouble import Trouble
from tunneltui.report import door


def air_show(args: Args) -> int:
    from tunneltui.care.fortnight import fortnight
    from tunneltui.report import air_text

    season = door.at_hand(args).ready_season()
    shown = [fortnight(season, tunnel, args.method, args.above) for tunnel in season.holding.tunnels]
    return door.say(args, lambda: air_text.air_document(season, shown), lambda: air_text.air_text(season, shown))


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
