"""Every route of the app, a line each: who may, and what each part of its address is. Read by test_every_route.

A line says the address as its blueprint writes it, the method, who may, and for each part of the address a kind of
KINDS, or FREE for a part that names no row of anybody's. `fields` are what its form sends; a value "@kind" is tried as
the address is. `json`: asked by a script. `ends`: the sign-in ends by it. `refuses`: with this code, whoever asks.
"""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from typing import Any

from heaterapp import rules
from heaterapp.archive.shapes import ROLES

ANYBODY, SIGNED, WORK, OFFICE, OWNER = (None, *ROLES), ROLES, ("installer", "owner"), ("office", "owner"), ("owner",)
FREE = "free"


@dataclass(frozen=True)
class Row:
    """One line of the table."""

    rule: str
    method: str
    who: tuple[str | None, ...]
    parts: dict[str, str]
    fields: dict[str, str]
    json: bool
    ends: bool
    refuses: int

    @property
    def slots(self) -> dict[str, str]:
        """Every part of address and form that names a row: its own name -> its kind."""
        sent = {f"@{name}": text[1:] for name, text in self.fields.items() if text.startswith("@")}
        return {name: kind for name, kind in {**self.parts, **sent}.items() if kind in KINDS}

    def __str__(self) -> str:
        return f"{self.method} {self.rule}"


def row(rule: str, method: str, who: tuple[str | None, ...], **more: Any) -> Row:
    """A line of the table; see the module."""
    usual: dict[str, Any] = {"fields": {}, "json": False, "ends": False, "refuses": 0}
    known = {name: more.pop(name, value) for name, value in usual.items()}
    return Row(rule, method, who, more, **known)


