"""The papers of an issued record, as PDF.

    render_files(record) -> dict[str, bytes]    in a worker process; any thread may call
    render_in_turn(record)                      the same, on one press at most, behind who waits for it
    render_here(record)  -> dict[str, bytes]    in this process; one thread at a time
    render_cover(cover)  -> bytes               a copy's cover page, in a worker process
    render_redacted(copy) -> bytes              a copy with personal data left out, in a worker process
    render_translated(given) -> bytes           a paper in another language, or marked void
    render_for_link(given), render_for_mail(given)   the same, on one press at most
    identifiers(kind, ...) -> list[str]         what names translations and marked copies of a record
    redacted_identifier(...) -> str             what names its copies with personal data left out
    warm()                                      start a worker before it is needed
    shutdown()                                  stop the workers; done at exit by itself

record   what the archive hands to its renderer (`archive.Record`, or anything with its names)
returns  by kind: `certificate.pdf` and `certificate-archival.pdf`; `correction-list.pdf` ...;
         `findings.pdf` ... The archival one is PDF/A-3u and tagged; both carry `job.json` and
         `report.json`. A pure function: the same record gives the same bytes in any process.
raises   NotReady       a certificate whose rules do not all allow it; nothing is printed
         RenderFailed   the renderer broke, complained, took too long or died twice
         PressAway, PressBusy   of these the ones of which the paper is not the cause

What is read besides the job and the report, all of it optional:

    organisation_snapshot   name, licence, phone, address; settings.paper "letter" or "a4"
    context                 check_address: where number and code can be checked
    signature (JSON)        {"signatures": [...]}, each with
                            name, role, statement, method "typed" | "drawn",
                            of role "homeowner" also relation, method "declined" | "not_home",
                            at (UTC), answers_sha256, strokes [[[x, y, ms], ...], ...]
                            in whole pad units 0 to 10,000
"""

from __future__ import annotations

from typing import Any

from .cover import Cover
from .filed import Filed, NotReady
from .redacted import Redacted, redacted_identifier
from .translated import Translated, identifiers
from .workers import (
    PressAway,
    PressBusy,
    RenderFailed,
    render_cover,
    render_files,
    render_for_link,
    render_for_mail,
    render_in_turn,
    render_redacted,
    render_translated,
    shutdown,
    warm,
)

__all__ = [
    "Cover", "Filed", "NotReady", "PressAway", "PressBusy", "Redacted", "RenderFailed", "Translated",
    "identifiers", "redacted_identifier", "render_cover", "render_files", "render_for_link",
    "render_for_mail", "render_here", "render_in_turn", "render_redacted", "render_translated", "shutdown",
    "warm",
]  # fmt: skip


def render_here(record: Any) -> dict[str, bytes]:
    """Make a record's papers in this process; see the module. The renderer is loaded at the first call."""
    from .press import render_here as pressed

    return pressed(record)
