"""A real paper with a seal: every rule of ours for archival files still holds, and another reader finds it valid."""

from __future__ import annotations

import subprocess
from datetime import UTC, datetime

import pikepdf
import pytest

from heaterapp.sealing import Stored, look, new_key, seal
from tests.certificate.test_archival import RULES

NAME = "certificate-archival.pdf"


@pytest.fixture(scope="module")
def key():
    return new_key("Harborlight Plumbing", datetime(2026, 3, 14, tzinfo=UTC))


@pytest.fixture(scope="module")
def sealed(gas, key, tmp_path_factory):
    path = tmp_path_factory.mktemp("sealed") / "sealed.pdf"
    path.write_bytes(seal(gas[NAME], key))
    return path


def test_the_paper_is_an_exact_prefix_and_the_seal_a_few_kilobytes(sealed, gas, key):
    body = sealed.read_bytes()
    assert body.startswith(gas[NAME])
    assert len(body) - len(gas[NAME]) < 8_000
    stored = [Stored("C-000012", name, paper) for name, paper in gas.items()]
    looked = look(body, [key.certificate], stored)
    assert (looked.kind, looked.paper.name) == ("sealed", NAME)


def test_every_rule_for_archival_files_still_holds_but_that_our_own_papers_have_no_form(sealed):
    """A signature needs a form; the profile PDFA-3U allows one under 6.4.1 and its field under 6.3.2 and 6.3.3."""
    with pikepdf.open(sealed) as pdf:
        assert [name for name, holds in RULES.items() if not holds(pdf)] == ["no_form_and_no_xfa"]
        form = pdf.Root.AcroForm
        assert "/XFA" not in form
        assert not form.get("/NeedAppearances", False)
        (field,) = form.Fields
        assert int(field.F) & 0b100111 == 0b100, "printed, and neither invisible, hidden nor out of view"
        assert [float(one) for one in field.Rect] == [0, 0, 0, 0], "no picture of it is needed then"
        assert sorted(pdf.attachments) == ["job-schema.json", "job.json", "report.json"]


def test_another_program_s_reader_finds_the_signature_valid_and_the_whole_file_signed(sealed):
    said = subprocess.run(["pdfsig", "-nocert", str(sealed)], capture_output=True, text=True, timeout=60).stdout
    for words in ("Harborlight Plumbing", "ETSI.CAdES.detached", "Total document signed", "Signature is Valid"):
        assert words in said
    after = sealed.with_name("after.pdf")
    after.write_bytes(sealed.read_bytes() + b"% more\n")
    said = subprocess.run(["pdfsig", "-nocert", str(after)], capture_output=True, text=True, timeout=60).stdout
    assert "Total document signed" not in said.replace("Not total document signed", "")
