"""Attacks on sealed files, each told for what it is: nothing that was changed is ever called untouched."""

from __future__ import annotations

import hashlib
import io
from datetime import UTC, datetime

import pikepdf
import pytest
from asn1crypto import cms, parser
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature, encode_dss_signature
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.generic import pdf_name

from heaterapp.sealing import KINDS, Stored, contents, fingerprint, look, new_key, seal
from heaterapp.sealing.contents import as_written, own_seal
from heaterapp.sealing.quiet import alone
from heaterapp.sealing.twins import ORDER, lower

from .conftest import NUMBER, added_to, small_paper


def _page(writer, words=b"BT (Set tank air to 90 psi) Tj ET"):
    page = writer.root["/Pages"]["/Kids"][0]
    page[pdf_name("/Contents")] = writer.add_object(generic.StreamObject(stream_data=words))
    writer.update_container(page)


def _blank(writer):
    box = generic.ArrayObject(generic.NumberObject(one) for one in (0, 0, 612, 792))
    held = generic.DictionaryObject({pdf_name("/Type"): pdf_name("/Page"), pdf_name("/MediaBox"): box})
    pages = writer.root["/Pages"]
    held[pdf_name("/Parent")] = writer.root.raw_get("/Pages")
    pages["/Kids"].append(writer.add_object(held))
    writer.update_container(pages["/Kids"])
    writer.update_container(pages)


def _overwritten(writer):
    held = writer.root["/Pages"]["/Kids"][0].raw_get("/Contents")
    held.get_object()._data = b"BT (Set tank air to 90 psi) Tj ET"
    writer.mark_update(held)


def _catalog(writer):
    writer.root[pdf_name("/PageMode")] = pdf_name("/UseOutlines")
    writer.update_root()


def _pages(writer):
    pages = writer.root["/Pages"]
    pages["/Kids"].reverse()
    writer.update_container(pages["/Kids"])
    writer.update_container(pages)


def _form_gone(writer):
    del writer.root["/AcroForm"]
    writer.update_root()


def _attached(writer):
    from pyhanko.pdf_utils import embed

    body = embed.EmbeddedFileObject.from_file_data(writer, data=b"hidden")
    embed.embed_file(writer, embed.FileSpec("hidden.txt", embedded_data=body))


def _note(writer):
    page = writer.root["/Pages"]["/Kids"][0]
    note = {"/Type": "/Annot", "/Subtype": "/FreeText"}
    rect = generic.ArrayObject(generic.NumberObject(one) for one in (0, 0, 600, 700))
    held = generic.DictionaryObject({pdf_name(k): pdf_name(v) for k, v in note.items()})
    held[pdf_name("/Rect")] = rect
    page["/Annots"].append(writer.add_object(held))
    writer.update_container(page["/Annots"])
    writer.update_container(page)


ADDED = {
    "a page": (_page, "A page was written anew."),
    "a blank page more": (_blank, "A page was added."),
    "a page's content in its place": (_overwritten, "A stream of content was written anew."),
    "the catalog": (_catalog, "The catalog, the root of the file, was written anew."),
    "the order of pages": (_pages, "The list of pages was written anew."),
    "no form any more, so that readers find no seal": (_form_gone, "The catalog, the root of the file, was written anew."),
    "a hidden attachment": (_attached, "A file was attached."),
    "a note over all": (_note, "A note or mark was put on a page."),
}  # fmt: skip


@pytest.mark.parametrize("what", ADDED)
def test_a_revision_after_the_seal_is_told_with_what_it_adds(paper, sealed, ours, what):
    change, words = ADDED[what]
    looked = look(added_to(sealed, change), [ours.certificate], [paper])
    assert (looked.kind, looked.sound) == ("added_after_seal", False)
    assert words in looked.parts


@pytest.mark.parametrize("what", [what for what, (change, _) in ADDED.items() if change not in (_form_gone, _note)])
def test_a_revision_without_a_seal_is_an_addition(paper, ours, what):
    change, words = ADDED[what]
    looked = look(added_to(paper.body, change), [ours.certificate], [paper])
    assert looked.kind == "added"
    assert words in looked.parts


def _signed_again(body, key, field="Second"):
    from asn1crypto import keys, x509
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import signers
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    signer = signers.SimpleSigner(
        signing_cert=x509.Certificate.load(key.certificate), signing_key=keys.PrivateKeyInfo.load(key.private),
        cert_registry=SimpleCertificateStore(),
    )  # fmt: skip
    writer = IncrementalPdfFileWriter(io.BytesIO(body))
    wanted = signers.PdfSignatureMetadata(field_name=field, md_algorithm="sha256")
    again = signers.PdfSigner(wanted, signer=signer)
    return bytes(alone(lambda: again.sign_pdf(writer, output=io.BytesIO())).getbuffer())


