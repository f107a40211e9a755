"""From the command line onto the screen: the journal, what was kept of its round, and the settings."""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from functools import partial
from typing import TYPE_CHECKING

from tunneltui.report.settings import USUAL, ChosenSettings
from tunneltui.screens import cache
from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import client_of
from tunneltui.screens.themed_app import looks_of

if TYPE_CHECKING:
    from tunneltui.store.where import Where


def run(where: Where, on: date | None = None, chosen: ChosenSettings = USUAL) -> int:
    """Opens the journal at ``where`` on the day ``on``, else on the holding's today; the program's exit code.

    Raises:
        UserError: there is no journal there, or it cannot be read.
    """
    from tunneltui.screens.keymap import with_keys
    from tunneltui.store.folders import cache_folder

    # Python threads give way to keys sooner: key to repaint 33 ms becomes 6 ms while a plan is worked out.
    sys.setswitchinterval(0.0005)
    client = client_of(where)
    folder = cache_folder()
    head = client.head()
    if head is None:
        client.entries()
    settings = with_keys(chosen)
    app = TunnelApp(
        client,
        on=on,
        first=cache.read(folder, head, on, datetime.now(UTC)),
        cache_folder=folder,
        keys=settings.keys,
        **looks_of(chosen)._asdict(),
        back_up=partial(_backed_up_today, where),
        watch=client.watch,
    )
    app.run(mouse=bool(chosen.values["mouse"]))
    return app.return_code or 0


def _backed_up_today(where: Where) -> str:
    # Imported in the worker: the first paint waits for no backup.
    from tunneltui.store.journals import first_of_day

    return first_of_day(where)
