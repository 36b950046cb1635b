"""What a paper that is signed anew says of the one it replaces: what that was, and which answers changed.

Knows the rules and the archive's shapes and asks an archive, no web and no table.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from heaterapp.archive.shapes import Record
from heaterapp.rules import CATALOGUE, asked_only
from heaterapp.rules.report import forces
from heaterapp.sheet.older import whole

MOST = 6
"""Changes that are told by name; the rest is counted."""


def former_of(store: Any, organisation: int, job_id: str) -> tuple[Record, bool] | None:
    """Return the newest paper of a job, which the next one replaces, and whether it is void; None for none.

    store  the archive
    """
    newest = next(iter(store.records.of_job(organisation, job_id)), None)
    if newest is None or newest.erased:
        return None
    return store.records.get(organisation, newest.record), newest.voided_at is not None


def former_told(former: Record, void: bool, answers: Mapping[str, Any]) -> dict[str, Any]:
    """Return what the next paper keeps of the one before it, as plain data.

    former   the newest record of the job
    void     whether it was made void
    answers  the stored answers of the paper that is signed now
    returns  number, void, items to put right of a list, changes as question, old and new, more
    """
    before, now = asked_only(json.loads(former.job)), asked_only(dict(answers))
    # Names first: a wrong serial number or owner is what most papers are made again for.
    ordered = sorted(CATALOGUE.values(), key=lambda question: not question.names)
    changed = [one.name for one in ordered if before.get(one.name) != now.get(one.name)]
    told = [{"question": name, "old": before.get(name), "new": now.get(name)} for name in changed[:MOST]]
    more = len(changed) - len(told)
    return {"number": former.number, "void": void, "items": _items(former), "changes": told, "more": more}


def _items(former: Record) -> int:
    """How many things a list had to put right, as its own report says."""
    if former.kind != "correction_list":
        return 0
    found = whole(json.loads(former.report))["findings"]
    return sum(forces(one["kind"], one["verdict"], one.get("accepted")) != "ready" for one in found)
