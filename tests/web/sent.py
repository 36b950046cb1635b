"""A parcel as a phone makes it, from the answers of a whole job of tests/jobs."""

from __future__ import annotations

import hashlib
import io
import json
import uuid
from typing import Any

from PIL import Image

from heaterapp import rules
from heaterapp.filling.signed import CONSENT, RECEIPT, STATEMENTS, answers_digest, kind_for

AT = "2026-11-26T03:04:05.678Z"


def signed(answers: dict[str, Any], draft: str = "", **different: Any) -> dict[str, Any]:
    """A whole signed parcel; `different` are other parts of it."""
    report = rules.assess(answers)
    kind = kind_for(answers, report.outcome)
    installer = {
        "role": "installer", "name": "Riley Okafor", "statement": STATEMENTS[kind], "consent": CONSENT,
        "method": "typed", "at": AT, "answers_sha256": answers_digest(answers),
    }  # fmt: skip
    return {
        "form": 1, "draft": draft or str(uuid.uuid4()), "job": None, "base": None, "answers": answers, "kind": kind,
        "report_sha256": hashlib.sha256(report.to_bytes()).hexdigest(),
        "ruleset": {"version": report.version, "digest": report.digest}, "signatures": [installer], "photos": [],
        "device": {"made_at": AT, "signed_at": AT, "agent": "test"}, "person": None,
    } | different  # fmt: skip


def receipt(answers: dict[str, Any], **different: Any) -> dict[str, Any]:
    """What the homeowner signed."""
    return {
        "role": "homeowner", "name": "Dana Whitlock", "relation": "owner", "statement": RECEIPT, "method": "typed",
        "at": AT, "answers_sha256": answers_digest(answers),
    } | different  # fmt: skip


def photo(seed: int = 0, size: tuple[int, int] = (64, 48)) -> bytes:
    """A small JPEG, another one for each seed."""
    picture = Image.new("RGB", size, (seed * 37 % 256, seed * 91 % 256, seed % 256))
    held = io.BytesIO()
    picture.save(held, "JPEG")
    return held.getvalue()


def listed(body: bytes, **different: Any) -> dict[str, Any]:
    """A photo as a parcel lists it."""
    return {
        "sha256": hashlib.sha256(body).hexdigest(), "kind": "plate", "note": "", "chosen": True, "taken_at": AT,
    } | different  # fmt: skip


class Phone:
    """The phone of one person: what it sends, and the answers it gets."""

    def __init__(self, visitor: Any):
        self.visitor = visitor
        self.csrf = visitor.get("/phone/api/account").json["csrf"] if visitor.person else ""

    def put(self, path: str, body: bytes, kind: str = "application/json", **headers: str) -> Any:
        sent = {"X-CSRFToken": self.csrf, "Content-Type": kind, **headers}
        return self.visitor.client.put(f"/phone/api/{path}", data=body, headers=sent)

    def send(self, parcel: Any, draft: str | None = None) -> Any:
        body = parcel if isinstance(parcel, bytes) else json.dumps(parcel).encode()
        return self.put(f"parcels/{draft or json.loads(body)['draft']}", body)

    def photo(self, body: bytes, sha256: str | None = None) -> Any:
        return self.put(f"photos/{sha256 or hashlib.sha256(body).hexdigest()}", body, "image/jpeg")

    def wanted(self, *sha256: str, **more: Any) -> Any:
        headers = {"X-CSRFToken": self.csrf}
        sent = {"sha256": list(sha256), **more}
        return self.visitor.client.post("/phone/api/photos/wanted", json=sent, headers=headers)


def told(answer: Any) -> tuple[int, str]:
    """Status and code of an answer that is no success, held to the shape that all of them have."""
    assert answer.is_json, answer.text[:200]
    assert answer.headers["Cache-Control"] == "no-store"
    said = answer.json["error"]
    assert said[0].isupper()
    assert said.endswith(".")
    return answer.status_code, answer.json["code"]


def installer(parcel: dict[str, Any]) -> dict[str, Any]:
    """The installer's signature in a parcel."""
    held: dict[str, Any] = parcel["signatures"][0]
    return held
