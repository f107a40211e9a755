"""What ``journal check`` says of rows that are not as they were written."""

from __future__ import annotations

from tunneltui.cells import Sentence, say


def foreign(row: str) -> Sentence:
    return say("Foreign: the {} was written by something else: cross it out if it is wrong.", row)


def altered(row: str) -> Sentence:
    return say("Altered: the {} is not as it was written: cross it out if it is wrong.", row)


def missing_before(row: str, machine: str) -> Sentence:
    return say("Missing: what the machine {} wrote before the {} is not here, or was altered.", machine, row)


def missing_numbers(count: int) -> Sentence:
    return say("{} numbers between the first entry and the last are missing: rows were taken out by hand.", count)
