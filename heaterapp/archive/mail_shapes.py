"""One mail as the queue has it, and how the tries go on."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

LANGUAGES = ("en", "es")
WAITING, SENT, GIVEN_UP, WITHDRAWN = STATES = ("waiting", "sent", "given_up", "withdrawn")
LONGEST_ADDRESS, LONGEST_SAID = 320, 500
PAUSES = tuple(timedelta(minutes=count) for count in (1, 5, 15, 60, 240, 720, 1440, 1440))
"""After the first try that fails, the second ...; a mail server that is away from Friday evening to Monday
morning is still met. After the last pause comes the last try."""
LEASE = timedelta(minutes=20)
"""How long a try may last before another process may take the mail: longer than any try is let live."""


@dataclass(frozen=True)
class Mail:
    """A mail that was asked for: a paper, and the homeowner's link where there is one."""

    id: int
    organisation: int
    record: int
    address: str
    """Empty once it was erased."""
    language: str
    asked_by: int
    asked_at: str
    state: str
    """`waiting`, `sent` (the mail server took it), `given_up`, `withdrawn`."""
    tries: int
    next_at: str
    """When a waiting one is tried next."""
    tried_at: str | None
    said: str
    """What the mail server, or the connection to it, said last."""
    sent_at: str | None
    message_id: str
    share: int | None
    """The link that its content carries, from the first time on that content was handed over."""
    claim: str | None

    @classmethod
    def of(cls, row: Any) -> "Mail":
        """Return a row of the table."""
        return cls(**{name: getattr(row, name) for name in cls.__dataclass_fields__})


def one_line(said: object) -> str:
    """Return what a server said as one bounded line of printable characters.

    >>> one_line("550 5.1.1\\r\\n No such  user\\x00")
    '550 5.1.1 No such user'
    """
    plain = "".join(sign if sign.isprintable() else " " for sign in str(said)[: 4 * LONGEST_SAID])
    return " ".join(plain.encode("utf-8", "replace").decode().split())[:LONGEST_SAID]
