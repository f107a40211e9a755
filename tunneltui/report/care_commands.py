"""Commands about air, water, feed and stores."""

from __future__ import annotations

from argparse import Namespace as Args

from tunneltui.care.feed import FeedStrength, Label, stock_ml_per_litre, strength_from_liquid, strength_from_powder
from tunneltui.care.fortnight import Counted, fortnight
from tunneltui.care.hygrometer import MoistAir, read_bulbs
from tunneltui.growth.season_end import season_end
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft
from tunneltui.journal.check import checked_body
from tunneltui.pages.air import air_document, air_page
from tunneltui.pages.feed import FeedRequest, apart_words, feed_document, feed_page, liquid_words, powder_words
from tunneltui.pages.stores import stores_document, stores_page
from tunneltui.pages.text import plain_text
from tunneltui.pages.units import in_force
from tunneltui.pages.water import water_document, water_page
from tunneltui.report import command_helpers
from tunneltui.season.names import place_name


def air_show(args: Args) -> int:

    counted = Counted(args.method, args.above, args.cap, args.cutoff)
    read = _hygrometer(args)
    season = command_helpers.read_journal(args).ready_season()
    try:
        shown = [fortnight(season, tunnel, counted) for tunnel in season.holding.tunnels]
    except ValueError as fault:
        raise UserError(
            f"Degree days cannot be counted so: {fault}.", "Choose another --cap or --cutoff."
        ) from None
    return command_helpers.print_result(
        args,
        lambda: air_document(season, shown, read),
        lambda: plain_text(air_page(season, shown, read), in_force()),
    )


def _hygrometer(args: Args) -> MoistAir | None:
    """What a wet and dry bulb read, where both were typed. Raises ``UserError`` where they cannot be."""

    if (args.dry is None) != (args.wet is None):
        raise UserError("A dry and a wet bulb are read together.", "Give --dry and --wet.")
    if args.dry is None:
        return None
    try:
        return read_bulbs(args.dry, args.wet)
    except ValueError as fault:
        raise UserError(f"The bulbs cannot read so: {fault}.", "Wet the wick, fan it, and read again.") from None


def water(args: Args) -> int:

    season, coming = command_helpers.season_and_outlook(args)
    return command_helpers.print_result(
        args,
        lambda: water_document(season, coming),
        lambda: plain_text(water_page(season, coming), in_force()),
    )


def bucket(args: Args) -> int:
    """Writes a bucket test and says what it makes of this tunnel's litres."""

    journal = command_helpers.read_journal(args)
    about = place_name(journal.ready_season(), args.about)
    given = {"plants": args.plants, "given_l": args.given, "drained_l": args.drained, "days": args.days}
    journal.write([(journal.day, draft(about, checked_body("bucket_tested", given, text=False)))])
    season, coming = command_helpers.season_and_outlook(args)
    return command_helpers.print_result(
        args,
        lambda: water_document(season, coming),
        lambda: plain_text(water_page(season, coming), in_force()),
    )


def feed(args: Args) -> int:

    request = _feed_request(args)
    season, coming = command_helpers.season_and_outlook(args)
    return command_helpers.print_result(
        args,
        lambda: feed_document(season, coming, request),
        lambda: plain_text(feed_page(season, coming, request), in_force()),
    )


def _feed_request(args: Args) -> FeedRequest:
    """What was asked for on request. Raises ``UserError`` where a label or a dilution cannot be."""

    strength, made_up = None, ""
    if args.label:
        try:
            strength, made_up = _made_up(args)
        except ValueError as fault:
            raise UserError(
                f"The label {args.label!r} cannot be so: {fault}.",
                "Write it as N-P-K, such as 5-2-7 or 5-2-7+2MgO.",
            ) from None
    stocks = [stock.strip() for stock in args.stocks.split(",") if stock.strip()] if args.stocks else []
    if args.stocks and len(stocks) < 2:
        raise UserError(f"{args.stocks!r} is one stock.", "Name two or more, with commas between.")
    return FeedRequest(strength, made_up, args.ec, args.scale or "", apart_words(stocks) if stocks else ())


def _made_up(args: Args) -> tuple[FeedStrength, str]:
    """What the label gives, and how it is made up. Raises ``ValueError`` with a sentence."""

    label = _label(args)
    if args.grams is not None:
        return strength_from_powder(label, args.grams), powder_words(label, args.grams)
    ml = stock_ml_per_litre(args.dilution) if args.dilution is not None else args.ml
    made_up = liquid_words(label, ml, args.dilution, weighed=bool(args.density))
    return strength_from_liquid(label, ml), made_up


def _label(args: Args) -> Label:

    first, *more = args.label.replace(",", ".").replace(" ", "").split("+")
    parts = first.split("-")
    if len(parts) != 3:
        raise ValueError("three figures were wanted")
    further = {"cao": 0.0, "mgo": 0.0}
    try:
        n, p, k = (float(part) for part in parts)
        for part in more:
            oxide = part[-3:].casefold()
            if oxide not in further:
                raise ValueError(f"{part!r} is neither CaO nor MgO, such as +2MgO")
            further[oxide] = float(part[:-3])
    except ValueError as fault:
        raise ValueError("its parts are no figures" if "convert" in str(fault) else str(fault)) from None
    return Label(n, p, k, further["cao"], further["mgo"], args.by, args.density or 1.0)


def stores(args: Args) -> int:

    season = command_helpers.read_journal(args).ready_season()
    end = season_end(season)
    return command_helpers.print_result(
        args,
        lambda: stores_document(season, end),
        lambda: plain_text(stores_page(season, end), in_force()),
    )
