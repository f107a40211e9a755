"""The one table of what can be done by key. Bindings, footer, help, palette and key checks are made from it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from tunneltui.cells import say
from tunneltui.pages.prompts import GOES_TO

Where = Literal[
    "everywhere",
    "list",
    "card",
    "round",
    "lowering",
    "row",
    "loads",
    "picks",
    "air",
    "stores",
    "season",
    "next",
    "journal",
]


class Action(NamedTuple):
    """One thing a key does."""

    id: str
    """Name in the settings file and of the ``action_`` method."""
    keys: tuple[str, ...]
    words: str
    """In the footer and the palette."""
    help: str
    """One sentence for the list of keys."""
    where: Where
    rank: int = 0
    """Place in the footer, first things first; 0: not in the footer."""
    call: str = ""
    """Textual's action with its arguments; '': the id."""
    shown: str = ""
    """How the footer names its key together with another's; '': by the first key."""

    @property
    def called(self) -> str:
        return self.call or self.id


LIST = (
    Action("up", ("up", "k"), "up", "One line up.", "list"),
    Action("down", ("down", "j"), "down", "One line down.", "list"),
    Action("heading_before", ("left", "h"), "row before", "To the row heading before.", "list"),
    Action("heading_after", ("right", "l"), "row after", "To the next row heading.", "list"),
    Action("page_up", ("pageup",), "page up", "One page up.", "list"),
    Action("page_down", ("pagedown",), "page down", "One page down.", "list"),
    Action("first", ("home",), "first", "To the first line.", "list"),
    Action("last", ("end",), "last", "To the last line.", "list"),
)

CARD = (
    Action("walk", ("enter", "space"), "walk", "To the walk; on a line, to what it tells of.", "card", 1),
    Action("card_before", ("left", "h"), "pass before", "The pass before.", "card"),
    Action("card_after", ("right", "l"), "pass", "The pass after; enter walks it.", "card", 2, shown="←→"),
    Action("card_minutes", ("t",), "minutes", "Say how many minutes there are, and plan for them.", "card", 3),
    Action("card_evening", ("y",), "evening", "The evening's round, and back to the day's.", "card", 4),
    Action("away", ("a",), "away", "What must be done before days away, and what is left meanwhile.", "card", 5),
    Action("why", ("v",), "why", "Why, of the line chosen.", "card", 12),
    Action("card_anew", ("r",), "plan anew", "Plan the round anew from what is known now.", "card"),
)

ROUND = (
    Action("done", ("space",), "done", "This line, as said; what is to decide is asked.", "round", 1),
    Action("changes", ("enter",), "pieces", "Piece by piece: a letter leaves one out.", "round", 2),
    Action(
        "failed", ("x",), "clip failed", "A clip failed: which one, then how; . for the row's others.", "round", 3
    ),
    Action("put_off", ("z",), "put off", "Put this off to a later day.", "round", 6),
    Action("more", ("v",), "why", "Everything about this line, on a page of its own.", "round", 4),
    Action("pass_after", ("right", "l"), "pass", "To the next pass.", "round", 5, shown="←→"),
    Action("pass_before", ("left", "h"), "pass before", "To the pass before.", "round"),
    Action(
        "common", ("S",), "all common", "Shoots, heads and leaves of the whole pass, after a count.", "round", 9
    ),
    Action("pick", ("p",), "pick", "Note a pick: the kilograms, then enter.", "round", 10),
    Action("amounts", ("c",), "other figures", "Done with other figures than said, or with a note.", "round", 11),
    Action("accident", ("a",), "accident", "A tip snapped, a stem kinked, a plant dropped.", "round", 12),
    Action("measure", ("m",), "measure", "Note readings, plant after plant.", "round", 13),
    Action("note", ("n",), "note", "Write a note about this place.", "round", 14),
    Action("find", ("slash",), "find", "Find a place or a word on all passes.", "round", 15),
    Action("minutes", ("t",), "minutes", "Say how many minutes there are, and plan for them.", "round", 16),
    Action("evening", ("y",), "evening", "The evening's round, and back to the day's.", "round", 17),
    Action("plan_anew", ("r",), "plan anew", "Plan the round anew from what is known now.", "round"),
    Action("put_right", ("w",), "put right", "Walk this row and say how its stems lie and hang.", "round"),
    Action("lower", ("b",), "lower", "This loop's lowering, head by head.", "round"),
)

