"""A ZIP that somebody brings: looked at whole before anything of it is believed."""

import hashlib
import json
import re
import struct
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from typing import IO, Any

from heaterapp.archive.errors import ArchiveError
from heaterapp.archive.kept_rules import UNREADABLE_ZIP
from heaterapp.archive.moving import form

LARGEST_LIST = 300_000_000
LARGEST_BODY = 60_000_000
LARGEST_MANIFEST = 1_000_000
LONGEST_LINE = 30_000_000
MOST_PACKED, FREELY_PACKED = 200, 1_000_000
BLOCK = 1 << 20
_SUM = re.compile(r"([0-9a-f]{64})  (\S{1,200})")
_LOCKED = 0x1
_HEAD = 30


class ImportRefused(ArchiveError):
    """The file was not taken, and nothing was changed; the text names the member and what is wrong."""


class Pack:
    """An opened ZIP, every member of which is there, named and whole."""

    def __init__(self, packed: zipfile.ZipFile, manifest: dict[str, Any]):
        self._packed = packed
        self.manifest = manifest

    def lines(self, name: str) -> Iterator[tuple[int, Any]]:
        """Give (number, value) of each JSON line of a member. Raises ImportRefused."""
        try:
            with self._packed.open(name) as member:
                number = 0
                while line := member.readline(LONGEST_LINE):
                    number += 1
                    if not line.endswith(b"\n"):
                        raise ImportRefused(f"{name} line {number}: it is cut off or far too long.")
                    try:
                        yield number, json.loads(line)
                    except (ValueError, RecursionError):
                        raise ImportRefused(f"{name} line {number}: JSON was expected.") from None
        except UNREADABLE_ZIP as bad:
            raise _damaged(name) from bad

    def body(self, name: str) -> bytes:
        """Return the bytes of a member. Raises ImportRefused."""
        try:
            return self._packed.read(name)
        except KeyError:
            raise ImportRefused(f"{name}: it is missing.") from None
        except UNREADABLE_ZIP as bad:
            raise _damaged(name) from bad


@contextmanager
def opened(file: IO[bytes], largest_list: int = LARGEST_LIST) -> Iterator[Pack]:
    """Open a ZIP for import after reading every byte of it. Raises ImportRefused.

    largest_list  most bytes that its list of members may have
    """
    _refuse_long_list(file, largest_list)
    try:
        packed = zipfile.ZipFile(file)
    except UNREADABLE_ZIP as bad:
        raise ImportRefused("The file is no ZIP, or it is cut off or damaged.") from bad
    with packed:
        members = packed.infolist()
        _refuse_strange(members)
        manifest = _manifest(packed)
        _hold_sums(packed, members, manifest)
        yield Pack(packed, manifest)


def _damaged(name: str) -> ImportRefused:
    return ImportRefused(f"{name}: it is damaged, its bytes are not those that were written.")


def _refuse_long_list(file: IO[bytes], largest: int) -> None:
    """A list of millions of members would fill the memory before any of it could be looked at."""
    size = file.seek(0, 2)
    file.seek(max(0, size - 66_000))
    tail = file.read()
    file.seek(0)
    at = tail.rfind(b"PK\x05\x06")
    length = struct.unpack_from("<I", tail, at + 12)[0] if 0 <= at <= len(tail) - 22 else 0
    far = tail.rfind(b"PK\x06\x06")
    if length == 0xFFFFFFFF and 0 <= far <= len(tail) - 56:
        length = struct.unpack_from("<Q", tail, far + 40)[0]
    if length > largest:
        raise ImportRefused(
            f"The ZIP lists far too many members: at most {largest // 100:,} were expected here."
        )


