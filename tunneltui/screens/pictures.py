"""The README's pictures: the demo's screens as SVG, made by the program itself."""

from __future__ import annotations

import asyncio
import re
import sys
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from textual.app import App

from tunneltui.screens.app import TunnelApp
from tunneltui.screens.journal_client import FileClient

SIZE = (100, 30)
SHOWN: dict[str, tuple[str, ...]] = {
    "round": (),
    "failed": ("x",),
    "row": ("2", "l", "l", "l", "l", "l", "l", "l"),
    "lowered": ("b",),
    "loads": ("3", "down", "c"),
    "picks": ("4",),
}
"""Name of each picture and the keys that lead to it from the one before; a form is left again."""
_FETCHED = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
"""Rich's SVG asks a server for its font; the reader's own fixed-width fonts will do."""
_FONTS = "'DejaVu Sans Mono', Menlo, Consolas, monospace"


def make_pictures(folder: Path, size: tuple[int, int] = SIZE) -> list[Path]:
    """Writes one SVG a screen into ``folder`` and returns their paths."""
    return asyncio.run(_made(folder, size))


async def _made(folder: Path, size: tuple[int, int]) -> list[Path]:
    from tunneltui.demo.make import make_demo

    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with TemporaryDirectory() as home:
        path = Path(home) / "demo.db"
        make_demo(path)
        app = TunnelApp(FileClient(path))
        async with app.run_test(size=size) as pilot:
            await _settled(app, lambda: app.picture is not None)
            for name, keys in SHOWN.items():
                await pilot.press(*keys)
                await app.workers.wait_for_complete()
                await pilot.pause()
                file = folder / f"{name}.svg"
                file.write_text(_at_home(app.export_screenshot(title=_title(app))), "utf-8")
                made.append(file)
                if len(app.screen_stack) > 1:
                    await pilot.press("escape")
    return made


def _at_home(svg: str) -> str:
    """The picture without anything fetched from elsewhere."""
    return re.sub(r"font-family: Fira Code, monospace", f"font-family: {_FONTS}", _FETCHED.sub("", svg))


def _title(app: TunnelApp) -> str:
    return f"tunneltui, {app.picture.day.isoformat()}" if app.picture is not None else "tunneltui"


async def _settled(app: App[None], holds: Callable[[], bool]) -> None:
    while not holds():
        await app.workers.wait_for_complete()
        await asyncio.sleep(0.01)


if __name__ == "__main__":
    for picture in make_pictures(Path(sys.argv[1] if len(sys.argv) > 1 else ".")):
        print(picture)
