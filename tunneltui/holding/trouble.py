"""The one exception that reaches the grower: a sentence on what is wrong and a way on."""

from __future__ import annotations


class Trouble(Exception):
    """The data is at fault, nothing was changed. The door prints it and exits with 1."""

    def __init__(self, say: str, do: str = "") -> None:
        super().__init__(say)
        self.say = say
        self.do = do

    def __str__(self) -> str:
        return f"{self.say}\n{self.do}" if self.do else self.say
