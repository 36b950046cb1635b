"""A copy with personal data left out: a removed person can be read nowhere in its bytes."""

from __future__ import annotations

import io
import json
import re
import zlib
from dataclasses import replace

import pypdf
import pytest

from heaterapp.certificate import Redacted
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.redacted import pressed, redacted_identifier, redacted_paper
from heaterapp.sealing.origin import origin

from .conftest import DRAWN

OWNER = "Dana Whitlock-Quill"
HOMEOWNER = {
    **DRAWN,
    "role": "homeowner",
    "name": OWNER,
    "relation": "owner",
    "statement": "I received a copy.",
}
GONE = (OWNER, "Whitlock-Quill", "555-0199", "dana@example.com", "Left word", "I received a copy")
MADE_FROM = ("certificate.pdf", "ab" * 32)


@pytest.fixture(scope="module")
def copied(record_of):
    """A record that names its owner wherever it can, and the copy of it."""
    record = record_of()
    answers = json.loads(record.job) | {
        "owner_name": OWNER, "job_ref": f"Left word of {OWNER}",
        "outlet_temperature_f": {"could_not_measure": f"Left word: {OWNER} slept"},
    }  # fmt: skip
    report = json.loads(record.report)
    open_one = next(one for one in report["findings"] if one["kind"] == "rule" and one["verdict"] == "meets")
    open_one["why"] = f"Could not be measured: Left word of {OWNER}."
    open_one["accepted"] = {"by": OWNER, "on": "2026-11-01", "why": f"Left word by 555-0199 of {OWNER}"}
    filed = replace(
        Filed.of(record), job=json.dumps(answers).encode(), report=json.dumps(report).encode(),
        signature=json.dumps({"signatures": [DRAWN, HOMEOWNER]}).encode(), reason=f"Left word about {OWNER}",
        replaces_number="C-000011", revision=2,
        context={"check_address": "https://papers.example.com/check", "correction": {
            "corrects": "C-000011", "changes": [{"label": "Owner", "old": OWNER, "new": "D. Whitlock-Quill"}],
        }},
    )  # fmt: skip
    copy = Redacted(filed, MADE_FROM, "2026-11-26", "", ("dana@example.com", "555-0199"))
    return filed, copy, pressed(copy)["copy.pdf"]


def everything_in(pdf: bytes) -> str:
    """Its text, its metadata and every stream unpacked."""
    read = pypdf.PdfReader(io.BytesIO(pdf))
    text = " ".join(page.extract_text() for page in read.pages)
    streams = []
    for found in re.finditer(rb"stream\n(.*?)\nendstream", pdf, re.S):
        try:
            streams.append(zlib.decompress(found[1]).decode("latin-1"))
        except zlib.error:
            streams.append(found[1].decode("latin-1"))
    return " ".join([text, repr(read.metadata), pdf.decode("latin-1"), *streams])


def test_a_removed_person_cannot_be_read_from_the_bytes(copied):
    _, _, pdf = copied
    whole = everything_in(pdf)
    for one in GONE:
        for written in (one, one.encode("utf-16-be").hex(), one.encode("utf-16-be").decode("latin-1")):
            assert written.lower() not in whole.lower(), one
    read = pypdf.PdfReader(io.BytesIO(pdf))
    assert not read.attachments
    assert b"/EmbeddedFile" not in pdf
    assert "Copy" in read.metadata.title


def test_the_same_search_finds_the_person_in_the_paper_itself(copied):
    from heaterapp.certificate import render_here

    filed, _, _ = copied
    assert OWNER in " ".join(everything_in(render_here(filed)["certificate.pdf"]).split())


def test_it_says_on_its_face_what_it_is_and_of_what_it_was_made(copied):
    filed, copy, pdf = copied
    read = pypdf.PdfReader(io.BytesIO(pdf))
    first = " ".join(read.pages[0].extract_text().split())
    assert f"Copy of {filed.number}, personal data left out." in first
    assert "Made on 26 Nov 2026 from the record of" in first
    assert MADE_FROM[1] in first.replace(" ", "")
    for page in read.pages:
        assert "personal data left out" in page.extract_text()
    paper = redacted_paper(copy)
    assert (paper.number, paper.check_code, paper.content_digest) == (
        filed.number, filed.check_code, filed.content_digest,
    )  # fmt: skip
    assert [one.name for one in paper.signatures] == [DRAWN["name"]]
    assert paper.keys, "what was measured stays"
    assert pressed(copy)["copy.pdf"] == pdf
    # What the check page knows it by: as it stands in the file, and after another program saved it.
    named = redacted_identifier(filed.content_digest, filed.number, filed.revision)
    assert f"/ID [({named}) ".encode() in pdf[-65_536:]
    assert named.encode().hex() in origin(pdf).identifiers
    void = redacted_paper(replace(copy, state="C-000012 is void since 2026-11-25.", standing="void"))
    assert void.footer.startswith("VOID. Copy, personal data left out: ")
    assert "C-000012 is void since 2026-11-25." in void.face


@pytest.mark.parametrize(
    ("owner", "installer", "kept"),
    [("Tan", "Sam Tan", "Sam [left out]"), ("Lee", "LEE LEESON", "[left out] LEESON"), ("May", "may Ray", "[left out] Ray"),
     ("王芳", "王芳様", "[left out]様"), ("Dana O'Hara", "dana o'hara, jr.", "[left out], jr.")],
)  # fmt: skip
def test_a_name_is_left_out_whole_and_no_gap_in_a_word_of_ours_spells_it(record_of, owner, installer, kept):
    filed = Filed.of(record_of())
    answers = json.loads(filed.job) | {"owner_name": owner, "installer_name": installer}
    named = replace(filed, job=json.dumps(answers).encode(), signature=json.dumps({"signatures": [{**DRAWN, "name": installer}]}).encode())
    usual = redacted_paper(Redacted(filed, MADE_FROM, "2026-11-26"))
    paper = redacted_paper(Redacted(named, MADE_FROM, "2026-11-26"))
    assert [one.name for one in paper.signatures] == [kept]
    assert kept in str(paper.parties)
    for part in ("keys", "met", "figures", "cautions", "records", "limits", "silent", "assumed"):
        assert getattr(paper, part) == getattr(usual, part), f"{part}: no sentence of ours is touched"
