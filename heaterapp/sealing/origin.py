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
CHUNK = 256
LONGEST_DICTIONARY, LONGEST_OBJECT, LONGEST_STRING, LONGEST_TITLE = 600, 4_000, 2_000, 200

_GAP = rb"[\x00\t\n\f\r ]"
_ID = re.compile(rb"/ID" + _GAP + rb"*\[" + _GAP + rb"*(?=[(<])")
_SECOND = re.compile(_GAP + rb"*(?=[(<])")
_INFO = re.compile(rb"/Info" + _GAP + rb"+(\d{1,10})" + _GAP + rb"+(\d{1,5})" + _GAP + rb"+R")
_TITLE = re.compile(rb"/Title" + _GAP + rb"*(?=[(<])")
_STREAM = re.compile(rb"(?<!end)stream\r?\n")
_LENGTH = re.compile(rb"/Length" + _GAP + rb"+(\d{1,10})(?!\d)(?!" + _GAP + rb"+\d+" + _GAP + rb"+R)")
_FIRST = re.compile(rb"/First" + _GAP + rb"+(\d{1,10})")
_DESCRIBED = re.compile(rb"[^\0]{0,300}?<rdf:li[^>]{0,100}>([^<]{0,1000})<")
_TITLED = re.compile(rb"<dc:title>")
_NUMBER = re.compile(r"(?<![A-Za-z0-9])[A-Z][A-Z0-9]{0,7}-[0-9]{1,12}(?![A-Za-z0-9])")
_ESCAPED = {"n": 10, "r": 13, "t": 9, "b": 8, "f": 12}


class Origin(NamedTuple):
    """What a file says of itself.

    named   each identifier that it has or had (ISO 32000-1, 14.4), its two pieces in hex: the first stays
            when a program saves the file again, the second does not
    number  the number in its title, or nothing
    """

    named: frozenset[tuple[str, str]] = frozenset()
    number: str = ""

    @property
    def identifiers(self) -> frozenset[str]:
        """The first pieces alone."""
        return frozenset(first for first, _ in self.named)


class _Stream(NamedTuple):
    at: int
    dictionary: bytes
    body: bytes


def origin(body: bytes) -> Origin:
    """Return what a file says of itself. Never raises for what stands in it."""
    raw = _both_ends(body)
    streams = list(_streams(raw))
    number = _number(_title(raw, streams)) or _described(raw, streams)
    return Origin(_named(raw), number)


def named(body: bytes) -> tuple[str, str]:
    """Return the two pieces of a stored paper's identifier, in hex; two nothings where it has none."""
    return min(_named(_both_ends(body)), default=("", ""))


def number_in(body: bytes) -> str:
    """Return the paper's number as a file's title has it, such as C-000123; nothing where it has none."""
    return origin(body).number


def _both_ends(body: bytes) -> bytes:
    return body if len(body) <= 2 * END else body[:END] + b"\n" + body[-END:]


def _named(raw: bytes) -> frozenset[tuple[str, str]]:
    found = set()
    for one in islice(_ID.finditer(raw), MOST_IDENTIFIERS):
        first, ends = _string(raw, one.end())
        opens = _SECOND.match(raw, ends)
        second = _string(raw, opens.end())[0] if opens else b""
        if first:
            found.add((first.hex(), second.hex()))
    return frozenset(found)


def _number(title: str) -> str:
    # A title is not cut to its first letters: what is left of a number then would be another one.
    found = _NUMBER.search(title) if len(title) <= LONGEST_TITLE else None
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
    return _text(_string(facts, found.end())[0]) if found else ""


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
    """The number in the file's description of itself (XMP), the first there is."""
    places = (raw, *(one.body for one in streams if b"/Metadata" in one.dictionary))
    titles = ((held, one.end()) for held in places for one in _TITLED.finditer(held))
    for held, at in islice(titles, MOST_TRIED):
        found = _DESCRIBED.match(held, at)
        number = _number(found[1].decode("utf-8", "replace")) if found else ""
        if number:
            return number
    return ""


def _streams(raw: bytes) -> Iterator[_Stream]:
    """The streams in which objects or the description stand, opened."""
    left, closes = MOST_IN_ALL, -1
    for found in islice(_STREAM.finditer(raw), MOST_STREAMS):
        if left <= 0:
            return
        at, begins = found.span()
        dictionary = raw[max(0, at - LONGEST_DICTIONARY) : at].rpartition(b" obj")[2]
        if not (b"/ObjStm" in dictionary or b"/Metadata" in dictionary):
            continue
        # Sought once going forward: a file of nothing but beginnings would be read anew for each of them.
        if closes < begins:
            closes = raw.find(b"endstream", begins)
            closes = len(raw) if closes < 0 else closes
        length = _LENGTH.search(dictionary)
        ends = min(closes, begins + int(length[1])) if length else _before_line_end(raw, closes)
        held = raw[begins : min(ends, begins + left)]
        body = _inflated(held) if b"/FlateDecode" in dictionary else held[:MOST_INFLATED]
        left -= max(len(held), len(body))
        yield _Stream(at, dictionary, body)


def _before_line_end(raw: bytes, ends: int) -> int:
    ends -= raw[ends - 1 : ends] == b"\n"
    return ends - (raw[ends - 1 : ends] == b"\r")


def _inflated(packed: bytes) -> bytes:
    """What can be unpacked, up to where it is broken; neither head nor sum is looked at (RFC 1950)."""
    bare, found, opening = memoryview(packed)[2:-4], bytearray(), zlib.decompressobj(-zlib.MAX_WBITS)
    try:
        for at in range(0, len(bare), CHUNK):
            found += opening.decompress(bare[at : at + CHUNK], MOST_INFLATED - len(found))
            if opening.eof or len(found) >= MOST_INFLATED:
                break
    except zlib.error:
        pass
    return bytes(found)


def _string(raw: bytes, at: int) -> tuple[bytes, int]:
    """The text at a place, in hex or in letters (ISO 32000-1, 7.3.4), its end; nothing of a cut one."""
    held = raw[at : at + LONGEST_STRING].decode("latin-1")
    if held.startswith("<"):
        closes = held.find(">")
        digits = re.sub(r"[^0-9A-Fa-f]", "", held[1 : max(0, closes)])
        return bytes.fromhex(digits + "0" * (len(digits) % 2)), at + closes + 1
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
            return bytes(found), at + place
        if one != "(" or deep > 1:
            found.append(ord(one))
    return b"", at


def _text(held: bytes) -> str:
    if held.startswith(b"\xfe\xff"):
        return held[2:].decode("utf-16-be", "replace")
    return held.decode("latin-1")
