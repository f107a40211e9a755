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

SIZE = (80, 24)
SHOWN: dict[str, tuple[str, ...]] = {
    "round": (),
    "walk": ("1", "right", "right"),
    "row": ("2", "w"),
    "side": ("g", *"w1 08", "s"),
    "loads": ("3", "home", "c"),
    "picks": ("4",),
}
"""Name of each picture and the keys that lead to it from the one before; a form is left again."""
_FETCHED = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
"""Rich's SVG asks a server for its font; the reader's own fixed-width fonts will do."""
_FONTS = "'DejaVu Sans Mono', Menlo, Consolas, monospace"


def make_pictures(folder: Path, size: tuple[int, int] = SIZE) -> list[Path]:
    """Writes one SVG a screen into ``folder`` and returns their paths."""
    return asyncio.run(_take(folder, size))


async def _take(folder: Path, size: tuple[int, int]) -> list[Path]:
    from tunneltui.demo.make import make_demo

    folder.mkdir(parents=True, exist_ok=True)
    files = []
    with TemporaryDirectory() as home:
        path = Path(home) / "demo.db"
        make_demo(path)
        app = TunnelApp(FileClient(path))
        async with app.run_test(size=size) as pilot:
            await _settled(app, lambda: app.view is not None)
            for name, keys in SHOWN.items():
                await pilot.press(*keys)
                await app.workers.wait_for_complete()
                await pilot.pause()
                file = folder / f"{name}.svg"
                file.write_text(_at_home(app.export_screenshot()), "utf-8")
                files.append(file)
                if len(app.screen_stack) > 1:
                    await pilot.press("escape")
    return files


def _at_home(svg: str) -> str:
    """The picture without anything fetched from elsewhere, and without the window that Rich draws around it."""
    drawn = re.sub(r"font-family: Fira Code, monospace", f"font-family: {_FONTS}", _FETCHED.sub("", svg))
    size = re.search(r'<rect x="0" y="0" width="([\d.]+)" height="([\d.]+)" />', drawn)
    if size is None:
        return drawn
    bare = re.sub(r"(</defs>).*?(<g transform=\"translate\(9, 41\)\")", r"\1\n    \2", drawn, flags=re.DOTALL)
    return re.sub(r'viewBox="[^"]*"', f'viewBox="9 42.5 {size[1]} {size[2]}"', bare, count=1)


async def _settled(app: App[None], holds: Callable[[], bool]) -> None:
    while not holds():
        await app.workers.wait_for_complete()
        await asyncio.sleep(0.01)


if __name__ == "__main__":
    for picture in make_pictures(Path(sys.argv[1] if len(sys.argv) > 1 else ".")):
        print(picture)