LOWERING = (
    Action("done", ("space",), "done", "Done as said; the tip was not looked at.", "lowering", 1),
    Action("as_said", ("s",), "tip as said", "Done, and the tip hangs as said: a reading.", "lowering", 2),
    Action("well_under", ("w",), "well under", "Done, and the tip hangs well under what was said.", "lowering", 3),
    Action("over", ("o",), "over", "Done, and the tip hangs over what was said.", "lowering", 4),
    Action("leave_it", ("z",), "leave it", "Leave this head as it hangs, and say why.", "lowering", 5),
    Action(
        "crack", ("a",), "crack", "The stem cracked: noted; after two the row is left for today.", "lowering", 6
    ),
    Action(
        "otherwise",
        ("enter",),
        "otherwise",
        "Other turns or another place; after a figure, that the tip hangs so many cm under the wire.",
        "lowering",
        9,
    ),
    Action(
        "its_clip_failed",
        ("x",),
        "clip failed",
        "A clip of this stem failed: which one, then how.",
        "lowering",
        10,
    ),
    Action("take_back", ("u",), "undo", "Take the last answer back and go to its head.", "lowering", 8),
    Action("up", ("up", "k"), "head before", "The head before.", "lowering"),
    Action("down", ("down", "j"), "head after", "The head after.", "lowering"),
    Action("keys_here", ("question_mark",), "keys", "This list of keys.", "lowering", 7),
    Action("leave_page", ("q", "escape"), "back", "Back to the walk; what is done stays done.", "lowering", 11),
)

ROW = (
    Action(
        "leader_before",
        ("left", "h", "up", "k"),
        "stem",
        "To the stem whose hook hangs before.",
        "row",
        3,
        shown="←→",
    ),
    Action("leader_after", ("right", "l", "down", "j"), "stem after", "To the stem whose hook hangs next.", "row"),
    Action("plant", ("enter",), "this stem", "Everything known of the chosen stem.", "row", 2),
    Action("side", ("s",), "side", "The chosen stem from the side, and laid apart again.", "row", 4),
    Action("day_on", ("full_stop",), "day on", "A day ahead, up to fourteen.", "row", 7),
    Action("lowered", ("b",), "as lowered", "As it would hang after the proposed lowering, and back.", "row", 5),
    Action("loop_next", ("w",), "next row", "To the next row; on a wide screen to the next loop.", "row", 6),
    Action("day_back", ("comma",), "day back", "A day back.", "row", 8),
    Action("larger", ("plus", "equals_sign"), "nearer", "From the side: nearer.", "row", 9),
    Action("smaller", ("minus",), "farther", "From the side: farther.", "row", 10),
    Action("more", ("v",), "view all", "All that is told of this stem, and the signs.", "row", 11),
)

LOADS = (
    Action(
        "kind_before",
        ("left", "h"),
        "kind",
        "To the kind before: clips, strings, hooks and so on.",
        "loads",
        9,
        shown="←→",
    ),
    Action("kind_after", ("right", "l"), "kind after", "To the next kind.", "loads"),
    Action("try_second", ("c",), "second clip", "What a second clip beside this one would do.", "loads", 2),
    Action("try_tie", ("i",), "tie", "What a tie beside this clip would do.", "loads", 3),
    Action("try_lower", ("b",), "lower", "What lowering this leader would do.", "loads", 4),
    Action("try_pick", ("o",), "pick", "What picking the row's ripe fruit would do.", "loads", 5),
    Action("try_leaves", ("d",), "leaves", "What taking four leaves would do.", "loads", 6),
    Action(
        "plant",
        ("enter",),
        "this stem",
        "Everything known of this clip's leader; after an answer, takes it to the walk.",
        "loads",
        8,
    ),
    Action("more", ("v",), "view all", "Everything about this line, on a page of its own.", "loads", 12),
    Action("try_string", ("s",), "string", "What a further string beside this clip would do.", "loads", 10),
    Action("try_keep", ("y",), "keep a shoot", "What one more leader on this plant would do.", "loads", 11),
)

PICKS = (
    Action(
        "pick", ("p", "enter"), "weigh in", "Type the kilograms of this pick; then on to the next.", "picks", 2
    ),
    Action("table", ("t",), "all picks", "Every pick of the season as a table, and back.", "picks", 3),
)

