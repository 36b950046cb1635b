"""The lines of the list of later erasures, as they stand in its file, and what is found under their ids.

The first line names the form. Each other line holds the SHA-256 of the line before and its own. Last stands
an `AsOf`, which is written anew with every look and belongs to no later line's chain.
"""

import json
import types
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.canonical import canonical, sha256
from heaterapp.archive.columns import LARGEST_WHOLE

FIRST = canonical({"format": "heaterapp later erasures 2"})
LIFE = "life"
KIND = {
    "erase": "record", "erase_job": "job", "void": "record", "share_revoked": "share", "hold": "job",
    "hold_lifted": "hold", "closed": "person", "opened": "person", "role": "person", "password": "person",
    "passkey": "passkey",
}  # fmt: skip
"""What each act is done to."""
_LONGEST = 100


@dataclass(frozen=True)
class Later:
    """One act, by ids: `of` is the salted digest of what it was done to, which no other archive has."""

    act: str
    """One of `KIND`; or `life`, which is no act: from here the list tells of a log that a restore brought."""
    organisation: int
    entry: int
    head: str
    at: str
    target: int | str
    to: str = ""
    """The new role."""
    hold: int = 0
    by: int = 0
    by_of: str = ""
    """Who voided or placed the hold, and the salted digest of that person."""
    salt: str = ""
    of: str = ""

    @property
    def key(self) -> tuple[int, int, str]:
        return self.organisation, self.entry, self.head

    @property
    def thing(self) -> tuple[int, str, int | str, int]:
        """What it settles: of all the acts on one thing the last one holds."""
        act = {"opened": "closed", "hold_lifted": "hold"}.get(self.act, self.act)
        return self.organisation, act, self.target, self.hold


@dataclass(frozen=True)
class AsOf:
    """Until when a list tells all: organisation -> the head of its log's first entry, and its last then."""

    at: str
    heads: Mapping[int, tuple[str, int, str]]


@dataclass(frozen=True)
class Listed:
    """What a list, or the end of one, tells.

    end, last, tail  where its own lines end; the digest of the last one; that line
    """

    lines: list[Later]
    as_of: AsOf | None
    end: int
    last: str
    tail: bytes


class Damaged(ValueError):
    """The number of the first bad line, and what stands before it."""

    def __init__(self, number: int, before: Listed):
        super().__init__(number)
        self.number, self.before = number, before


def parsed(body: bytes, last: str = "") -> Listed:
    """Read whole lines; what stands after the last line's end is passed over. Raises Damaged.

    last  the digest of the line before; empty at the beginning of a list
    """
    found: list[Later] = []
    as_of, end, at, tail = None, 0, 0, b""
    for number, line in enumerate(body.split(b"\n")[:-1], 1):
        at += len(line) + 1
        try:
            if not last:
                if line != FIRST.encode():
                    raise ValueError
                last, end, tail = sha256(FIRST), at, line + b"\n"
                continue
            one, digest = _one(line, last)
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            raise Damaged(number, Listed(found, None, end, last, tail)) from None
        if isinstance(one, AsOf):
            as_of = one
            continue
        found.append(one)
        last, end, tail = digest, at, line + b"\n"
    return Listed(found, as_of, end, last, tail)


def written(one: Later | AsOf, last: str) -> tuple[str, str]:
    """Return the line, and its digest."""
    if isinstance(one, AsOf):
        heads = {str(own): list(at) for own, at in one.heads.items()}
        said: dict[str, Any] = {"as_of": one.at, "heads": heads}
    else:
        said = asdict(one)
    digest = sha256(canonical({**said, "previous": last}))
    return canonical({**said, "previous": last, "digest": digest}), digest