def _allowing(body):
    """The same file, calling itself changeable, so that a library signs it again."""
    return body.replace(b"/TransformMethod /DocMDP", b"/TransformMethod /DocMDX")


def test_a_second_signature_is_told(paper, sealed, ours, theirs):
    with pytest.raises(Exception, match="forbids all changes"):
        _signed_again(sealed, theirs)
    again = _signed_again(_allowing(sealed), theirs)[len(sealed) :]
    looked = look(sealed + again, [ours.certificate], [paper])
    assert looked.kind == "added_after_seal"
    assert "Another signature was added." in looked.parts


def test_a_changed_paper_sealed_again_by_a_stranger_of_the_same_name_is_not_ours(paper, ours, theirs):
    changed = added_to(paper.body, _page)
    assert look(seal(changed, theirs), [ours.certificate], [paper]).kind == "foreign_seal"
    assert look(seal(small_paper("Forged"), theirs), [ours.certificate], [paper]).kind == "foreign_seal"


def test_a_paper_changed_before_our_own_key_sealed_it_is_not_the_stored_one(paper, ours):
    # Whoever has the key can seal anything: the stored paper, not the seal, says what was issued.
    assert look(seal(small_paper("Forged"), ours), [ours.certificate], [paper]).kind == "sealed_unknown"


def _container(sealed, start):
    opens = sealed.index(b"/Contents <", start) + len(b"/Contents ")
    ends = sealed.index(b">", opens) + 1
    return opens, ends, bytes.fromhex(sealed[opens + 1 : ends - 1].decode())


def _holding(sealed, start, raw):
    opens, ends, old = _container(sealed, start)
    assert len(raw) <= len(old)
    return sealed[: opens + 1] + raw.ljust(len(old), b"\0").hex().upper().encode() + sealed[ends - 1 :]


def test_nothing_may_hide_in_the_seal_s_own_container(paper, sealed, ours):
    start = len(paper.body)
    opens, ends, raw = _container(sealed, start)
    length = parser.peek(raw)
    info = cms.ContentInfo.load(raw[:length])
    signer = info["content"]["signer_infos"][0]
    attributes, signature = signer["signed_attrs"].untag(), signer["signature"].native
    assert as_written(ours.certificate, attributes, signature) == raw[:length]
    signer["unsigned_attrs"] = [{"type": "1.2.3.4", "values": [cms.SetOfOctetString([b"hidden"])[0]]}]
    hidden = [
        _holding(sealed, start, info.dump(force=True)),
        _holding(sealed, start, raw[:length] + b"\0\0hidden"),
        sealed[:opens] + sealed[opens:ends].lower() + sealed[ends:],
    ]
    for body in hidden:
        assert body != sealed
        assert look(body, [ours.certificate], [paper]).kind == "broken_seal"
    assert look(_holding(sealed, start, b""), [ours.certificate], [paper]).kind == "added"


def signed_otherwise(sealed, start, key):
    """Other bytes for the same two numbers, and the other number that fits: name -> (file, what it is)."""
    raw = _container(sealed, start)[2]
    signer = cms.ContentInfo.load(raw[: parser.peek(raw)])["content"]["signer_infos"][0]
    attributes, signature = signer["signed_attrs"].untag(), signer["signature"].native
    r, s = decode_dss_signature(signature)
    body = signature[2:]
    written = {
        "another element": (bytes([0x30, len(body) + 3]) + body + b"\x02\x01\x05", "broken_seal"),
        "a longer length": (b"\x30\x81" + bytes([len(body)]) + body, "broken_seal"),
        "something behind": (signature + b"\x05\x00", "broken_seal"),
        "an idle nought": (
            b"\x30" + bytes([len(body) + 1]) + b"\x02" + bytes([body[1] + 1]) + b"\0" + body[2:], "broken_seal",
        ),
        "the other number": (encode_dss_signature(r, ORDER - s), "sealed_twin"),
    }  # fmt: skip
    certificate = key.certificate
    return {
        name: (_holding(sealed, start, as_written(certificate, attributes, other)), kind)
        for name, (other, kind) in written.items()
    }


def test_a_signature_is_untouched_in_one_way_of_writing_alone(paper, sealed, ours):
    for name, (body, kind) in signed_otherwise(sealed, len(paper.body), ours).items():
        looked = look(body, [ours.certificate], [paper])
        assert body != sealed
        assert looked.kind == kind, name
        assert "untouched" not in KINDS[looked.kind]
    assert look(sealed, [ours.certificate], [paper]).kind == "sealed"
    assert lower(encode_dss_signature(7, ORDER - 3)) == lower(encode_dss_signature(7, 3))


def test_a_seal_that_does_not_hold_is_looked_for_at_the_end_alone(sealed, ours, monkeypatch):
    """A file has up to 50 MB, and a firm many keys."""
    broken = b"x" + sealed.replace(b"/ByteRange", b"/ByteRanGe")
    assert look(broken, [ours.certificate], []).kind == "changed"
    monkeypatch.setattr(contents, "TAIL", 500)
    assert look(broken, [ours.certificate], []).kind != "changed"


