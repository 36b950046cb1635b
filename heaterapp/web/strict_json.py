"""JSON from outside, read strictly: no key twice, no number that is not whole, nothing nested without end."""

from __future__ import annotations

import json
from typing import Any

DEEPEST = 12


class NotJson(ValueError):
    """The bytes are no JSON that is taken here; the text says what was expected."""


def read(body: bytes, fractions: bool = False) -> Any:
    """Return what stands in `body`.

    body       UTF-8, one JSON value; every key of an object once
    fractions  numbers need not be whole; they come as text, since nothing is measured in them
    raises     NotJson

    >>> read(b'{"a": [1, "2.5"]}')
    {'a': [1, '2.5']}
    """
    try:
        value = json.loads(
            body.decode("utf-8"),
            object_pairs_hook=_once,
            parse_float=str if fractions else _no_number,
            parse_constant=_no_number,
        )
    except RecursionError:
        raise NotJson("nested too deep") from None
    except ValueError as bad:
        # A value of the document itself must not come back in the sentence.
        raise (bad if isinstance(bad, NotJson) else NotJson("it breaks off, or is garbled")) from None
    _walk(value, DEEPEST)
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    held = dict(pairs)
    if len(held) != len(pairs):
        raise NotJson("a name stands twice in one object")
    return held


def _no_number(text: str) -> Any:
    raise NotJson("a number that is not whole: measured values are written as text")


def _walk(value: Any, left: int) -> None:
    if isinstance(value, str):
        try:
            value.encode("utf-8")
        except UnicodeEncodeError:
            raise NotJson("half a character in a text") from None
    elif isinstance(value, (dict, list)):
        if not left:
            raise NotJson("nested too deep")
        for one in value:
            _walk(one, left - 1)
        for one in value.values() if isinstance(value, dict) else ():
            _walk(one, left - 1)
