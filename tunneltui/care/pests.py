"""Pests by name: what to look for, who eats them, and how long an order takes.

The whole list is common practice, without a source; the holding's own ``[[pests]]`` replace or add to it. The
supplier says which helper suits the temperature, and a spray's label how long it harms helpers.
"""

from __future__ import annotations

from tunneltui.holding.model import Holding, Pest

BUILT_IN = (
    Pest("whitefly", "white specks that fly up from a shaken tip, scales under leaves", "Encarsia wasps", 7),
    Pest("spider mite", "pale pin pricks on leaves, fine webs in dry heat", "Phytoseiulus mites", 7),
    Pest("aphid", "sticky leaves, cast white skins, curled tips", "Aphidius wasps or lacewing larvae", 7),
    Pest("thrips", "silver flecks with black dots", "Amblyseius mites", 7),
    Pest("leafminer", "white winding lines in leaves", "Diglyphus wasps", 10),
    Pest("russet mite", "stems bronzed and leaves drying from below upwards", "", 0),
    Pest("caterpillar", "holes in leaves and fruit, dark droppings", "", 0),
)

OTHER_NAMES = {
    "aphid": ("greenfly", "blackfly"),
    "spider mite": ("red spider", "two-spotted mite"),
    "leafminer": ("leaf miner",),
}
"""What growers also call them."""


def pests(holding: Holding) -> tuple[Pest, ...]:
    """The built-in list with the holding's own in place of those of the same name, and after them."""
    own = {pest.key.casefold(): pest for pest in holding.pests}
    names = {pest.key.casefold() for pest in BUILT_IN}
    kept = [own.get(pest.key.casefold(), pest) for pest in BUILT_IN]
    return (*kept, *(pest for name, pest in own.items() if name not in names))


def pests_in(holding: Holding, text: str) -> list[Pest]:
    """Those that a scouting's words name, one or many of them, or by another name."""
    words = text.casefold()
    return [pest for pest in pests(holding) if any(name in words for name in _names(pest.key.casefold()))]


def _names(key: str) -> list[str]:
    names = [key, *OTHER_NAMES.get(key, ())]
    return names + [f"{name[:-1]}ies" for name in names if name.endswith("y")]
