"""The check page's own script tells the same of a file as the program does, run by Node on the same attacks."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import json
import re
import shutil
import subprocess
from pathlib import Path

import pikepdf
import pytest

from heaterapp.sealing import look, new_key, seal
from heaterapp.sealing.words import KINDS

from .conftest import AT, added_to, small_paper
from .test_tampered import ADDED, _container, _holding, _signed_again, signed_otherwise

HERE = Path(__file__).parent
SCRIPT = HERE.parent.parent / "static" / "seal.js"
AS_THE_PROGRAM_SAYS = {
    "stored": "stored", "sealed": "sealed", "sealed_twin": "sealed_twin", "translation": "translation",
    "redacted": "redacted",
    "added_after_seal": "added", "added": "appended",
    "broken_seal": "appended", "foreign_seal": "appended", "changed": "other", "resaved": "other",
    "cut_short": "other", "unknown": "other", "no_pdf": "other", "sealed_unknown": "other", "damaged": "other",
}  # fmt: skip


@pytest.fixture(scope="module")
def compared(tmp_path_factory, paper):
    """Run the script on (body, known fingerprints) pairs: what it says of each."""
    folder = tmp_path_factory.mktemp("browser")
    shutil.copy(SCRIPT, folder / "seal.mjs")
    stored = [{"name": paper.name, "size": len(paper.body), "sha256": hashlib.sha256(paper.body).hexdigest()}]

    def run(bodies, translations=(), redacted=()):
        wanted = []
        for at, (body, prints) in enumerate(bodies):
            (folder / f"{at}.pdf").write_bytes(body)
            wanted.append([str(folder / f"{at}.pdf"), stored, prints, list(translations), list(redacted)])
        (folder / "list.json").write_text(json.dumps(wanted))
        program = ["node", str(HERE / "compare.mjs"), str(folder / "seal.mjs"), str(folder / "list.json")]
        done = subprocess.run(program, capture_output=True, text=True, timeout=60)
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)

    return run


def test_it_says_of_every_attack_what_the_program_says(compared, paper, sealed, ours, theirs):
    start = len(paper.body)
    opens, ends, _ = _container(sealed, start)
    second = _signed_again(sealed.replace(b"/DocMDP", b"/DocMDX"), theirs)[len(sealed) :]
    bodies = {
        "stored": paper.body, "sealed": sealed, "again": seal(paper.body, ours), "theirs": seal(paper.body, theirs),
        "forged": seal(small_paper("Forged"), ours), "cut": sealed[:-1], "short": paper.body[:-1], "empty": b"",
        "more": paper.body + b"\n", "second signature": sealed + second, "junk": b"x" * 3000,
        "lower case": sealed[:opens] + sealed[opens:ends].lower() + sealed[ends:],
        "emptied": _holding(sealed, start, b""), "hidden": sealed[: ends - 3] + b"11" + sealed[ends - 1 :],
        **{name: body for name, (body, _) in signed_otherwise(sealed, start, ours).items()},
        **{name: added_to(sealed, change) for name, (change, _) in ADDED.items()},
    }  # fmt: skip
    said = compared([(body, [theirs.fingerprint[::-1], ours.fingerprint]) for body in bodies.values()])
    for name, one in zip(bodies, said, strict=True):
        looked = look(bodies[name], [ours.certificate], [paper])
        assert one["kind"] == AS_THE_PROGRAM_SAYS[looked.kind], name
        assert one["print"] == (looked.fingerprint if looked.paper else ""), name
    assert {one["kind"] for one in said} == {"stored", "sealed", "sealed_twin", "added", "appended", "other"}
    long = new_key("Łódź & Söhne, " * 20, AT)
    unnamed, other = compared([(sealed, []), (seal(paper.body, long), [long.fingerprint])])
    assert unnamed["kind"] == "appended", "a key that the page does not name"
    assert other == {"kind": "sealed", "name": paper.name, "print": long.fingerprint}


def test_a_translation_is_told_by_its_identifier(compared, paper, ours):
    named = b"0123456789abcdef0123456789abcdef"
    body = small_paper("Ponga 60 psi") + b"/ID [(" + named + b") (x)]"
    known, unknown = ([named.decode()], [named[::-1].decode()])
    assert compared([(body, [])], known) == [{"kind": "translation", "name": "", "print": ""}]
    assert compared([(body, [])], unknown)[0]["kind"] == "other"
    assert compared([(seal(paper.body, ours), [ours.fingerprint])], known)[0]["kind"] == "sealed"


def test_a_copy_without_personal_data_is_told_by_its_identifier_as_the_program_tells_it(compared, paper):
    named, other = b"0123456789abcdef0123456789abcdef", b"f" * 32
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(small_paper("Set to 60 psi", b"{}"))) as pdf:
        pdf.docinfo["/Title"] = "Copy"
        pdf.save(out, deterministic_id=True)
    # As the renderer writes it: in letters.
    body = re.sub(rb"/ID \[[^]]*\]", b"/ID [(" + named + b") (x)]", out.getvalue())
    for mine, says in ((named, "redacted"), (other, "unknown")):
        looked = look(body, [], [dataclasses.replace(paper, redacted=mine, copies=frozenset({other}))])
        (told,) = compared([(body, [])], [other.decode()], [mine.decode()])
        assert (looked.kind, told["kind"]) == (says, AS_THE_PROGRAM_SAYS[says])
    assert "personal data left out" in KINDS["redacted"]


def test_one_flipped_bit_in_the_seal_is_never_called_untouched(compared, paper, sealed, ours):
    start = len(paper.body)
    opens, ends, _ = _container(sealed, start)
    places = {*range(0, len(sealed), 64), *range(opens, opens + 1600, 16), ends - 2, ends - 1, len(sealed) - 1}
    bodies = []
    for at in sorted(places):
        flipped = bytearray(sealed)
        flipped[at] ^= 1 << at // 16 % 6
        bodies.append((bytes(flipped), [ours.fingerprint]))
    for at, one in zip(sorted(places), compared(bodies), strict=True):
        assert one["kind"] == ("other" if at < start else "appended"), at
