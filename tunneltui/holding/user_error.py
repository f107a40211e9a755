"""The one exception that reaches the grower: a sentence on what is wrong and a way on."""

from __future__ import annotations


class UserError(Exception):
    """The data is at fault, nothing was changed. The door prints it and exits with 1."""

    def __init__(self, problem: str, hint: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.problem}\n{self.hint}" if self.hint else self.problem
