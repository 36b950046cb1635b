"""A ZIP written piece by piece: memory stays flat however many members it gets.

Every size is known before its member begins, so that any program can read it as it arrives; the list at
the end waits in a temporary file. Members carry no time of their own: the same content, the same bytes.
"""

import struct
import tempfile
import zlib
from collections.abc import Iterable, Iterator

AT_ONCE = 256_000
IN_MEMORY = 4_000_000
_STORED, _DEFLATED = 0, 8
_UTF8_NAME = 0x800
_NEW_YEAR_1980 = 0x21
_PLAIN_FILE = 0o100644 << 16
_FULL, _FULL_COUNT = 0xFFFFFFFF, 0xFFFF
_ZIP64 = 45


class Packing:
    """One ZIP: `member` and `long_member` for each file, then `end`; each gives the next bytes of it.

    To be used in `with`, so that one that is broken off leaves no file open.
    """

    def __init__(self) -> None:
        self._list = tempfile.SpooledTemporaryFile(IN_MEMORY)
        self._at = 0
        self._count = 0

    def __enter__(self) -> "Packing":
        return self

    def __exit__(self, *why: object) -> None:
        self._list.close()

    def member(self, name: str, body: bytes) -> Iterator[bytes]:
        """Give a member whose bytes are at hand, as they are: papers and pictures are packed already."""
        yield self._head(name, _STORED, zlib.crc32(body), len(body), len(body))
        yield body

    def long_member(self, name: str, pieces: Iterable[bytes]) -> Iterator[bytes]:
        """Give a member that comes in pieces, packed; it waits in a temporary file until it is whole."""
        packer, crc, size = zlib.compressobj(6, zlib.DEFLATED, -zlib.MAX_WBITS), 0, 0
        with tempfile.SpooledTemporaryFile(IN_MEMORY) as held:
            for piece in pieces:
                crc, size = zlib.crc32(piece, crc), size + len(piece)
                held.write(packer.compress(piece))
            held.write(packer.flush())
            packed = held.tell()
            held.seek(0)
            yield self._head(name, _DEFLATED, crc, packed, size)
            while part := held.read(AT_ONCE):
                yield part

    def end(self) -> Iterator[bytes]:
        """Give the list of members, which makes it a whole ZIP."""
        length = self._list.tell()
        self._list.seek(0)
        while part := self._list.read(AT_ONCE):
            yield part
        if self._count >= _FULL_COUNT or self._at + length >= _FULL:
            yield struct.pack(
                "<IQHHIIQQQQ",
                0x06064B50,
                44,
                _ZIP64,
                _ZIP64,
                0,
                0,
                self._count,
                self._count,
                length,
                self._at,
            )
            yield struct.pack("<IIQI", 0x07064B50, 0, self._at + length, 1)
        count = min(self._count, _FULL_COUNT)
        yield struct.pack(
            "<IHHHHIIH", 0x06054B50, 0, 0, count, count, min(length, _FULL), min(self._at, _FULL), 0
        )

    def _head(self, name: str, way: int, crc: int, packed: int, size: int) -> bytes:
        called = name.encode()
        large, far = size >= _FULL or packed >= _FULL, self._at >= _FULL
        sizes = (_FULL, _FULL) if large else (packed, size)
        both = struct.pack("<QQ", size, packed) if large else b""
        needs = _ZIP64 if large or far else 20
        common = struct.pack("<HHHHIII", _UTF8_NAME, way, 0, _NEW_YEAR_1980, crc, *sizes)
        here, there = _extra(both), _extra(both + (struct.pack("<Q", self._at) if far else b""))
        head = struct.pack("<IH", 0x04034B50, needs) + common + struct.pack("<HH", len(called), len(here))
        self._list.write(
            struct.pack("<IHH", 0x02014B50, 3 << 8 | needs, needs)
            + common
            + struct.pack("<HHHHHII", len(called), len(there), 0, 0, 0, _PLAIN_FILE, min(self._at, _FULL))
            + called
            + there
        )
        self._count += 1
        self._at += len(head) + len(called) + len(here) + packed
        return head + called + here


def _extra(numbers: bytes) -> bytes:
    return struct.pack("<HH", 1, len(numbers)) + numbers if numbers else b""
