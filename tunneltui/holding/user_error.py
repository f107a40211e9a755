"""Errors for the grower: a sentence on what is wrong and one on what to do, raised or listed with others."""

from __future__ import annotations


class UserError(Exception):
    """The data is at fault, nothing was changed. The command line prints it and exits with 1."""

    def __init__(self, problem: str, hint: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.problem}\n{self.hint}" if self.hint else self.problem


class Fault(str):
    """One thing that is wrong with a file or with what was typed, told beside others instead of raised."""

    __slots__ = ()
