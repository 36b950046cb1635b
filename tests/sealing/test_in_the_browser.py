"""The check page's own scripts tell the same of a file as the program does, run by Node on the same attacks."""

from __future__ import annotations

import dataclasses
import io
import re
import resource
import time
import zlib

import pikepdf
import pypdf
import pytest

from heaterapp.sealing import Known, new_key, origin, seal
from heaterapp.sealing.words import KINDS, NEXT

from .asking import Both, alike
from .conftest import AT, NUMBER, added_to, forged, small_paper
from .test_tampered import ADDED, _container, _holding, _signed_again, signed_otherwise


@pytest.fixture(scope="module")
def both(tmp_path_factory):
    return Both(tmp_path_factory.mktemp("browser"))


def saved_again(body, **how):
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(body)) as pdf:
        pdf.save(out, **how)
    return out.getvalue()


def by_another(body):
    out = io.BytesIO()
    pypdf.PdfWriter(clone_from=io.BytesIO(body)).write(out)
    return out.getvalue()


def printed_anew(body, title):
    """The pages alone in a new file, as a print to a file is: no identifier of ours, no attachment."""
    out = io.BytesIO()
    made = pypdf.PdfWriter()
    for page in pypdf.PdfReader(io.BytesIO(body)).pages:
        made.add_page(page)
    made.add_metadata({"/Title": title})
    made.write(out)
    return out.getvalue()


@pytest.fixture(scope="module")
def titled(paper):
    """The paper as papers are: with its number in its title."""
    return dataclasses.replace(paper, body=small_paper(title=f"Installation certificate {NUMBER}"))


