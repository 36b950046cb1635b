"""What a file says of itself: its identifiers, and the number in its title.

All of it can be copied, so it shows where a file may come from, never that it is whole. Nothing is parsed
further than this needs, and what is too large is read at both ends. `static/origin.js` reads the same, for
the browser.
"""

from __future__ import annotations

import re
import zlib
from collections import deque
from collections.abc import Iterator
from itertools import islice
from typing import NamedTuple

END = 4_000_000
"""Bytes at either end of a file in which is sought."""
MOST_IDENTIFIERS, MOST_STREAMS, MOST_TRIED = 20, 2_000, 50
MOST_INFLATED, MOST_IN_ALL = 2_000_000, 8_000_000
LONGEST_DICTIONARY, LONGEST_OBJECT, LONGEST_STRING, LONGEST_TITLE = 600, 4_000, 1_000, 200

_GAP = rb"[\x00\t\n\f\r ]"
_ID = re.compile(rb"/ID" + _GAP + rb"*\[" + _GAP + rb"*(?=[(<])")
_INFO = re.compile(rb"/Info" + _GAP + rb"+(\d{1,10})" + _GAP + rb"+(\d{1,5})" + _GAP + rb"+R")
_TITLE = re.compile(rb"/Title" + _GAP + rb"*(?=[(<])")
_STREAM = re.compile(rb"(?<!end)stream\r?\n")
_LENGTH = re.compile(rb"/Length" + _GAP + rb"+(\d{1,10})(?!" + _GAP + rb"+\d+" + _GAP + rb"+R)")
_FIRST = re.compile(rb"/First" + _GAP + rb"+(\d{1,10})")
_DESCRIBED = re.compile(rb"<dc:title>[^\0]{0,300}?<rdf:li[^>]{0,100}>([^<]{0,200})")
_NUMBER = re.compile(r"(?<![A-Za-z0-9])[A-Z][A-Z0-9]{0,7}-[0-9]{1,12}(?![A-Za-z0-9])")
_ESCAPED = {"n": 10, "r": 13, "t": 9, "b": 8, "f": 12}


class Origin(NamedTuple):
    """The first identifiers that a file has or had, in hex; the number in its title, or nothing."""

    identifiers: frozenset[str] = frozenset()
    number: str = ""


class _Stream(NamedTuple):
    at: int
    dictionary: bytes
    body: bytes


def origin(body: bytes) -> Origin:
    """Return what a file says of itself. Never raises for what stands in it."""
    raw = _both_ends(body)
    streams = list(_streams(raw))
    number = _number(_title(raw, streams)) or _number(_described(raw, streams))
    return Origin(_named(raw), number)


def identifiers(body: bytes) -> frozenset[str]:
    """Return the first identifiers that a file has or had, in hex (ISO 32000-1, 14.4)."""
    return _named(_both_ends(body))


def number_in(body: bytes) -> str:
    """Return the paper's number as a file's title has it, such as C-000123; nothing where it has none."""
    return origin(body).number


def _both_ends(body: bytes) -> bytes:
    return body if len(body) <= 2 * END else body[:END] + b"\n" + body[-END:]


def _named(raw: bytes) -> frozenset[str]:
    found = [_string(raw, one.end()).hex() for one in islice(_ID.finditer(raw), MOST_IDENTIFIERS)]
    return frozenset(found) - {""}


def _number(title: str) -> str:
    found = _NUMBER.search(title[:LONGEST_TITLE])
    return found.group() if found else ""


def _title(raw: bytes, streams: list[_Stream]) -> str:
    """The title in the file's own list of facts, the last that is named."""
    last = deque(_INFO.finditer(raw), maxlen=1)
    if not last:
        return ""
    named = last.pop()
    held = [*_plainly(raw, named[1] + b" " + named[2] + b" obj"), *_within(streams, int(named[1]))]
    _, facts = max(held, default=(0, b""))
    found = _TITLE.search(facts)
    return _text(_string(facts, found.end())) if found else ""


