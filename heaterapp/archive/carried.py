"""What went along with a paper in a mail, as the log has it: a translation, by its SHA-256.

It is made when it is needed and never stored, so this is written down before the first of it goes.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import Connection, Row, select

from heaterapp.archive import log, tables

ACT = "mail"
WITH, WITHOUT = "translated", "untranslated"
PRESS, SIZE = "press", "size"
"""Why none went along: it could not be made, or the mail would have been too large."""


@dataclass(frozen=True)
class Carried:
    """The translation in a mail by its SHA-256, or the word of why there is none."""

    sha256: str = ""
    why: str = ""


NOTHING = Carried()
"""Of a mail in the paper's own language, or one that was never handed over."""


def carried_of(connection: Connection, organisation: int, records: Iterable[int]) -> dict[int, Carried]:
    """Return, by mail of these records, what the newest content that may have gone carried."""
    held = tables.log.c
    told = held.body.contains(f'{WITH}"', autoescape=True)
    # Reckoned with, so that no planner walks the whole log for the few of these.
    query = select(held.body, held.seq + 0).order_by(held.seq + 0).where(
        held.organisation == organisation, held.record.in_(list(records)), held.act == ACT, told
    )  # fmt: skip
    found = {}
    for row in connection.execute(query):
        body = json.loads(row.body)
        if body.get("what") in (WITH, WITHOUT):
            found[body["mail"]] = Carried(body.get("sha256", ""), body.get("why", ""))
    return found


def note(connection: Connection, mail: Row, carried: Carried, now: str) -> None:
    """Write down what a mail carries from now on, where that is another than before."""
    if carried_of(connection, mail.organisation, [mail.record]).get(mail.id) == carried:
        return
    body = {"mail": mail.id, "what": WITHOUT, "why": carried.why}
    if carried.sha256:
        body = {"mail": mail.id, "what": WITH, "sha256": carried.sha256}
    log.append(connection, mail.organisation, ACT, now, None, mail.record, body)