def test_a_range_that_leaves_something_out_does_not_hold(paper, sealed, ours):
    """Wrapped signatures: the numbers moved, so that other bytes stand between what is covered."""
    said = sealed.index(b"/ByteRange [") + len(b"/ByteRange [")
    numbers = sealed[said : sealed.index(b"]", said) + 4]
    _, a, b, c = (int(one) for one in numbers.rstrip(b" ]").split())
    for wrapped in ((0, a - 40, b, c), (0, a, b + 40, c - 40), (1, a, b, c), (0, a, b, c - 1), (0, 0, b, c), (0, a, b, 0)):
        # After the numbers the file has blanks, for numbers of more digits.
        other = (" ".join(map(str, wrapped)) + "]").encode().ljust(len(numbers))
        body = sealed[:said] + other + sealed[said + len(numbers) :]
        assert len(body) == len(sealed)
        looked = look(body, [ours.certificate], [paper])
        assert (looked.kind, looked.sound) == ("broken_seal", False), wrapped


def test_the_seal_of_one_paper_does_not_hold_on_another(paper, sealed, ours):
    other = Stored(NUMBER, "certificate.pdf", small_paper("Another"))
    looked = look(other.body + sealed[len(paper.body) :], [ours.certificate], [paper, other])
    assert (looked.kind, looked.paper) == ("broken_seal", other)


def test_shadow_content_made_ready_before_the_seal_would_change_the_stored_paper(ours):
    """Two contents in one file, the second shown by a later revision: the later revision is told."""
    ready = added_to(small_paper(), lambda writer: writer.add_object(generic.StreamObject(stream_data=b"shadow")))
    stored = Stored(NUMBER, "certificate-archival.pdf", ready)
    sealed = seal(ready, ours)
    assert look(sealed, [ours.certificate], [stored]).kind == "sealed"
    assert look(added_to(sealed, _overwritten), [ours.certificate], [stored]).kind == "added_after_seal"


def test_one_flipped_bit_in_every_64th_byte_is_a_change_wherever_it_is(paper, sealed, ours):
    seen = set()
    for body in (paper.body, sealed):
        for at in range(0, len(body), 64):
            flipped = bytearray(body)
            flipped[at] ^= 1 << at // 64 % 8
            looked = look(bytes(flipped), [ours.certificate], [paper])
            assert looked.kind in ("changed", "broken_seal"), at
            assert looked.kind == "changed" or at >= len(paper.body), at
            assert looked.kind == "broken_seal" or f"at place {at:,} " in looked.parts[0]
            seen.add(looked.kind)
    assert seen == {"changed", "broken_seal"}


def test_every_byte_of_the_container_is_held_though_the_signature_cannot_cover_it(paper, sealed, ours):
    opens, ends, _ = _container(sealed, len(paper.body))
    for at in (*range(opens, opens + 1600, 9), *range(opens + 1600, ends, 101), ends - 1):
        flipped = bytearray(sealed)
        flipped[at] ^= 0x20 if at % 2 else 1
        assert own_seal(bytes(flipped), [ours.certificate], len(paper.body)) is None, at


def test_a_key_is_its_certificate_s_own_and_named_by_it(ours):
    from cryptography import x509

    held = x509.load_der_x509_certificate(ours.certificate)
    assert fingerprint(ours.certificate) == hashlib.sha256(ours.certificate).hexdigest() == ours.fingerprint
    assert held.subject == held.issuer
    assert held.subject.rfc4514_string() == "CN=Harborlight Plumbing"
    assert held.not_valid_after_utc.year == 9999
    assert held.extensions.get_extension_for_class(x509.KeyUsage).value.content_commitment
    assert repr(ours) == f"Key({ours.fingerprint[:16]})"
    with pytest.raises(ValueError, match="no"):
        new_key("  ", datetime(2026, 3, 14, tzinfo=UTC))
    assert new_key("Ł" * 200, datetime(2026, 3, 14, tzinfo=UTC)).certificate


def test_the_paper_opens_as_before_and_the_seal_is_not_seen(paper, sealed):
    with pikepdf.open(io.BytesIO(paper.body)) as before, pikepdf.open(io.BytesIO(sealed)) as after:
        assert len(before.pages) == len(after.pages) == 2
        shown = [page.Contents.read_bytes() for page in after.pages]
        assert shown == [page.Contents.read_bytes() for page in before.pages]
        (field,) = after.Root.AcroForm.Fields
        assert [float(one) for one in field.Rect] == [0, 0, 0, 0]
        assert after.Root.Perms.DocMDP.Reference[0].TransformParams.P == 1
        assert after.attachments["job.json"].get_file().read_bytes() == b'{"storage_gal":"50"}'
