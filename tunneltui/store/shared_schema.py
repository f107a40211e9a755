"""What a journal on a PostgreSQL server is made of: the table of the file (``schema``) and its rules.

Numbers (``seq``) are given under a lock that every append takes first, each one more than the last there is. So
they have no gaps, and nothing with a smaller number ever appears behind a number that was read: reading on by
``seq`` misses nothing, however slow a writer is.
"""

from __future__ import annotations

FORMAT = 1
"""The fact ``format``; a program refuses one that it does not know."""
LOCK = 0x544E4C31
"""Key of the advisory lock (the "TNL1" of the file)."""
NUDGE = "tunneltui_entries"
"""The channel on which a commit says that there is something to read. Nothing rests on its arriving."""

STATEMENTS = (
    "CREATE SCHEMA IF NOT EXISTS tunneltui",
    """CREATE TABLE tunneltui.entries (
    seq bigint PRIMARY KEY,
    id text NOT NULL,
    version integer NOT NULL,
    act text NOT NULL,
    device text NOT NULL,
    day text NOT NULL,
    at bigint NOT NULL,
    by text NOT NULL,
    about text NOT NULL,
    kind text NOT NULL,
    v bigint NOT NULL,
    body text NOT NULL,
    UNIQUE (id, version)
)""",
    "CREATE INDEX entries_by_about ON tunneltui.entries (about, day, at, id)",
    "CREATE INDEX entries_by_device ON tunneltui.entries (device, at)",
    "CREATE TABLE tunneltui.facts (name text PRIMARY KEY, value text NOT NULL)",
    # The journal is append-only, for its owner too; a role that may only append is in the README.
    """CREATE FUNCTION tunneltui.refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'entries never change and never go' USING ERRCODE = 'insufficient_privilege'; END $$""",
    """CREATE TRIGGER entries_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON tunneltui.entries
    FOR EACH STATEMENT EXECUTE FUNCTION tunneltui.refuse()""",
    f"""CREATE FUNCTION tunneltui.nudge() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN PERFORM pg_notify('{NUDGE}', ''); RETURN NULL; END $$""",
    """CREATE TRIGGER entries_nudge AFTER INSERT ON tunneltui.entries
    FOR EACH STATEMENT EXECUTE FUNCTION tunneltui.nudge()""",
)
