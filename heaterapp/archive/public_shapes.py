"""What anyone who holds a paper may learn of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class PublicKey:
    """A key of a firm's seal without the firm: its fingerprint, and ISO dates where it ended."""

    fingerprint: str
    retired_on: str | None = None
    distrusted_on: str | None = None


@dataclass(frozen=True)
class PublicRecord:
    """What anyone holding the paper may learn: no name, no address; its state, issued, replaced or void."""

    number: str
    kind: str
    issued_at: str
    state: str
    replaced_by: str | None
    """What replaced it then; `present` is what stands now, where anything does."""
    place: str
    ruleset_version: str
    ruleset_digest: str
    content_digest: str
    files: Mapping[str, str]
    """File name to the SHA-256 of its bytes, so a PDF can be compared in the browser."""
    sizes: Mapping[str, int]
    books: tuple[str, ...]
    """Editions that the report cites."""
    keys: tuple[PublicKey, ...]
    """Every key that the firm's seal has or had, the one in use first."""
    erased: bool = False
    present: str | None = None
    revision: int = 1
    time_zone: str = "UTC"
    """By whose clocks the paper tells its days."""
    since: str = ""
    """When it was declared void, or else replaced; nothing for one that stands."""
    danger: bool = False
    """Whether the paper that stands now in place of this one names a hazard."""
    bodies: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    """The files themselves, for their identifiers to be read: not to be given to anyone who asks."""
    certificates: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    """Of each key, by its fingerprint, the certificate, which names the firm: not to be given out either."""
