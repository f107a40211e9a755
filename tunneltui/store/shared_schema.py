"""What a journal on a PostgreSQL server is made of: the table of the file (``schema``) and its own defence.

Numbers (``seq``) are given by the server under a turn that every append takes first, each one more than the last
there is. So they have no gaps, and nothing with a smaller number ever appears behind a number that was read:
reading on by ``seq`` misses nothing, however slow a writer is.

A hand (any role but the table's owner) may append and read. The server itself sees to it that a row is of a day
and a time that can be reckoned with, that it carries the hand's own device and name, that it is no second version
of a row that is there, and that nobody keeps the turn.
"""

from __future__ import annotations

from tunneltui.journal.valid import LAST_US, LONGEST_BODY, LONGEST_NAME, MOST_V

FORMAT = 3
"""The fact ``format``; a program refuses one that it does not know."""
LOCK = 0x544E4C31
"""Key of the advisory lock (the "TNL1" of the file) under which the tables are made."""
NUDGE = "tunneltui_entries"
"""The channel on which a commit says that there is something to read. Nothing rests on its arriving."""
TURN_SECONDS = 2
"""A turn is waited for so long, twice: between, hands that keep it and do nothing lose their connection."""
IDLE_SECONDS = 4

_IS_DAY = r"""CREATE FUNCTION tunneltui.is_day(said text) RETURNS boolean LANGUAGE plpgsql IMMUTABLE AS $$
BEGIN
    RETURN said ~ '^(19[7-9][0-9]|2[01][0-9]{2})-[0-9]{2}-[0-9]{2}$'
        AND make_date(substr(said, 1, 4)::int, substr(said, 6, 2)::int, substr(said, 9, 2)::int) IS NOT NULL;
EXCEPTION WHEN OTHERS THEN RETURN false;
END $$"""
_SEAL = "seal text NOT NULL DEFAULT '' CONSTRAINT sound_seal CHECK (length(seal) <= 32)"
CHECKS = {
    "seq": "seq > 0",
    "version": "version >= 0",
    "day": "tunneltui.is_day(day)",
    "at": f"at BETWEEN 0 AND {LAST_US}",
    "v": f"v BETWEEN 0 AND {MOST_V}",
    "body": f"length(body) <= {LONGEST_BODY}",
    "names": "id <> '' AND act <> '' AND kind <> '' AND greatest(length(id), length(act), length(device), "
    f"length(by), length(about), length(kind)) <= {LONGEST_NAME}",
}
_GUARD = """CREATE FUNCTION tunneltui.guard() RETURNS trigger LANGUAGE plpgsql SECURITY DEFINER
SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    bound text;
BEGIN
    PERFORM 1 FROM tunneltui.turn FOR UPDATE;
    SELECT coalesce(max(seq), 0) + 1 INTO NEW.seq FROM tunneltui.entries;
    NEW.arrived := clock_timestamp();
    IF session_user = current_user THEN RETURN NEW; END IF;
    IF NEW.version <> 0 THEN
        RAISE EXCEPTION 'a second version of an entry is for the owner' USING ERRCODE = 'insufficient_privilege';
    END IF;
    SELECT hand INTO bound FROM tunneltui.devices WHERE device = NEW.device;
    IF bound IS NULL AND NOT EXISTS (SELECT 1 FROM tunneltui.entries WHERE device = NEW.device) THEN
        INSERT INTO tunneltui.devices VALUES (NEW.device, session_user);
    ELSIF bound IS DISTINCT FROM session_user::text THEN
        RAISE EXCEPTION 'the device % is another hand''s', NEW.device USING ERRCODE = 'insufficient_privilege';
    END IF;
    IF NEW."by" NOT IN ('', session_user)
        AND NOT EXISTS (SELECT 1 FROM tunneltui.hands WHERE hand = session_user AND name = NEW."by") THEN
        RAISE EXCEPTION 'a hand writes under its own name' USING ERRCODE = 'insufficient_privilege';
    END IF;
    RETURN NEW;
END $$"""
_TAKE_TURN = f"""CREATE FUNCTION tunneltui.take_turn() RETURNS void LANGUAGE plpgsql SECURITY DEFINER
SET search_path = pg_catalog, pg_temp SET lock_timeout = '{TURN_SECONDS}s' AS $$
BEGIN
    BEGIN
        PERFORM 1 FROM tunneltui.turn FOR UPDATE;
        RETURN;
    EXCEPTION WHEN lock_not_available THEN
        BEGIN
            PERFORM pg_terminate_backend(l.pid) FROM pg_locks l JOIN pg_stat_activity a ON a.pid = l.pid
            WHERE l.relation = 'tunneltui.turn'::regclass AND l.granted AND a.state LIKE 'idle in transaction%'
                AND a.state_change < clock_timestamp() - interval '{IDLE_SECONDS} seconds';
        EXCEPTION WHEN insufficient_privilege THEN NULL;
        END;
    END;
    PERFORM 1 FROM tunneltui.turn FOR UPDATE;
END $$"""

