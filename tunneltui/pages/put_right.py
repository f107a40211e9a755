"""The put-right walk in plain text: what each step asks, what may be typed, and the list of what is left."""

from __future__ import annotations

from typing import Any

from tunneltui.cells import UnitName, listed, many, say
from tunneltui.chores.put_right import CropStep, HookStep, Step, Walk, lying_at, place_words, tip_words
from tunneltui.pages.units import localize

HOOK_KEYS = say(
    "Tip: s as shown, w well under, o over, t and a number: so many {} under the wire. Hook elsewhere: its "
    "string's "
    "number first, + or - for each hand past or short of it, as 9+s. f before the tip: the head stands free.",
    UnitName("cm", long=True),
)
STRING_KEYS = "How many stems are clipped to it: one digit; + before it: ten more. Enter: as shown."
CROP_KEYS = "How many trusses hang on a usual stem, then enter; 8l24: 8 trusses and 24 leaves. Enter: as shown."
KEYS_OF_THE_WALK = "u takes the last answer back, q stops here; every answer is kept."
AS_SHOWN = "="
"""On a command line, where nothing cannot be typed."""


def keys_for(step: Step) -> str:
    """What may be typed at a step, in a sentence or two."""
    if isinstance(step, HookStep):
        return HOOK_KEYS
    return CROP_KEYS if isinstance(step, CropStep) else STRING_KEYS


def stage(step: Step) -> str:
    """What is looked at: hooks first, then strings, then the crop."""
    if isinstance(step, HookStep):
        return "hooks"
    return "crop" if isinstance(step, CropStep) else "strings"


def step_words(walk: Walk, step: Step) -> tuple[str, str]:
    """What a step is about, and what is shown there."""
    if isinstance(step, HookStep):
        leader = walk.season.leaders[step.leader]
        hook = f"hook {leader.hook.number}" if leader.hook is not None else "its hook"
        as_neighbours = "" if step.noted else ", as its neighbours do"
        place = place_words(walk, step.u_m, step.row)
        shown = say("{} {}{}; tip {}", hook, place, as_neighbours, tip_words(step.under_m))
        return f"{leader.name}, {leader.cultivar}", shown
    if isinstance(step, CropStep):
        return (
            f"{step.cultivar} on {step.row}",
            f"{many(step.hanging, *walk.season.crop(step.cultivar).bears)} hang on a usual stem",
        )
    lying = lying_at(walk, walk.season.strings[step.string])
    noted = [stem.leader.name for stem in lying if stem.fixings]
    if noted:
        return f"string {step.key}", f"{many(step.count, 'stem')} clipped to it: {listed(noted, 6)}"
    return f"string {step.key}", f"nothing noted; {many(step.count, 'stem')} have come past it"


def how_far(walk: Walk) -> str:
    steps = walk.steps
    if not steps:
        return f"Put right {walk.loop.id}: nothing stands there to be walked."
    answered = sum(1 for step in steps if step.key in walk.done)
    return f"Put right {walk.loop.id}: {answered} of {len(steps)} answered"


def walk_text(walk: Walk) -> str:
    """Every step of the walk, those answered marked."""
    lines = [how_far(walk)]
    shown = ""
    for step in walk.steps:
        if stage(step) != shown:
            shown = stage(step)
            lines += ["", shown.capitalize()]
        name, question = step_words(walk, step)
        mark = "x" if step.key in walk.done else " "
        lines.append(localize(say("  [{}] {}: {}", mark, name, question)))
    if walk.left:
        lines += ["", f"{many(len(walk.left), 'answer')} to give, in this order: `tunneltui put-right "]
        lines[-1] += f"{walk.loop.id} {AS_SHOWN} 9+s 4`, {AS_SHOWN} for as shown; on a terminal each is asked."
    return "\n".join(lines) + "\n"


def walk_document(walk: Walk) -> dict[str, Any]:
    """The same as one document."""
    steps = []
    for step in walk.steps:
        asks, shown = step_words(walk, step)
        answered = step.key in walk.done
        steps.append({"key": step.key, "stage": stage(step), "asks": asks, "shown": shown, "answered": answered})
    return {"day": walk.season.day.isoformat(), "loop": walk.loop.id, "steps": steps}
