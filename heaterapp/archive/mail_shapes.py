"""One mail as the queue has it, and how the tries go on."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Any

LANGUAGES = ("en", "es")
WAITING, PERHAPS, SENT, GIVEN_UP, WITHDRAWN = STATES = (
    "waiting", "perhaps_sent", "sent", "given_up", "withdrawn",
)  # fmt: skip
GOING, UNSENT = (WAITING, PERHAPS), (WAITING, PERHAPS, GIVEN_UP)
"""Those that may be tried, and those that somebody may send again or take back."""
NEVER = "9999-12-31T23:59:59Z"
"""When one that may have arrived is tried next, once that was done."""
LONGEST_ADDRESS, LONGEST_SAID = 320, 500
PAUSES = tuple(timedelta(minutes=count) for count in (1, 5, 15, 60, 240, 720, 1440, 1440))
"""After the first try that fails, the second ...; a mail server that is away from Friday evening to Monday
morning is still met. After the last pause comes the last try."""
PERHAPS_PAUSE = timedelta(minutes=15)
"""Until the one more try of a mail that may have arrived."""
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
    """`waiting`, `perhaps_sent` (all of it was handed over, and no answer came), `sent` (the mail server took
    it), `given_up` (no server took it), `withdrawn`."""
    tries: int
    next_at: str
    """When one that waits, or that may have arrived, is tried next."""
    tried_at: str | None
    said: str
    """What the mail server, or the connection to it, said last."""
    sent_at: str | None
    message_id: str
    share: int | None
    """The link that its content carries, from the first time on that content was handed over."""
    claim: str | None

    @property
    def ended(self) -> bool:
        """Whether it is tried no more, and nobody knows that it arrived."""
        return self.state == GIVEN_UP or (self.state == PERHAPS and self.next_at == NEVER)

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