AIR = (
    Action("done", ("space",), "done", "Done as proposed, where something is asked today.", "air", 2),
    Action("air", ("m",), "min and max", "Note the least and most of a day, read by hand.", "air", 3),
    Action("issued", ("y",), "weather", "Note the weather issued for outside, day by day.", "air", 4),
    Action("watered", ("i",), "water", "Note the water that was given.", "air", 5),
    Action("fed", ("f",), "feed", "Note a feed.", "air", 6),
    Action("covers", ("o",), "covers", "Fleece, doors or shade were changed.", "air", 7),
    Action("seen", ("s",), "looked", "Note what was found on leaves, stems and fruit.", "air", 8),
    Action("bucket", ("b",), "bucket", "Note a bucket test: water weighed over a week.", "air", 9),
    Action("tunnel", ("w",), "next tunnel", "To the next tunnel.", "air", 10),
    Action("dressed", ("d",), "bed dressed", "Note compost, manure or a base dressing put on a bed.", "air", 11),
    Action("method", ("c",), "count", "Count degree days by the next method.", "air", 12),
    Action("more", ("enter", "v"), "view all", "Everything about this tunnel, on a page of its own.", "air", 13),
)

STORES = (
    Action("bought", ("b",), "brought in", "Note what came in.", "stores", 2),
    Action("counted", ("c",), "counted", "Say how many there are; the difference is noted.", "stores", 3),
    Action("left", ("x",), "thrown out", "Note what left for good.", "stores", 4),
    Action("other", ("n",), "new kind", "Note a thing that is not in the list yet.", "stores", 5),
    Action("more", ("enter", "v"), "view all", "Everything about this line, on a page of its own.", "stores", 7),
)

NEXT = (
    Action("more", ("enter", "v"), "whole plan", "All of this plan, what to buy with it.", "next", 2),
    Action("adopt", ("a",), "adopt", "Take this plan, after showing what it writes.", "next", 3),
    Action("end", ("d",), "end", "Choose when the season ends, or until frost takes it.", "next", 4),
    Action("leaders", ("c",), "leaders", "Leaders as they are, one or two a plant.", "next", 5),
    Action("rows", ("w",), "rows", "Rows as they are, each for itself, or looped in pairs.", "next", 5),
)

SEASON = (
    Action("group", ("b",), "group by", "By cultivar, row, bed, tunnel or place in turn.", "season", 2),
    Action(
        "season_before", ("s",), "season before", "The season before; past the first, everything.", "season", 3
    ),
    Action("days", ("d",), "days", "Any span of days.", "season", 4),
    Action("compare", ("c",), "compare", "Cultivars, rows, ways of training or seasons compared.", "season", 5),
    Action("units", ("i",), "units", "Pounds and feet, and back.", "season", 7),
    Action("more", ("v", "enter"), "view all", "All of it, on a page of its own.", "season", 8),
)

JOURNAL = (
    Action("whole_act", ("enter",), "whole act", "Everything noted in one go with this entry.", "journal", 2),
    Action("cross_out", ("x",), "cross out", "Cross out this entry's act; nothing is deleted.", "journal", 3),
    Action("restore", ("r",), "restore", "Take the crossing out of this entry's act back.", "journal", 4),
    Action("words", ("slash",), "search", "Only entries that hold certain words.", "journal", 5),
    Action("filter", ("f",), "filter", "Only a kind of entry, a place, certain days.", "journal", 7),
    Action("which", ("s",), "which", "All, those that count, crossed out, set aside.", "journal", 8),
    Action("clear", ("c",), "clear", "All entries again.", "journal", 9),
)

PAGES: frozenset[Where] = frozenset({"lowering"})
"""Screens of their own, on which no other keys hold than theirs."""
STEPPED: frozenset[Where] = frozenset({"card", "round"})
"""Where left and right are for the passes."""
PANES = {"round": 1, "row": 2, "loads": 3, "picks": 4, "air": 5, "stores": 6, "season": 7, "next": 8, "journal": 9}
"""The screens that there are and their digits; a screen keeps its digit for good."""

_SHOWS = {
    "round": "the walk; from there to the card of the day, and back",
    "row": "a row, laid apart or from the side",
    "loads": "the loads, from clip to hoop",
    "picks": "the picks and what is to come",
    "air": "Air and water",
    "stores": "the stores",
    "season": "the season, looked back on",
    "next": "Next season, its plans side by side",
    "journal": "the journal",
}

