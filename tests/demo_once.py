"""The demo's entries, made up once a worker: that takes half a second each time."""

from __future__ import annotations

from functools import cache

from tunneltui.demo import make
from tunneltui.journal.entry import Entry


@cache
def demo_entries() -> tuple[Entry, ...]:
    return tuple(make.demo_entries())