def _one(line: bytes, last: str) -> tuple[Later | AsOf, str]:
    said = json.loads(line)
    digest = said.pop("digest")
    if said.pop("previous") != last or sha256(canonical({**said, "previous": last})) != digest:
        raise ValueError
    if "as_of" in said:
        ends = said["heads"].items()
        heads = {int(own): (first, seq, head) for own, (first, seq, head) in ends}
        texts = (said["as_of"], *(text for first, _, head in heads.values() for text in (first, head)))
        wholes = (*heads, *(seq for _, seq, _ in heads.values()))
        if not (all(map(is_plain, texts)) and all(map(is_whole, wholes))):
            raise ValueError
        return AsOf(said["as_of"], heads), digest
    one = Later(**said)
    for field in fields(Later):
        value = getattr(one, field.name)
        kinds = field.type.__args__ if isinstance(field.type, types.UnionType) else (field.type,)
        if type(value) not in kinds or not (is_whole(value) or is_plain(value)):
            raise ValueError
    if one.act != LIFE and isinstance(one.target, str) != (KIND[one.act] in _BY_TEXT):
        raise ValueError
    return one, digest


def is_whole(value: object) -> bool:
    """Say whether this is a number that a column can hold."""
    return type(value) is int and 0 <= value <= LARGEST_WHOLE


def is_plain(value: object) -> bool:
    """Say whether this is a short text of plain signs, as ids, digests and names of roles are."""
    return isinstance(value, str) and len(value) <= _LONGEST and value.isascii() and value.isprintable()


class Things:
    """What stands under ids in one archive; the passkeys of a firm are read once."""

    def __init__(self, connection: Connection):
        self._connection = connection
        self._added: dict[int, dict[Any, str]] = {}

    def signed(self, one: Later) -> Later | None:
        """Return an act with the digests of what it was done to; None where nothing stands under its id."""
        identity = self._of(one)
        if identity is None:
            return None
        person = self._row("person", one.organisation, one.by)
        by_of = digest_of(one.salt, person) if person is not None else ""
        # The lifting of a hold does not name the job in the log.
        target = json.loads(identity)[0] if one.act == "hold_lifted" else one.target
        return replace(one, target=target, of=digest_of(one.salt, identity), by_of=by_of)

    def has(self, one: Later) -> bool:
        """Say whether what is found under its id is what the act was done to."""
        identity = self._of(one)
        return identity is not None and digest_of(one.salt, identity) == one.of

    def has_person_of(self, one: Later) -> bool:
        """Say whether the person who did it is here."""
        person = self._row("person", one.organisation, one.by)
        return person is not None and digest_of(one.salt, person) == one.by_of

    def _of(self, one: Later) -> str | None:
        kind = KIND[one.act]
        if kind == "passkey":
            return self._passkeys(one.organisation).get(one.target)
        return self._row(kind, one.organisation, one.hold if kind == "hold" else one.target)

    def _row(self, kind: str, organisation: int, target: int | str) -> str | None:
        table, *columns = _ROWS[kind]
        this = (table.c.organisation == organisation, table.c.id == target)
        row = self._connection.execute(select(*(table.c[name] for name in columns)).where(*this)).first()
        return None if row is None else canonical(list(row))

    def _passkeys(self, organisation: int) -> dict[Any, str]:
        """The entries that added passkeys: of one that is removed nothing else is left."""
        if organisation not in self._added:
            log, added = tables.log, {}
            these = (log.c.organisation == organisation, log.c.act == "passkey")
            query = select(log.c.body, log.c.digest).where(*these).order_by(log.c.seq.desc())
            for body, digest in self._connection.execute(query):
                said = body_of(body)
                if said.get("what") == "added" and is_whole(said.get("passkey")):
                    added[said["passkey"]] = str(digest)
            self._added[organisation] = added
        return self._added[organisation]


def body_of(text: str) -> dict[str, Any]:
    """Return what an entry says; nothing where it cannot be read."""
    try:
        said = json.loads(text)
    except (ValueError, RecursionError):
        return {}
    return said if isinstance(said, dict) else {}


def digest_of(salt: str, identity: str) -> str:
    """Return the salted digest of what stands under an id."""
    return sha256(canonical([salt, identity]))


_BY_TEXT = ("job", "hold")
_ROWS: dict[str, tuple[Any, ...]] = {
    "record": (tables.record, "number", "issued_at", "check_code", "content_digest"),
    "job": (tables.job, "id", "created_at"),
    "share": (tables.share, "token_hash"),
    "person": (tables.person, "login", "created_at"),
    "hold": (office_tables.hold, "job_id", "placed_at", "placed_by"),
}
