"""Three-valued conditions on answers: true, false, or not known yet (None).

A question's `when` and a check's `WHEN` are built from these. Any known answer
that rules a thing out decides it, though others are missing. A question that
this job does not ask counts as known: nothing asserted about it is true.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Final


class _NotAsked:
    __slots__ = ()

    def __repr__(self) -> str:
        return "NOT_ASKED"


NOT_ASKED: Final = _NotAsked()

Lookup = Callable[[str], object]


class When:
    """A condition; combine with &, | and ~."""

    __slots__ = ("names",)

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names

    def holds(self, look: Lookup) -> bool | None:
        """True, False, or None when the answers given so far cannot tell."""
        raise TypeError("a condition is built with is_, yes, no or one_of")

    @property
    def waited_for(self) -> tuple[str, ...]:
        """The names whose answers have to come before it can be told."""
        return self.names

    def __and__(self, other: When) -> When:
        return _All((self, other))

    def __or__(self, other: When) -> When:
        return _Any((self, other))

    def __invert__(self) -> When:
        return _Not(self)


class _Is(When):
    __slots__ = ("name", "words")

    def __init__(self, name: str, words: tuple[str, ...]) -> None:
        super().__init__((name,))
        self.name = name
        self.words = frozenset(words)

    def holds(self, look: Lookup) -> bool | None:
        value = look(self.name)
        if value is None:
            return None
        return value in self.words if isinstance(value, str) else False


class _Some(When):
    __slots__ = ("name",)

    def __init__(self, name: str) -> None:
        super().__init__((name,))
        self.name = name

    def holds(self, look: Lookup) -> bool | None:
        value = look(self.name)
        if value is None:
            return None
        return value > 0 if isinstance(value, Decimal) else False


class _Answered(When):
    __slots__ = ("name",)

    def __init__(self, name: str) -> None:
        super().__init__((name,))
        self.name = name

    def holds(self, look: Lookup) -> bool | None:
        return look(self.name) not in (None, NOT_ASKED)


class _Said(_Is):
    __slots__ = ()

    @property
    def waited_for(self) -> tuple[str, ...]:
        return ()

    def holds(self, look: Lookup) -> bool | None:
        return bool(super().holds(look))


class _NoMore(When):
    __slots__ = ()

    def holds(self, look: Lookup) -> bool | None:
        one, other = (look(name) for name in self.names)
        if isinstance(one, Decimal) and isinstance(other, Decimal):
            return one <= other
        return False if NOT_ASKED in (one, other) else None


class _Differ(When):
    __slots__ = ()

    def holds(self, look: Lookup) -> bool | None:
        one, other = (look(name) for name in self.names)
        if isinstance(one, Decimal) and isinstance(other, Decimal):
            return one != other
        return False if NOT_ASKED in (one, other) else None


class _Several(When):
    """Conditions that are combined alike; one that is itself such a combination is taken apart."""

    __slots__ = ("parts",)

    def __init__(self, parts: tuple[When, ...]) -> None:
        super().__init__(tuple(dict.fromkeys(n for p in parts for n in p.names)))
        flat = (one for p in parts for one in (p.parts if isinstance(p, type(self)) else (p,)))
        self.parts: tuple[When, ...] = tuple(dict.fromkeys(flat))

    @property
    def waited_for(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name for part in self.parts for name in part.waited_for))


class _All(_Several):
    __slots__ = ()

    def holds(self, look: Lookup) -> bool | None:
        known: bool | None = True
        for part in self.parts:
            one = part.holds(look)
            if one is False:
                return False
            if one is None:
                known = None
        return known


class _Any(_Several):
    __slots__ = ()

    def holds(self, look: Lookup) -> bool | None:
        known: bool | None = False
        for part in self.parts:
            one = part.holds(look)
            if one is True:
                return True
            if one is None:
                known = None
        return known


class _Not(When):
    __slots__ = ("part",)

    def __init__(self, part: When) -> None:
        super().__init__(part.names)
        self.part = part

    @property
    def waited_for(self) -> tuple[str, ...]:
        return self.part.waited_for

    def holds(self, look: Lookup) -> bool | None:
        one = self.part.holds(look)
        return None if one is None else not one


class _Always(When):
    __slots__ = ()

    def holds(self, look: Lookup) -> bool | None:
        return True


ALWAYS: Final = _Always(())
NEVER: Final = _Any(())


def is_(name: str, *words: str) -> When:
    """The answer to `name` (or the figure of that name) is one of `words`."""
    return _Is(name, words)


def yes(name: str) -> When:
    """The yes/no question `name` is answered yes."""
    return _Is(name, ("yes",))


def no(name: str) -> When:
    """The yes/no question `name` is answered no."""
    return _Is(name, ("no",))


def some(name: str) -> When:
    """The number answered to `name` is more than 0."""
    return _Some(name)


def answered(name: str) -> When:
    """The question `name` has an answer; while it has none this is false, for nobody waits for it."""
    return _Answered(name)


def said(name: str, *words: str) -> When:
    """As `is_`, but false while there is no answer: what it rules out need not be waited for."""
    return _Said(name, words)


def no_more(first: str, second: str) -> When:
    """The number answered to `first` is not more than that to `second`."""
    return _NoMore((first, second))


def differ(first: str, second: str) -> When:
    """The numbers answered to `first` and to `second` are not the same."""
    return _Differ((first, second))
