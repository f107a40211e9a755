"""What pure stages of a plan gave, with what they were given: so that after a change only what it reaches is
worked out anew.

A plan is pulled at one of three depths. At ``stem`` only what a touched stem needs is asked for; at ``loop`` all
is, but stages of the house keep what they gave last; at ``house`` everything is as from nothing. A memo is never
changed: ``Stages`` reads one and makes the next.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import Any, Generic, Literal, NamedTuple, TypeVar, TypeVarTuple

Depth = Literal["stem", "loop", "house"]
_DEEPER: dict[Depth, int] = {"stem": 0, "loop": 1, "house": 2}

_Given = TypeVarTuple("_Given")
_Gave = TypeVar("_Gave")
_Value = TypeVar("_Value")
_Key = tuple[Callable[..., Any], Hashable]


class ById(Generic[_Value]):
    """A value as a key: a season that is folded on has the very same one until something of it is noted."""

    __slots__ = ("value",)

    def __init__(self, value: _Value) -> None:
        self.value = value

    def __hash__(self) -> int:
        return id(self.value)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ById) and self.value is other.value


class _Kept(NamedTuple):
    given: tuple[Any, ...]
    gave: Any


class Memo:
    """What the stages of one plan gave."""

    __slots__ = ("late", "plan")

    def __init__(self, plan: Mapping[_Key, _Kept] | None = None, late: Mapping[_Key, _Kept] | None = None) -> None:
        self.plan = plan if plan is not None else {}
        """Of the last plan of all there is."""
        self.late = late if late is not None else {}
        """Of stems touched since."""

    def known(self, key: _Key) -> _Kept | None:
        return self.late.get(key) or self.plan.get(key)


NO_MEMO = Memo()


class Stages:
    """One plan, pulled stage by stage. A stage is a pure function with a key that tells its askings apart; it must
    be given all it looks at, as values that nobody changes."""

    __slots__ = ("_memo", "_pulled", "depth")

    def __init__(self, memo: Memo | None = None, depth: Depth = "house") -> None:
        self.depth = depth
        self._memo = memo if memo is not None else NO_MEMO
        self._pulled: dict[_Key, _Kept] = {}

    def of(self, work: Callable[[*_Given], _Gave], key: Hashable, *given: *_Given) -> _Gave:
        """What ``work`` gives; what it gave last where it was given the same, by identity or by value."""
        kept = self._pulled.get((work, key)) or self._memo.known((work, key))
        if kept is None or kept.given != given:
            kept = _Kept(given, work(*given))
        self._pulled[work, key] = kept
        gave: _Gave = kept.gave
        return gave

    def of_loop(self, work: Callable[[*_Given], _Gave], key: Hashable, *given: *_Given) -> _Gave:
        """The same; at a stem's depth what it gave last, whatever it is given now."""
        return self.of(work, key, *given) if self._reaches("loop") else self._last_or_new(work, key, given)

    def of_house(self, work: Callable[[*_Given], _Gave], key: Hashable, *given: *_Given) -> _Gave:
        """The same for what waits until the whole house is planned."""
        return self.of(work, key, *given) if self._reaches("house") else self._last_or_new(work, key, given)

    def anew(self, depth: Depth, work: Callable[[*_Given], _Gave], key: Hashable, *given: *_Given) -> _Gave:
        """For what looks at so much that comparing is no use: worked out again whenever ``depth`` is reached."""
        kept = None if self._reaches(depth) else self._memo.known((work, key))
        self._pulled[work, key] = kept = kept or _Kept((), work(*given))
        gave: _Gave = kept.gave
        return gave

    def resumed(self, work: Callable[[_Gave | None, *_Given], _Gave], key: Hashable, *given: *_Given) -> _Gave:
        """As ``of``, for a stage that is handed its last answer too, to take from it what still holds."""
        kept = self._memo.known((work, key))
        if kept is None or kept.given != given:
            kept = _Kept(given, work(kept.gave if kept is not None else None, *given))
        self._pulled[work, key] = kept
        gave: _Gave = kept.gave
        return gave

    @property
    def memo(self) -> Memo:
        """All that was pulled; of a stem beside what is known of the others."""
        if self.depth == "stem":
            return Memo(self._memo.plan, {**self._memo.late, **self._pulled})
        return Memo(self._pulled)

    def _reaches(self, depth: Depth) -> bool:
        return _DEEPER[self.depth] >= _DEEPER[depth]

    def _last_or_new(self, work: Callable[[*_Given], _Gave], key: Hashable, given: tuple[*_Given]) -> _Gave:
        kept = self._memo.known((work, key))
        if kept is None:
            return self.of(work, key, *given)
        self._pulled[work, key] = kept
        gave: _Gave = kept.gave
        return gave
