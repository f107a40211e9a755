"""The demo's journal, made once a test run, for screens that show a whole morning."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from tunneltui.demo.make import make_demo


@cache
def _made() -> Path:
    path = Path(mkdtemp(prefix="tunneltui-demo-")) / "demo.db"
    make_demo(path)
    return path


def demo_at(folder: Path) -> Path:
    """A copy of the demo's journal in ``folder``."""
    path = folder / "demo.db"
    shutil.copyfile(_made(), path)
    return path