def _plainly(raw: bytes, opening: bytes) -> list[tuple[int, bytes]]:
    """The last object that begins so, where it stands in the file as it is: its place and its bytes."""
    at = len(raw)
    for _ in range(MOST_TRIED):
        at = raw.rfind(opening, 0, at)
        if at < 0:
            break
        if not raw[at - 1 : at].isdigit():
            return [(at, raw[at + len(opening) : at + LONGEST_OBJECT].partition(b"endobj")[0])]
    return []


def _within(streams: list[_Stream], number: int) -> list[tuple[int, bytes]]:
    """The object of a number where it stands in a stream of objects (ISO 32000-1, 7.5.7)."""
    found = []
    for one in streams:
        first = _FIRST.search(one.dictionary)
        if first is None or b"/ObjStm" not in one.dictionary:
            continue
        begins = int(first[1])
        told = [int(digits) for digits in re.findall(rb"\d{1,10}", one.body[:begins])]
        places = dict(zip(told[::2], told[1::2], strict=False))
        if number in places:
            at = begins + places[number]
            after = [begins + place for place in places.values() if begins + place > at]
            found.append((one.at, one.body[at : min([*after, at + LONGEST_OBJECT])]))
    return found


def _described(raw: bytes, streams: list[_Stream]) -> str:
    """The title in the file's description of itself (XMP), the first that holds a number."""
    for held in (raw, *(one.body for one in streams if b"/Metadata" in one.dictionary)):
        for found in _DESCRIBED.finditer(held):
            if _number(text := found[1].decode("latin-1")):
                return text
    return ""


def _streams(raw: bytes) -> Iterator[_Stream]:
    """The streams in which objects or the description stand, opened."""
    left = MOST_IN_ALL
    for found in islice(_STREAM.finditer(raw), MOST_STREAMS):
        at = found.start()
        dictionary = raw[max(0, at - LONGEST_DICTIONARY) : at].rpartition(b" obj")[2]
        if not (b"/ObjStm" in dictionary or b"/Metadata" in dictionary) or left <= 0:
            continue
        ends = raw.find(b"endstream", found.end())
        packed = raw[found.end() : ends if ends >= 0 else len(raw)]
        length = _LENGTH.search(dictionary)
        held = packed[: int(length[1])] if length else packed.removesuffix(b"\n").removesuffix(b"\r")
        body = _inflated(held) if b"/FlateDecode" in dictionary else held[:MOST_INFLATED]
        left -= len(body)
        yield _Stream(at, dictionary, body)


def _inflated(packed: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(packed, MOST_INFLATED)
    except zlib.error:
        return b""


def _string(raw: bytes, at: int) -> bytes:
    """The text at a place, in hex or in letters (ISO 32000-1, 7.3.4)."""
    held = raw[at : at + LONGEST_STRING].decode("latin-1")
    if held.startswith("<"):
        digits = re.sub(r"[^0-9A-Fa-f]", "", held[1:].partition(">")[0])
        return bytes.fromhex(digits + "0" * (len(digits) % 2))
    found, deep, place = bytearray(), 0, 0
    while place < len(held):
        one = held[place]
        place += 1
        if one == "\\":
            octal = re.compile(r"[0-7]{1,3}").match(held, place)
            if octal:
                found.append(int(octal[0], 8) & 0xFF)
                place = octal.end()
            elif place < len(held):
                if held[place] not in "\r\n":
                    found.append(_ESCAPED.get(held[place], ord(held[place])))
                place += 1
            continue
        deep += (one == "(") - (one == ")")
        if deep == 0:
            break
        if one != "(" or deep > 1:
            found.append(ord(one))
    return bytes(found)


def _text(held: bytes) -> str:
    if held.startswith(b"\xfe\xff"):
        return held[2:].decode("utf-16-be", "replace")
    return held.decode("latin-1")
