"""What a sheet leaves open: asked on a terminal, else an error that names the flag which answers it."""

from __future__ import annotations

from tunneltui.holding.user_error import UserError


class Doubt(UserError):
    """Something only the grower can tell; nothing was written.

    ``flag`` is the long flag that answers it, without its dashes; ``answers`` are values of it, each with its
    words, the likely one first. Without answers the value is typed freely.
    """

    def __init__(self, say: str, flag: str, answers: tuple[tuple[str, str], ...] = (), about: str = "") -> None:
        self.flag = flag
        self.answers = answers
        self.about = about
        """What the answer is about, for flags that are pairs: ``--unit kg=g`` is about ``kg``."""
        super().__init__(say, self.way_on())

    def way_on(self) -> str:
        """The flags that may be given, each with what it means."""
        if not self.answers:
            return f"Say --{self.flag}."
        ways = [f"{self.typed(value)} ({words})" if words else self.typed(value) for value, words in self.answers]
        return f"Say {'; or '.join(ways)}."

    def typed(self, value: str) -> str:
        """The flag with a value, as it is typed."""
        shown = f'"{value}"' if " " in value else value
        return f"--{self.flag} {self.about}={shown}" if self.about else f"--{self.flag} {shown}"