def tampered(paper, ours):
    """Name -> (file, kind, what the page tells where it knows less): changed bytes, savings, revisions, other papers."""
    body, sealed = paper.body, seal(paper.body, ours)
    middle, packed = len(body) // 2, {"object_stream_mode": pikepdf.ObjectStreamMode.generate}
    another = small_paper("Another house", b'{"storage_gal":"40"}', "Installation certificate C-000999")
    xmp = b"<dc:title><rdf:Alt><rdf:li xml:lang='x-default'>Findings report F-000007</rdf:li></rdf:Alt></dc:title>"
    return {
        "the very file": (body, "stored"), "sealed": (sealed, "sealed"),
        "a changed byte": (body[:middle] + bytes([body[middle] ^ 1]) + body[middle + 1 :], "changed"),
        "a changed byte under the seal": (sealed[:middle] + b"~" + sealed[middle + 1 :], "changed"),
        "a byte put in": (body[:middle] + b"~" + body[middle:], "changed"),
        "a byte taken out near its beginning": (body[:90] + body[91:], "changed", "shorter"),
        "a byte put in under the seal": (sealed[:300] + b"~" + sealed[300:], "changed"),
        "a third written over": (body[:700] + bytes(600) + body[1300:], "changed"),
        "cut short": (body[:-1], "shorter"), "cut in the middle": (body[:middle], "shorter", "damaged"),
        "forged behind most of it": (forged(body[: len(body) * 63 // 64]), "changed", "resaved"),
        "forged behind all but its end": (forged(body[:-21]), "changed"),
        "forged, shorter": (forged(body[:-21])[: len(body) - 1], "changed", "shorter"),
        "forged, without its identifier": (forged(body[: body.index(b"/ID")]), "changed", "lookalike"),
        "its identifier hit": (body.replace(b"/ID [(", b"/ID [(~"), "changed", "lookalike"),
        "the second piece of its identifier hit": (body.replace(b") (", b") (~"), "changed", "resaved"),
        "its first word hit": (b"~" + body[1:], "changed"),
        "its first bytes alone": (body[:60], "damaged"),
        "saved again": (saved_again(body), "resaved"),
        "saved again, packed": (saved_again(body, **packed), "resaved"),
        "saved again, for the web": (saved_again(body, linearize=True), "resaved"),
        "saved again by another, under its whole identifier": (by_another(body), "changed"),
        "saved again with its seal": (saved_again(sealed, **packed), "resaved"),
        "an appended revision": (added_to(body, ADDED["a page"][0]), "added"),
        "an appended revision after the seal": (added_to(sealed, ADDED["a page"][0]), "added_after_seal"),
        "much after the seal": (sealed + bytes(300_000), "added_after_seal"),
        "printed anew": (printed_anew(body, f"Installation certificate {NUMBER}"), "lookalike"),
        "printed anew, without a title": (printed_anew(body, "paper.pdf"), "unknown"),
        "another paper": (another, "another"), "another, packed": (saved_again(another, **packed), "another"),
        "another, sealed": (seal(another, ours), "sealed_unknown"),
        "another by its description": (small_paper("Findings", b"{}").replace(b"startxref", xmp + b"\nstartxref"), "another"),
        "a title that would do harm": (small_paper("x", b"{}", "<b>C-000124</b>&\x00\u202e"), "another"),
        "empty": (b"", "no_pdf"), "a photo": (b"\xff\xd8\xff\xe0" + bytes(range(256)) * 40, "no_pdf"),
        "no end": (b"%PDF-1.7\n" + bytes(5000), "damaged"),
    }  # fmt: skip


def test_each_way_to_tamper_is_told_for_what_it_is_by_both(both, titled, ours):
    cases = tampered(titled, ours)
    plain = dataclasses.replace(titled, name="certificate.pdf", body=small_paper("Plain", title=f"Certificate {NUMBER}"))
    pairs = both([body for body, *_ in cases.values()], [ours], [plain, titled])
    for (name, (body, kind, *page)), (looked, told) in zip(cases.items(), pairs, strict=True):
        assert (looked.kind, told["kind"]) == (kind, *(page or [kind])), name
        assert alike(looked, told, body), (name, looked, told)
        if told["kind"] in ("added", "broken_seal"):
            assert looked.parts[0] == f"{told['more']:,} bytes follow the paper.", name
        if told["kind"] == "shorter":
            assert told["whole"] == len(looked.paper.body) > len(body), name
        assert (looked.kind == "changed") == ("at place" in (said := " ".join(looked.parts)) or "from place" in said), name
    assert {kind for _, *kinds in cases.values() for kind in kinds} <= KINDS.keys() == NEXT.keys()
    assert not any(word in NEXT["shorter"] + KINDS["shorter"] for word in ("only the beginning", "may have"))


def test_what_a_file_calls_itself_is_told_and_never_more_than_a_number(both, titled, ours):
    titles = {"Certificate C-000999": "C-000999", "C-1<script>": "C-1", "XC-000999Y": "", "c-000999": "", "LONGPREFIX-1": ""}
    titles |= {"\U0001f600" * 120 + " C-000999": "C-000999", "\U0001f600" * 192 + " C-000999": "", "x" * 198 + " C-000999": ""}
    titles |= {"Zertifikat \u201eF-7\u201c": "F-7", "(C-000999\\)": "C-000999", "x" * 300 + " C-000999": ""}
    bodies = [small_paper("x", b"{}", title) for title in titles]
    assert len("\U0001f600" * 191 + " C-000999") == 200
    for (looked, told), title in zip(both(bodies, [ours], [titled]), titles, strict=True):
        assert (looked.number, told["number"]) == (titles[title],) * 2, title
        assert looked.kind == told["kind"] == ("another" if titles[title] else "unknown")


def test_a_packed_description_is_read_as_far_as_it_is_whole_whatever_is_said_of_its_length(both, titled, ours):
    # The title stands at the end, in what a sum that does not fit would take along.
    xmp = bytes(range(61, 256)) + b"<dc:title><rdf:Alt><rdf:li>Findings report F-000007</rdf:li></rdf:Alt></dc:title>"
    packed, whole = zlib.compress(xmp), small_paper("x", b"{}")
    wrong = packed[:-1] + bytes([packed[-1] ^ 1])
    cases = [(packed, b"%d" % len(packed)), (packed, b"12 0 R"), (packed, b"1234 0 R"), (packed, b"5 0 R"), (wrong, b"12 0 R"),
             (wrong, b"%d" % len(wrong)), (packed[:-8], b"%d" % (len(packed) - 8)), (packed, b"8")]  # fmt: skip
    held = b"11 0 obj\n<</Type/Metadata/Subtype/XML/Filter/FlateDecode/Length %s>>\nstream\n%s\nendstream\nendobj\nxref"
    bodies = [whole.replace(b"xref", held % (length, body), 1) for body, length in cases]
    for (looked, told), (_, length) in zip(both(bodies, [ours], [titled]), cases, strict=True):
        assert looked.number == told["number"] == ("" if length == b"8" else "F-000007"), length


def test_a_file_of_nothing_but_beginnings_costs_no_more_than_its_length(both, titled, ours, monkeypatch):
    """Read anew for each, it cost 13 s of processor time on a server and 57 s in a browser; so it is 0.1 s and 1 s."""
    body = b"%PDF-1.7\n" + b"1 0 obj<</Type/Metadata/FlateDecode>>stream\nxx" * 2000
    body += (b"<dc:title>" * 20 + b"<rdf:li" * 20) * 2000
    body += bytes(8_000_000 - len(body))
    spent = lambda: time.process_time() + sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])  # noqa: E731
    began = spent()
    ((looked, told),) = both([body], [ours], [titled])
    assert looked.kind == told["kind"] == "damaged"
    assert spent() - began < 8
    opened: list[int] = []
    monkeypatch.setattr(origin, "_inflated", lambda packed: opened.append(len(packed)) or b"")
    origin.number_in(body)
    assert 0 < sum(opened) <= origin.MOST_IN_ALL, "bytes to be opened"


def test_it_says_of_every_attack_on_the_seal_what_the_program_says(both, paper, sealed, ours, theirs):
    start = len(paper.body)
    opens, ends, _ = _container(sealed, start)
    second = _signed_again(sealed.replace(b"/DocMDP", b"/DocMDX"), theirs)[len(sealed) :]
    bodies = {
        "again": seal(paper.body, ours), "theirs": seal(paper.body, theirs), "forged": seal(small_paper("Forged"), ours),
        "forged by a stranger": seal(small_paper("Forged"), theirs),
        "cut": sealed[:-1], "more": paper.body + b"\n", "second signature": sealed + second, "junk": b"x" * 3000,
        "lower case": sealed[:opens] + sealed[opens:ends].lower() + sealed[ends:],
        "emptied": _holding(sealed, start, b""), "hidden": sealed[: ends - 3] + b"11" + sealed[ends - 1 :],
        **{name: body for name, (body, _) in signed_otherwise(sealed, start, ours).items()},
        **{name: added_to(sealed, change) for name, (change, _) in ADDED.items()},
    }  # fmt: skip
    seen = set()
    pairs = both(list(bodies.values()), [theirs and ours], [paper])
    for (name, body), (looked, told) in zip(bodies.items(), pairs, strict=True):
        assert alike(looked, told, body), (name, looked, told)
        seen.add(told["kind"])
    assert seen == {
        "sealed", "sealed_twin", "sealed_unknown", "added", "added_after_seal", "broken_seal", "foreign_seal", "no_pdf"
    }  # fmt: skip
    long = new_key("Łódź & Söhne, " * 20, AT)
    ((looked, told),) = both([seal(paper.body, long)], [long, ours], [paper])
    assert looked.kind == told["kind"] == "sealed"


def test_a_retired_and_a_distrusted_key_are_told_alike(both, paper, sealed, ours):
    other = seal(small_paper("Forged"), ours)
    for key, kinds in (
        (Known(ours.certificate, "2026-05-01"), ["sealed", "sealed_retired"]),
        (Known(ours.certificate, "2026-05-01", "2026-05-02"), ["foreign_seal", "foreign_seal"]),
    ):
        pairs = both([sealed, other], [key], [paper])
        assert [told["kind"] for _, told in pairs] == kinds
        assert all(alike(*pair, body) for pair, body in zip(pairs, (sealed, other), strict=True))


def test_a_copy_that_is_not_kept_is_told_by_its_identifier(both, paper, ours):
    named, other = b"0123456789abcdef0123456789abcdef", b"f" * 32
    stored = dataclasses.replace(paper, copies=frozenset({named}), redacted=other)
    # As the renderer writes it: in letters.
    made = [re.sub(rb"/ID \[[^]]*\]", b"/ID [(" + one + b") (x)]", small_paper("Ponga 60 psi", b"{}")) for one in (named, other, b"0" * 32)]
    bodies = [*made, *map(saved_again, made)]
    for (looked, told), kind in zip(both(bodies, [ours], [stored]), ["translation", "redacted", "unknown"] * 2, strict=True):
        assert looked.kind == told["kind"] == kind
    assert "personal data left out" in KINDS["redacted"]


def test_one_flipped_bit_is_never_called_untouched_and_told_alike(both, paper, sealed, ours):
    start = len(paper.body)
    opens, ends, _ = _container(sealed, start)
    places = sorted({*range(0, len(sealed), 192), *range(opens, opens + 1600, 48), ends - 2, ends - 1, len(sealed) - 1})
    bodies = []
    for at in places:
        flipped = bytearray(sealed)
        flipped[at] ^= 1 << at // 48 % 6
        bodies.append(bytes(flipped))
    for at, body, (looked, told) in zip(places, bodies, both(bodies, [ours], [paper]), strict=True):
        assert alike(looked, told, body), (at, looked, told)
        assert looked.kind == ("changed" if at < start else "broken_seal"), at
