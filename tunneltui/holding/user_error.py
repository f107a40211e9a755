"""What reaches the grower where something is wrong: a sentence on it and a way on, raised or told with others."""

from __future__ import annotations


class UserError(Exception):
    """The data is at fault, nothing was changed. The door prints it and exits with 1."""

    def __init__(self, problem: str, hint: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.problem}\n{self.hint}" if self.hint else self.problem


class Fault(str):
    """One thing that is wrong with a file or with what was typed, told beside others instead of raised."""

    __slots__ = ()
