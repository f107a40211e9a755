"""The reference of a start and of memory: an empty Textual app, ``python -m tests.benchmarks.empty``."""

from textual.app import App


class Empty(App[None]):
    pass


if __name__ == "__main__":
    Empty().run(mouse=False)