GO = tuple(
    Action(f"go_{pane}", (str(digit),), pane, f"To {_SHOWS[pane]}.", "everywhere", 20 + digit, f"go('{pane}')")
    for pane, digit in PANES.items()
)
GO_ALWAYS = tuple(
    Action(
        f"always_{pane}",
        (f"f{digit}",),
        pane,
        say(GOES_TO, _SHOWS[pane]),
        "everywhere",
        call=f"go_to('{pane}')",
    )
    for pane, digit in PANES.items()
)

EVERYWHERE = (
    *GO,
    *GO_ALWAYS,
    Action(
        "place", ("g",), "go to place", "Jump along the wire to a place: its number, as in 13.", "everywhere", 15
    ),
    Action("line", ("e",), "typed line", "One typed line: all but 07, 12; 14 slid; cherry 6.2.", "everywhere", 14),
    Action("undo", ("u",), "undo", "Cross out the last thing noted today.", "everywhere", 6),
    Action("keys", ("question_mark",), "keys", "This list of keys.", "everywhere", 1),
    Action("out", ("q",), "out", "Back to the round; from the round out of the program.", "everywhere", 13),
    Action("back", ("escape",), "back", "Back to the round.", "everywhere"),
)

ALL: tuple[Action, ...] = (
    *LIST,
    *CARD,
    *ROUND,
    *LOWERING,
    *ROW,
    *LOADS,
    *PICKS,
    *AIR,
    *STORES,
    *SEASON,
    *NEXT,
    *JOURNAL,
    *EVERYWHERE,
)

GAP = "  "
"""Between two actions of the footer."""
_SHOWN_KEYS = {
    "question_mark": "?",
    "slash": "/",
    "pageup": "page up",
    "pagedown": "page down",
    "left_square_bracket": "[",
    "right_square_bracket": "]",
    "plus": "+",
    "equals_sign": "=",
    "minus": "-",
    "comma": ",",
    "full_stop": ".",
}


def shown_key(key: str) -> str:
    """A key as it is printed on the key."""
    return _SHOWN_KEYS.get(key, key.upper() if key[:1] == "f" and key[1:].isdigit() else key)


def of(where: Where, table: Sequence[Action] = ALL) -> tuple[Action, ...]:
    """The actions of one place, with the keys of ``table``."""
    return tuple(action for action in table if action.where == where)


LAST_TO_LEAVE = ("undo", "keys")
"""At the end of every footer, and there as long as anything is."""


def footer(actions: Sequence[Action], width: int) -> str:
    """As many keys as fit on one line, first things first, never one cut in two."""
    return GAP.join(_item(action) for action in fitting(actions, width))


def fitting(actions: Sequence[Action], width: int) -> list[Action]:
    """Those that fit into ``width`` cells; one that is too long makes room for a shorter one after it."""
    ranked = sorted((action for action in actions if action.rank), key=lambda action: action.rank)
    last = [action for id_ in reversed(LAST_TO_LEAVE) for action in ranked if action.id == id_]
    chosen: list[Action] = []
    used = 1
    for action in (*last, *(action for action in ranked if action not in last)):
        cells = len(_item(action)) + (len(GAP) if chosen else 0)
        if used + cells < width:
            chosen.append(action)
            used += cells
    return [*(action for action in chosen if action not in last), *(a for a in reversed(last) if a in chosen)]


def action_at(actions: Sequence[Action], width: int, x: int) -> Action | None:
    """The action whose words stand at column ``x`` of the footer."""
    at = 1
    for action in fitting(actions, width):
        if at <= x < at + len(_item(action)):
            return action
        at += len(_item(action)) + len(GAP)
    return None


def _item(action: Action) -> str:
    return f"{footer_key(action)} {action.words}"


def footer_key(action: Action) -> str:
    """The key as the footer names it."""
    return action.shown or shown_key(action.keys[0])


def key_help(where: Where, table: Sequence[Action]) -> list[str]:
    """The list of keys that work on one screen as plain lines, under where they work."""
    listed: tuple[tuple[str, Where], ...] = (("On this screen", where),)
    if where not in PAGES:
        listed += (("On every screen", "everywhere"), ("In lists", "list"))
    lines: list[str] = []
    own = {key for action in of(where, table) for key in action.keys}
    for title, part in listed:
        actions = [action for action in of(part, table) if part != "list" or not own & set(action.keys)]
        of_part = [f"  {' '.join(shown_key(key) for key in action.keys):<12}{action.help}" for action in actions]
        lines += [title, *of_part, ""]
    return lines[:-1]
