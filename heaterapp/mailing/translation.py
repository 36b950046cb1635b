"""The translation that goes along in a mail of another language than the paper's, or why none does.

It is made for each try and stored nowhere, and follows from the record and the program alone: the same bytes
at every try. The log has its SHA-256 before any of it goes. What may have arrived is sent again with that
very one, or not at all; one that nobody has may go with another, or with none.
"""

from __future__ import annotations

import hashlib
import secrets
import sys
from collections.abc import Callable
from dataclasses import dataclass
from traceback import format_exception
from typing import Any

from heaterapp.archive.carried import NOTHING, PRESS, SIZE, Carried
from heaterapp.archive.mail_queue import Stopped
from heaterapp.archive.mail_shapes import PERHAPS, Mail

SOURCE = "en"
TRIES = 3
"""So often a mail waits for its translation, 21 minutes in all; the next time it goes without."""
MOST_BYTES = 10_000_000
"""Of a mail with a translation. Many mail servers take no more, and nobody is to lose the paper by it."""
UNLIKE = (
    "The mail may have arrived, and its translation cannot be made again as it was: ask whether it arrived."
    " If it did not, do not try this one again and ask for another mail"
)

Make = Callable[[Any, str], bytes]
"""(record, language) -> the paper in that language; raises NotMade where there would be none of another paper
either, and anything where this one cannot be made."""


class NotMade(Exception):
    """There is no translation now. The text says why."""


@dataclass(frozen=True)
class Beside:
    """What goes along with a paper, and what the log is to say of it."""

    body: bytes | None = None
    carried: Carried = NOTHING
    may_stay: bool = False
    """Whether the mail may go without it, should it be too large."""


LEFT_OUT = Beside(None, Carried(why=SIZE))


class Making:
    """Makes the translations of one round; a press that was away once is not waited for again."""

    def __init__(self, make: Make | None):
        self._make, self._away = make, ""

    def beside(self, mail: Mail, record: Any, held: Carried) -> Beside:
        """Return what goes along in this try.

        held    what the content carried that was handed over before
        raises  NotMade; Stopped where it can never be alike again
        """
        if mail.language == SOURCE:
            return Beside()
        if mail.state == PERHAPS:
            return self._as_it_was(mail, record, held)
        if self._make is None:
            return Beside()
        try:
            body = self._made(record, mail.language)
        except NotMade:
            if mail.tries < TRIES:
                raise
            return Beside(None, Carried(why=PRESS))
        return Beside(body, Carried(_sum(body)), may_stay=True)

    def _as_it_was(self, mail: Mail, record: Any, held: Carried) -> Beside:
        if not held.sha256:
            return Beside()
        body = self._made(record, mail.language) if self._make else b""
        if _sum(body) != held.sha256:
            raise Stopped(UNLIKE)
        return Beside(body)

    def _made(self, record: Any, language: str) -> bytes:
        if self._away:
            raise NotMade(self._away)
        try:
            return self._make(record, language)
        except NotMade as why:
            self._away = str(why)
            raise
        except Exception as broken:
            reference = secrets.token_hex(4)
            print(f"Mail, fault {reference}:", *format_exception(broken), sep="\n", file=sys.stderr)
            raise NotMade(f"see the program's log, under {reference}") from broken


def _sum(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()