def _refuse_strange(members: list[zipfile.ZipInfo]) -> None:
    seen: set[str] = set()
    for one in members:
        name = _shown(one.filename)
        if one.orig_filename in seen:
            raise ImportRefused(f"{name}: it stands twice in the ZIP.")
        seen.add(one.orig_filename)
        known = one.orig_filename in (form.MANIFEST, form.SUMS) or form.MEMBER.fullmatch(one.orig_filename)
        if not known or one.orig_filename != one.filename:
            raise ImportRefused(f"{name}: no member of a whole export has this name.")
        if one.flag_bits & _LOCKED:
            raise ImportRefused(f"{name}: it is locked by a password.")
        if one.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise ImportRefused(f"{name}: it is packed in a way that an export never is.")
        if (
            not one.filename.startswith("tables/")
            and one.filename != form.SUMS
            and one.file_size > LARGEST_BODY
        ):
            raise ImportRefused(
                f"{name}: {one.file_size:,} bytes, and at most {LARGEST_BODY:,} were expected."
            )
        if one.file_size > FREELY_PACKED and one.file_size > one.compress_size * MOST_PACKED:
            raise ImportRefused(f"{name}: it would unpack to {one.file_size:,} bytes, which no export does.")
    for name in (form.MANIFEST, form.SUMS):
        if name not in seen:
            raise ImportRefused(f"{name}: it is missing, so this is no whole export.")
    ordered = sorted(members, key=lambda one: one.header_offset)
    for one, after in pairwise(ordered):
        if one.header_offset + _HEAD + len(one.filename) + one.compress_size > after.header_offset:
            raise ImportRefused(f"{_shown(after.filename)}: it overlaps with {_shown(one.filename)}.")


def _manifest(packed: zipfile.ZipFile) -> dict[str, Any]:
    name = form.MANIFEST
    if packed.getinfo(name).file_size > LARGEST_MANIFEST:
        raise ImportRefused(f"{name}: it is far too long.")
    try:
        said = json.loads(packed.read(name))
    except (ValueError, RecursionError):
        raise ImportRefused(f"{name}: JSON was expected.") from None
    except UNREADABLE_ZIP as bad:
        raise _damaged(name) from bad
    if not isinstance(said, dict) or said.get("format") != form.FORMAT:
        raise ImportRefused(f"{name}: this is no whole export of an organisation.")
    if said.get("version") != form.VERSION:
        raise ImportRefused(
            f"{name}: version {_shown(str(said.get('version')))} of the format, and this program reads"
            f" version {form.VERSION}."
        )
    if said.get("tables") != form.tables_of():
        raise ImportRefused(
            f"{name}: its tables are of revision {_shown(str(said.get('tables')))}, those of this program of"
            f" {form.tables_of()}: bring the older program up to date, and export again."
        )
    try:
        numbers = [said["organisation"]["id"], said["log"]["entries"], *said["counts"].values()]
        texts = [said["organisation"]["name"], said["log"]["head"], said["sums"]]
    except (KeyError, TypeError, AttributeError):
        raise ImportRefused(f"{name}: organisation, log, counts and sums were expected.") from None
    whole = all(isinstance(one, int) and not isinstance(one, bool) and 0 <= one < 2**31 for one in numbers)
    if not whole or not all(isinstance(one, str) for one in texts):
        raise ImportRefused(f"{name}: whole numbers and texts were expected.")
    return said


def _hold_sums(packed: zipfile.ZipFile, members: list[zipfile.ZipInfo], manifest: dict[str, Any]) -> None:
    """Read every member, in the order in which the sums name them."""
    if _digest(packed, form.SUMS) != manifest["sums"]:
        raise ImportRefused(f"{form.SUMS}: its SHA-256 is not the manifest's.")
    others = iter([one.filename for one in members if one.filename not in (form.MANIFEST, form.SUMS)])
    with packed.open(form.SUMS) as sums:
        while line := sums.readline(400):
            read = _SUM.fullmatch(line.decode("utf-8", "replace").rstrip("\n"))
            if read is None:
                raise ImportRefused(f"{form.SUMS}: a digest and a name were expected in each line.")
            if (name := next(others, None)) != read[2]:
                raise ImportRefused(f"{_shown(read[2])}: it is missing, or not where the sums name it.")
            if _digest(packed, name) != read[1]:
                raise ImportRefused(f"{name}: its SHA-256 is not the one in {form.SUMS}.")
    more = next(others, None)
    if more is not None:
        raise ImportRefused(f"{more}: {form.SUMS} does not name it.")


def _digest(packed: zipfile.ZipFile, name: str) -> str:
    digest = hashlib.sha256()
    try:
        with packed.open(name) as member:
            while part := member.read(BLOCK):
                digest.update(part)
    except UNREADABLE_ZIP as bad:
        raise _damaged(name) from bad
    return digest.hexdigest()


def _shown(name: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in name[:100])