_DEFENCE = (
    "CREATE TABLE tunneltui.turn (one boolean PRIMARY KEY CHECK (one))",
    "INSERT INTO tunneltui.turn VALUES (true)",
    "CREATE TABLE tunneltui.hands (hand text PRIMARY KEY, name text NOT NULL)",
    "CREATE TABLE tunneltui.devices (device text PRIMARY KEY, hand text NOT NULL)",
    _GUARD,
    """CREATE TRIGGER entries_guard BEFORE INSERT ON tunneltui.entries
    FOR EACH ROW EXECUTE FUNCTION tunneltui.guard()""",
    _TAKE_TURN,
    "REVOKE ALL ON FUNCTION tunneltui.take_turn() FROM PUBLIC",
)
TRIGGERS = ("entries_stay", "entries_nudge", "entries_guard")

STATEMENTS = (
    "CREATE SCHEMA IF NOT EXISTS tunneltui",
    _IS_DAY,
    f"""CREATE TABLE tunneltui.entries (
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
    arrived timestamptz,
    {_SEAL},
    {", ".join(f"CONSTRAINT sound_{name} CHECK ({check})" for name, check in CHECKS.items())},
    UNIQUE (id, version)
)""",
    "CREATE INDEX entries_by_about ON tunneltui.entries (about, day, at, id)",
    "CREATE INDEX entries_by_device ON tunneltui.entries (device, at)",
    "CREATE TABLE tunneltui.facts (name text PRIMARY KEY, value text NOT NULL)",
    # The journal is append-only, for its owner too.
    """CREATE FUNCTION tunneltui.refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN RAISE EXCEPTION 'entries never change and never go' USING ERRCODE = 'insufficient_privilege'; END $$""",
    """CREATE TRIGGER entries_stay BEFORE UPDATE OR DELETE OR TRUNCATE ON tunneltui.entries
    FOR EACH STATEMENT EXECUTE FUNCTION tunneltui.refuse()""",
    f"""CREATE FUNCTION tunneltui.nudge() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN PERFORM pg_notify('{NUDGE}', ''); RETURN NULL; END $$""",
    """CREATE TRIGGER entries_nudge AFTER INSERT ON tunneltui.entries
    FOR EACH STATEMENT EXECUTE FUNCTION tunneltui.nudge()""",
    *_DEFENCE,
)

_FROM_FORMAT_1 = (
    _IS_DAY,
    "ALTER TABLE tunneltui.entries ADD COLUMN arrived timestamptz",
    # Rows that are there already may break them: they are set aside when read.
    *(
        f"ALTER TABLE tunneltui.entries ADD CONSTRAINT sound_{name} CHECK ({check}) NOT VALID"
        for name, check in CHECKS.items()
    ),
    *_DEFENCE,
    "UPDATE tunneltui.facts SET value = '2' WHERE name = 'format'",
)
STEPS = {
    "1": _FROM_FORMAT_1,
    "2": (
        f"ALTER TABLE tunneltui.entries ADD COLUMN {_SEAL}",
        f"UPDATE tunneltui.facts SET value = '{FORMAT}' WHERE name = 'format'",  # noqa: S608  (a constant)
    ),
}
"""What brings a journal of an older form to the next one; for its owner."""