SECTION = f"<any({','.join(rules.SECTIONS)}):section>"
KINDS = (
    "record", "job", "issued_job", "job_paper", "person", "share", "share_token", "invite", "invite_token",
    "session", "own_session", "passkey", "amendments", "recheck", "inspection", "copy", "redacted_copy", "mail",
)  # fmt: skip
TABLE = (
    row("/", "GET", ANYBODY),
    row("/account", "GET", SIGNED),
    row("/account/devices", "POST", SIGNED),
    row("/account/devices/<int:number>", "POST", SIGNED, number="own_session"),
    row("/account/passkeys", "POST", SIGNED, json=True),
    row("/account/passkeys/<int:number>/remove", "POST", SIGNED, number="passkey"),
    row("/account/passkeys/options", "POST", SIGNED, json=True),
    row("/account/password", "POST", SIGNED),
    row("/check", "GET", ANYBODY),
    row("/fonts/<file>", "GET", ANYBODY, file=FREE, refuses=404),
    row("/fonts/faces.css", "GET", ANYBODY),
    row("/healthz", "GET", ANYBODY),
    row("/invite/<token>", "GET", ANYBODY, token="invite_token"),
    row("/invite/<token>", "POST", ANYBODY, token="invite_token"),
    row("/language", "POST", ANYBODY, fields={"language": "en"}),
    row("/language/<code>.json", "GET", ANYBODY, code=FREE, refuses=404),
    row("/jobs", "GET", WORK),
    row("/jobs/<job_id>", "GET", WORK, job_id="job"),
    row(f"/jobs/<job_id>/{SECTION}", "GET", WORK, job_id="job", section=FREE),
    row(f"/jobs/<job_id>/{SECTION}", "POST", WORK, job_id="job", section=FREE),
    row("/jobs/<job_id>/accept", "POST", WORK, job_id="job"),
    row("/jobs/<job_id>/again", "POST", WORK, job_id="issued_job"),
    row("/jobs/<job_id>/answers", "POST", WORK, job_id="job", json=True),
    row("/jobs/<job_id>/codes", "GET", WORK, job_id="job"),
    row("/jobs/<job_id>/codes", "POST", WORK, job_id="job"),
    row("/jobs/<job_id>/issued", "GET", WORK, job_id="issued_job"),
    row("/jobs/<job_id>/link", "POST", WORK, job_id="issued_job"),
    row("/jobs/<job_id>/mail", "POST", WORK, job_id="issued_job"),
    row("/jobs/<job_id>/mail/<int:number>", "POST", WORK, job_id="issued_job", number="mail", fields={"act": "again"}),
    row("/jobs/<job_id>/mended", "POST", WORK, job_id="job"),
    row("/jobs/<job_id>/papers/<number>/in/<language>.pdf", "GET", WORK, job_id="issued_job", number="job_paper", language=FREE),
    row("/jobs/<job_id>/papers/<number>/<name>", "GET", WORK, job_id="issued_job", number="job_paper", name=FREE),
    row("/jobs/<job_id>/review", "GET", WORK, job_id="job"),
    row("/jobs/<job_id>/sign", "GET", WORK, job_id="job"),
    row("/jobs/<job_id>/sign", "POST", WORK, job_id="job"),
    row("/jobs/new", "GET", WORK),
    row("/jobs/new", "POST", WORK),
    row("/manual", "GET", ANYBODY),
    row("/manual/<name>", "GET", ANYBODY, name=FREE, refuses=404),
    row("/manual/coverage", "GET", ANYBODY),
    row("/office", "GET", OFFICE),
    row("/office/", "GET", OFFICE),
    row("/office/amendments", "GET", OFFICE),
    row("/office/amendments/<name>", "GET", OFFICE, name="amendments"),
    row("/office/amendments/<name>/clause", "GET", OFFICE, name="amendments"),
    row("/office/amendments/<name>/withdraw", "POST", OFFICE, name="amendments"),
    row("/office/amendments/clause", "POST", OFFICE),
    row("/office/amendments/new", "GET", OFFICE),
    row("/office/backups", "GET", OWNER),
    row("/office/backups", "POST", OWNER, refuses=404),
    row("/office/desk", "GET", OFFICE),
    row("/office/desk/<job_id>", "GET", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/facts", "GET", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/facts", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/inspection", "GET", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/inspection", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/installer", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/open-again", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/take-back", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/permit", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/permit-facts", "GET", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/permit/extend", "POST", OFFICE, job_id="job"),
    row("/office/desk/inspections/<int:number>", "GET", OFFICE, number="inspection"),
    row("/office/desk/inspections/<int:number>/booked", "POST", OFFICE, number="inspection"),
    row("/office/desk/inspections/<int:number>/items", "POST", OFFICE, number="inspection"),
    row("/office/desk/inspections/<int:number>/result", "POST", OFFICE, number="inspection"),
    row("/office/desk/inspections/<int:number>/second-visit", "POST", OFFICE, number="inspection"),
    row("/office/desk/inspections/<int:number>/take-back", "POST", OFFICE, number="inspection"),
    row("/office/desk/new", "GET", OFFICE),
    row("/office/desk/new", "POST", OFFICE),
    row("/office/exports", "GET", OFFICE),
    row("/office/exports/import", "GET", OWNER),
    row("/office/exports/import", "POST", OWNER),
    row("/office/exports/jobs", "POST", OFFICE),
    row("/office/exports/records", "POST", OFFICE),
    row("/office/exports/schema.json", "GET", OFFICE),
    row("/office/exports/whole", "POST", OWNER),
    row("/office/firm", "GET", OWNER),
    row("/office/firm", "POST", OWNER),
    row("/office/firm/usual", "GET", OWNER),
    row("/office/firm/usual", "POST", OWNER),
    row("/office/firm/logo", "POST", OWNER),
    row("/office/firm/seal", "POST", OWNER, fields={"sure": "yes"}),
    row("/office/firm/seal/distrust", "POST", OWNER),
    row("/office/firm/logo.jpg", "GET", OWNER, refuses=404),
    row("/office/firm/mail-test", "POST", OWNER),
    row("/office/log", "GET", OFFICE),
    row("/office/mail", "GET", OFFICE),
    row("/office/mail/<int:number>", "POST", OFFICE, number="mail", fields={"act": "again"}),
    row("/office/month", "GET", OFFICE),
    row("/office/month/csv", "GET", OFFICE),
    row("/office/month/labels/<job_id>/reported", "POST", OFFICE, job_id="job"),
    row("/office/people", "GET", OWNER),
    row("/office/people/<int:number>", "POST", OWNER, number="person", fields={"act": "open"}),
    row("/office/people/devices/<int:number>", "POST", OWNER, number="session"),
    row("/office/people/invites", "POST", OWNER),
    row("/office/people/invites/<int:number>", "POST", OWNER, number="invite"),
    row("/office/phone", "GET", OFFICE),
    row("/office/phone", "POST", OFFICE),
    row("/office/recheck", "GET", OFFICE),
    row("/office/recheck", "POST", OFFICE),
    row("/office/recheck/<int:run>/change", "GET", OFFICE, run="recheck"),
    row("/office/recheck/<int:run>/list.csv", "GET", OFFICE, run="recheck"),
    row("/office/records/<number>", "GET", OFFICE, number="record"),
    row("/office/records/<number>/copy", "GET", OFFICE, number="record"),
    row("/office/records/<number>/copy", "POST", OFFICE, number="record"),
    row("/office/records/<number>/copy/<int:key>", "GET", OFFICE, number="record", key="copy"),
    row("/office/records/<number>/copy/<int:key>/cover.pdf", "GET", OFFICE, number="record", key="copy"),
    row("/office/records/<number>/copy/<int:key>/redacted.pdf", "GET", OFFICE, number="record", key="redacted_copy"),
    row("/office/records/<number>/copy/<int:key>/papers.zip", "GET", OFFICE, number="record", key="copy"),
    row("/office/records/<number>/correct", "GET", OFFICE, number="record"),
    row("/office/records/<number>/correct", "POST", OFFICE, number="record"),
    row("/office/desk/<job_id>/erase", "POST", OWNER, job_id="job"),
    row("/office/desk/<job_id>/hold", "POST", OFFICE, job_id="job"),
    row("/office/desk/<job_id>/keep", "GET", OFFICE, job_id="job"),
    row("/office/records/<number>/erase", "POST", OWNER, number="record"),
    row("/office/records/<number>/hold", "POST", OFFICE, number="record"),
    row("/office/records/<number>/keep", "GET", OFFICE, number="record"),
    row("/office/records/<number>/mail", "POST", OFFICE, number="record"),
    row("/office/records/<number>/make", "POST", OFFICE, number="record"),
    row("/office/records/<number>/compare-file", "GET", OFFICE, number="record"),
    row("/office/records/<number>/compare-file", "POST", OFFICE, number="record"),
    row("/office/records/<number>/recompute", "GET", OFFICE, number="record"),
    row("/office/records/<number>/void", "GET", OFFICE, number="record"),
    row("/office/records/<number>/void", "POST", OFFICE, number="record"),
    row("/office/records/<number>/in/<language>.pdf", "GET", OFFICE, number="record", language=FREE),
    row("/office/records/<number>/file/<name>", "GET", OFFICE, number="record", name=FREE),
    row("/office/records/<number>/share", "POST", OFFICE, number="record", fields={"act": "revoke", "share": "@share"}),
    row("/office/sweep", "GET", OFFICE),
    row("/office/sweep", "POST", OFFICE),
    row("/office/sweep/letters", "POST", OFFICE),
    row("/office/sweep/list.csv", "POST", OFFICE),
    row("/phone/", "GET", ANYBODY),
    row("/phone/<name>/<path:path>", "GET", ANYBODY, name=FREE, path=FREE, refuses=404),
    row("/phone/api/account", "GET", WORK, json=True),
    row("/phone/api/jobs", "GET", WORK, json=True),
    row("/phone/api/jobs/<job_id>", "GET", WORK, job_id="job", json=True),
    row("/phone/api/jobs/<job_id>/again", "POST", WORK, job_id="issued_job", json=True),
    row("/phone/api/judge", "POST", WORK, json=True),
    row("/phone/api/models", "GET", WORK, json=True),
    row("/phone/api/parcels/<draft>", "PUT", WORK, draft=FREE, json=True),
    row("/phone/api/photos/<sha256>", "PUT", WORK, sha256=FREE, json=True),
    row("/phone/api/photos/wanted", "POST", WORK, json=True),
    row("/phone/api/language", "POST", WORK, json=True),
    row("/phone/engine/<mark>/<name>", "GET", ANYBODY, mark=FREE, name=FREE, refuses=404),
    row("/phone/pages/<mark>.zip", "GET", ANYBODY, mark=FREE, refuses=404),
    row("/phone/pages/<mark>-<language>.json", "GET", ANYBODY, mark=FREE, language=FREE, refuses=404),
    row("/phone/rules/<digest>.zip", "GET", ANYBODY, digest=FREE, refuses=404),
    row("/phone/sw.js", "GET", ANYBODY),
    row("/phone/version.json", "GET", ANYBODY),
    row("/s/<token>", "GET", ANYBODY, token="share_token"),
    row("/s/<token>/care.ics", "GET", ANYBODY, token="share_token"),
    row("/s/<token>/in/<language>.pdf", "GET", ANYBODY, token="share_token", language=FREE),
    row("/s/<token>/certificate.pdf", "GET", ANYBODY, token="share_token"),
    row("/sign-in", "GET", ANYBODY),
    row("/sign-in", "POST", ANYBODY),
    row("/sign-in/passkey", "POST", ANYBODY, json=True, refuses=401),
    row("/sign-in/passkey/options", "POST", ANYBODY, json=True),
    row("/sign-out", "POST", ANYBODY, ends=True),
    row("/static/<path:filename>", "GET", ANYBODY, filename=FREE),
)  # fmt: skip
FREE_PARTS = {
    "file": "none.woff2", "section": "job", "name": "certificate.pdf", "path": "none.js", "mark": "none",
    "language": "es", "digest": "none", "filename": "app.css", "key": 999999, "draft": str(uuid.UUID(int=7)), "sha256": "0" * 64,
}  # fmt: skip
