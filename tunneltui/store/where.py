"""Where a journal is: a file, or a server that several machines write to. Loads nothing of either."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple
from urllib.parse import parse_qsl, unquote

SCHEMES = ("postgresql", "postgres")
ALLOWED = (
    "application_name",
    "channel_binding",
    "connect_timeout",
    "dbname",
    "gssencmode",
    "host",
    "hostaddr",
    "passfile",
    "port",
    "require_auth",
    "service",
    "sslcert",
    "sslcrl",
    "sslkey",
    "sslmode",
    "sslrootcert",
    "target_session_attrs",
    "user",
)
"""Settings that may stand behind the ? of an address: those of libpq that carry no secret."""
_MEANT = r"(?is)(?:--[a-z-]+=)?(postgres\w*:.*)"
_ACCESS = r"(?i)password\s*="
_HOST = r"(\[[0-9A-Fa-f:.%]+\]|[A-Za-z0-9._%~-]*)(:\d{0,5})?"
_USER = r"[^:@/?#\s]*"
_DATABASE = r"[^@?#\s]*"
UNREADABLE = "this address cannot be read; write it as postgresql://user@machine/database"
KEPT_ELSEWHERE = (
    "an address holds no password: other users of this machine see it in the list of programs, and the shell "
    "keeps it. Put it into ~/.pgpass (or the file that PGPASSFILE names) or into a service file, readable by you "
    "only"
)


class SharedAt(NamedTuple):
    """A journal on a PostgreSQL server. The address holds no password, so it may be shown and kept."""

    url: str

    def __str__(self) -> str:
        return self.url

    @property
    def name(self) -> str:
        """What it is called in the name of a file: the database's name, as far as letters and digits go."""
        database = unquote(self.url.partition("://")[2].partition("?")[0].partition("/")[2])
        return re.sub(r"[^A-Za-z0-9_]+", "-", database).strip("-")[:40] or "season"


Where = Path | SharedAt


def where(text: str) -> Where:
    """The file or the address that ``text`` names.

    Raises:
        ValueError: an address that holds a password or cannot be read. The sentence repeats nothing of it, since
            what was mistyped may be the password.
    """
    scheme, separator, rest = text.partition("://")
    if separator and scheme.lower() in SCHEMES:
        return SharedAt(f"postgresql://{_without_secret(rest)}")
    if re.search(_ACCESS, text):
        raise ValueError(KEPT_ELSEWHERE)
    if separator or re.fullmatch(_MEANT, text):
        raise ValueError(UNREADABLE)
    return Path(text)


def fault_of_word(word: str) -> str:
    """What is wrong with a word of the command line that is meant as an address; '' where nothing is.

    Asked of every word before anything else reads it, so that none with a password is repeated in a sentence
    on something else that is wrong.
    """
    meant = re.fullmatch(_MEANT, word)
    if meant is None:
        return ""
    try:
        where(meant[1])
    except ValueError as fault:
        return str(fault)
    return ""


def _without_secret(rest: str) -> str:
    """``rest`` of an address behind its ://, read as libpq does: a user ends at the first @ before a slash."""
    address, question_mark, settings = rest.partition("?")
    hosts, _, database = address.partition("/")
    user, at, others = hosts.partition("@")
    hosts = others if at else hosts
    if (at and ":" in user) or "@" in rest.partition("/")[0].partition("@")[2]:
        raise ValueError(KEPT_ELSEWHERE)
    names = [unquote(pair.partition("=")[0]) for pair in settings.split("&")] if question_mark else []
    if any("password" in name.lower() for name in names):
        raise ValueError(KEPT_ELSEWHERE)
    if not set(names) <= set(ALLOWED) or len(parse_qsl(settings, keep_blank_values=True)) != len(names):
        raise ValueError(f"behind the ? of an address may stand: {', '.join(ALLOWED)}")
    whole = re.fullmatch(_USER, user if at else "") and re.fullmatch(_DATABASE, database)
    if not whole or not all(re.fullmatch(_HOST, host) for host in hosts.split(",")):
        raise ValueError(UNREADABLE)
    return rest
