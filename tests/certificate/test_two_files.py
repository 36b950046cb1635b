"""Two files of one record: the same drawn and tagged pages, one of them with the archival claim."""

from __future__ import annotations

import io
import zlib

import pikepdf
import pydyf
import pytest

from heaterapp.certificate import two_files
from heaterapp.certificate.two_files import PaperFault

CLAIM = ("/Metadata", "/OutputIntents")


def _opened(gas, end):
    return pikepdf.open(io.BytesIO(gas[f"certificate{end}.pdf"]))


def test_only_the_archival_file_claims_to_be_one(gas):
    with _opened(gas, "") as plain, _opened(gas, "-archival") as archival:
        assert all(key in archival.Root and key not in plain.Root for key in CLAIM)
    assert b"pdfaid" not in gas["certificate.pdf"]


def test_what_is_passed_on_carries_its_pages_alone(gas):
    with _opened(gas, "") as plain, _opened(gas, "-archival") as archival:
        assert sorted(archival.attachments) == ["job-schema.json", "job.json", "report.json"]
        assert not plain.attachments
        assert "/AF" not in plain.Root
    assert b"/EmbeddedFile" not in gas["certificate.pdf"]
    assert b"/EmbeddedFile" in gas["certificate-archival.pdf"]


def test_what_names_places_in_a_file_stays_when_its_attachments_are_left_out():
    pdf, claim = pydyf.PDF(), pydyf.Stream([b"xmp"])
    file, spec, names = pydyf.Stream([b"{}"]), pydyf.Dictionary(), pydyf.Dictionary()
    for one in (file, spec, names, claim):
        pdf.add_object(one)
    spec["EF"] = pydyf.Dictionary({"F": file.reference})
    names["Names"] = pydyf.Array([pydyf.String("job.json"), spec.reference])
    pdf.catalog.update(Metadata=claim.reference, OutputIntents=pydyf.Array())
    pdf.catalog["Names"] = pydyf.Dictionary({"EmbeddedFiles": names.reference, "Dests": pydyf.Dictionary()})
    assert two_files.attached(pdf) == {file.number, spec.number, names.number}
    with pikepdf.open(io.BytesIO(two_files.without_claim(pdf, b"a", two_files.attached(pdf)))) as plain:
        assert list(plain.Root.Names.keys()) == ["/Dests"]
    assert pdf.objects[file.number] is file
    assert "EmbeddedFiles" in pdf.catalog["Names"]


def test_both_are_tagged_for_readers_aloud_and_show_the_same(gas):
    with _opened(gas, "") as plain, _opened(gas, "-archival") as archival:
        assert plain.Root.MarkInfo.Marked
        assert "/StructTreeRoot" in plain.Root
        for one, other in zip(plain.pages, archival.pages, strict=True):
            assert one.Contents.read_bytes() == other.Contents.read_bytes()


@pytest.mark.parametrize("end", ["", "-archival"])
def test_each_file_is_whole_and_bears_its_own_identifier(end, gas):
    with _opened(gas, end) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert pdf.pdf_version == "1.7"
    with _opened(gas, "") as plain, _opened(gas, "-archival") as archival:
        assert bytes(plain.trailer.ID[0]) != bytes(archival.trailer.ID[0])


def test_every_stream_is_packed_once_and_opens_again():
    pdf, line = pydyf.PDF(), b"0 0 m 100 100 l S"
    drawn, plain = pydyf.Stream([line, 7], compress=True), pydyf.Stream([line])
    for one in (drawn, plain):
        pdf.add_object(one)
    two_files.prepare(pdf)
    added = pydyf.Stream([line, 8], compress=True)
    pdf.add_object(added)
    assert zlib.decompress(drawn.stream[0]) == line + b"\n7"
    assert zlib.decompress(added.stream[0]) == line + b"\n8"
    assert drawn.extra["Filter"] == added.extra["Filter"] == "/FlateDecode"
    assert plain.stream == [line]


def test_what_is_put_into_bytes_once_is_what_the_writer_would_have_written():
    def made(prepare):
        pdf = pydyf.PDF()
        for one in (pydyf.Dictionary({"Type": "/Thing", "At": pydyf.Array([1, 2.5])}), pydyf.Stream([b"q Q"])):
            pdf.add_object(one)
        prepare(pdf)
        pdf.catalog["Later"] = "/Said"
        out = io.BytesIO()
        pdf.write(out)
        return out.getvalue()

    assert made(two_files.prepare) == made(lambda pdf: None)


def test_a_renderer_that_puts_its_claim_elsewhere_is_noticed():
    pdf, claim = pydyf.PDF(), pydyf.Stream([b"xmp"])
    pdf.add_object(claim)
    pdf.catalog["Metadata"], pdf.catalog["OutputIntents"] = claim.reference, pydyf.Array()
    assert two_files.without_claim(pdf, b"a").startswith(b"%PDF-1.7")
    assert pdf.objects[-1] is claim
    pdf.add_object(pydyf.Stream([b"later"]))
    with pytest.raises(PaperFault, match="archival claim"):
        two_files.without_claim(pdf, b"a")
