"""What a file is, beside the stored paper: each kind shown on a file that is of it."""

from __future__ import annotations

import asyncio
import dataclasses
import io
import logging
import re
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta, timezone

import pikepdf
import pypdf
import pytest

from heaterapp.sealing import LARGEST, Known, NotSealed, Stored, look, new_key, said_of, seal
from heaterapp.sealing.origin import origin
from heaterapp.sealing.words import CALLS, KINDS, MEANS, NEXT

from .conftest import AT, NUMBER, small_paper


@pytest.fixture(scope="module")
def kind(paper, ours):
    """Say what kind of file it is, beside the one stored paper and the firm's one key."""
    return lambda body: look(body, [ours.certificate], [paper]).kind


def test_the_stored_paper_and_its_sealed_copy_are_sound(paper, sealed, ours):
    stored, copy = (look(body, [ours.certificate], [paper]) for body in (paper.body, sealed))
    assert (stored.kind, stored.sound, stored.fingerprint) == ("stored", True, "")
    assert (copy.kind, copy.sound, copy.fingerprint) == ("sealed", True, ours.fingerprint)
    assert copy.paper is paper
    assert said_of(copy)[-1] == MEANS


def test_the_paper_is_an_exact_prefix_and_a_seal_follows_from_paper_key_and_time(paper, ours):
    noon, later = (seal(paper.body, ours, AT + timedelta(seconds=wait)) for wait in (0.2, 1))
    assert noon.startswith(paper.body)
    assert seal(paper.body, ours, AT.astimezone(timezone(timedelta(hours=-8)))) == noon
    assert later != noon
    assert look(later, [ours.certificate], [paper]).kind == "sealed"


def test_a_retired_key_s_seal_holds_as_long_as_its_certificate_is_known(paper, sealed, ours, theirs):
    assert look(sealed, [theirs.certificate, ours.certificate], [paper]).fingerprint == ours.fingerprint


def test_a_retired_key_is_told_with_its_day_and_alone_it_vouches_for_nothing(paper, sealed, ours, theirs):
    keys = [Known(theirs.certificate), Known(ours.certificate, "2026-05-01")]
    stored, forged = look(sealed, keys, [paper]), look(seal(small_paper("Forged"), ours), keys, [paper])
    assert (stored.kind, stored.retired_on, stored.sound) == ("sealed", "2026-05-01", True)
    assert (forged.kind, forged.fingerprint, forged.sound) == ("sealed_retired", ours.fingerprint, False)
    assert "retired on 2026-05-01" in " ".join(said_of(forged))
    assert "untouched" not in " ".join(said_of(forged))


def test_a_key_that_is_no_longer_trusted_is_a_stranger_that_was_ours_once(paper, sealed, ours, theirs):
    keys = [Known(theirs.certificate), Known(ours.certificate, "2026-05-01", "2026-05-02")]
    for body, found in ((sealed, paper), (seal(small_paper("Forged"), ours), None)):
        looked = look(body, keys, [paper])
        assert (looked.kind, looked.paper, looked.sound) == ("foreign_seal", found, False)
        assert "since 2026-05-02 the firm trusts it no longer" in looked.parts[-1]
    assert len(look(seal(paper.body, new_key("Another", AT)), keys, [paper]).parts) == 1


def _as_translated(number: str, language: str = "es") -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(small_paper("Ponga el aire a 60 psi"))) as pdf:
        pdf.Root.Lang, pdf.docinfo["/Title"] = pikepdf.String(language), f"Certificado {number}"
        pdf.save(out, deterministic_id=True)
    return out.getvalue()


def test_a_translation_is_told_by_its_identifier_alone(kind, paper):
    copy = _as_translated(NUMBER)
    assert kind(copy) == "lookalike"
    assert kind(_as_translated("C-000999")) == "another"
    own = bytes.fromhex(min(origin(copy).identifiers))
    assert look(copy, [], [dataclasses.replace(paper, copies=frozenset({own}))]).kind == "translation"
    assert "English" in NEXT["translation"]


@pytest.mark.parametrize("known", [True, False], ids=["another key known", "no key known"])
def test_a_key_this_firm_never_had_is_named_as_that(paper, ours, theirs, known):
    looked = look(seal(paper.body, theirs), [ours.certificate] if known else [], [paper])
    assert (looked.kind, looked.fingerprint) == ("foreign_seal", "")
    assert theirs.fingerprint in looked.parts[0]


def test_a_paper_that_is_not_among_those_compared_still_shows_its_seal(sealed, ours):
    assert look(sealed, [ours.certificate], []).kind == "sealed_unknown"


def _by_pikepdf(body: bytes) -> bytes:
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(body)) as pdf:
        pdf.save(out)
    return out.getvalue()


def _by_pypdf(body: bytes) -> bytes:
    out = io.BytesIO()
    pypdf.PdfWriter(clone_from=io.BytesIO(body)).write(out)
    return out.getvalue()


@pytest.mark.parametrize("save", [_by_pikepdf, _by_pypdf])
def test_a_paper_saved_again_by_another_program_is_told_as_that(kind, paper, sealed, save):
    # The one makes no second piece of its own for an identifier: nothing tells its saving from a change by hand.
    bare = "changed" if save is _by_pypdf else "resaved"
    assert [kind(save(paper.body)), kind(save(sealed))] == [bare, "resaved"]


def test_of_two_stored_papers_with_the_same_attachments_the_nearer_one_is_named(paper, ours):
    plain = Stored(NUMBER, "certificate.pdf", small_paper("Another lettering of the same"))
    looked = look(_by_pikepdf(paper.body), [ours.certificate], [plain, paper])
    assert (looked.kind, looked.paper) == ("resaved", paper)


def test_another_paper_is_none_of_these(kind):
    assert kind(small_paper("Another house", b'{"storage_gal":"40"}')) == "unknown"


def test_what_is_cut_short_or_empty_or_no_pdf_is_told(kind, paper, sealed):
    assert kind(b"") == "no_pdf"
    assert kind(b"\xff\xd8\xff a photo") == "no_pdf"
    assert kind(paper.body[:-1]) == "shorter"
    assert kind(paper.body[:700]) == "shorter"
    assert kind(sealed[:-1]) == "broken_seal"
    assert kind(b"%PDF-1.7\n" + paper.body[::-1]) == "damaged"


def test_fifty_megabytes_of_junk_are_refused_quickly(kind):
    began = time.process_time()
    assert kind(b"\0" * 50_000_000) == "no_pdf"
    assert kind(b"%PDF-1.7\n" + b"\0" * 50_000_000) == "damaged"
    assert kind(b"%PDF-1.7\n" + b"\0" * LARGEST) == "too_large"
    assert time.process_time() - began < 2


def test_a_byte_more_or_less_in_the_middle_is_a_change_and_its_place_is_told(paper, ours):
    for body in (paper.body[:900] + b"x" + paper.body[900:], paper.body[:900] + paper.body[901:]):
        looked = look(body, [ours.certificate], [paper])
        assert looked.kind == "changed"
        assert "from place 90" in looked.parts[0]


def test_what_follows_the_paper_and_is_no_seal_is_an_addition(kind, paper):
    assert kind(paper.body + b"\n") == "added"
    assert kind(paper.body + b"%PDF-1.7 hello") == "added"


def test_a_paper_that_is_no_pdf_or_a_key_of_another_certificate_makes_no_seal(paper, ours, theirs):
    with pytest.raises(NotSealed):
        seal(b"%PDF-1.7 no more than that", ours)
    with pytest.raises(NotSealed, match="does not hold"):
        seal(paper.body, type(ours)(ours.certificate, theirs.private))


@pytest.mark.parametrize("reader", ["_is_whole", "own_seal"])
def test_neither_reader_alone_makes_a_seal_whole(kind, sealed, monkeypatch, reader):
    where = "reading" if reader == "_is_whole" else "looking"
    monkeypatch.setattr(f"heaterapp.sealing.{where}.{reader}", lambda *_: None)
    assert kind(sealed) == "broken_seal"


def test_it_works_where_an_event_loop_runs_already(paper, ours):
    async def within():
        return look(seal(paper.body, ours), [ours.certificate], [paper]).kind

    # In a thread of its own: a browser test may have left a loop running in this one.
    with ThreadPoolExecutor(1) as thread:
        assert thread.submit(lambda: asyncio.run(within())).result() == "sealed"


def test_the_library_s_log_stays_with_us(kind, sealed, caplog):
    with caplog.at_level(logging.DEBUG):
        assert kind(sealed + sealed[-300:]) == "added_after_seal"
    assert not caplog.records


def test_every_kind_has_its_words_and_none_promises_more_than_is_known():
    said = " ".join([CALLS, *KINDS.values(), *NEXT.values()]).lower()
    assert KINDS.keys() == NEXT.keys()
    assert all(words.endswith(".") for words in (*KINDS.values(), *NEXT.values()))
    assert all(words.count(". ") == 0 for words in KINDS.values()), "one sentence"
    assert not any(word in said for word in ("safe", "guarantee", "approved", "_"))


def test_the_day_of_change_in_a_sealed_paper_s_own_data_is_the_seal_s(ours):
    with pikepdf.open(io.BytesIO(small_paper())) as pdf:
        with pdf.open_metadata() as told:
            told["xmp:ModifyDate"] = "2026-01-01T00:00:00+00:00"
        out = io.BytesIO()
        pdf.save(out, deterministic_id=True)
    body = out.getvalue()
    told = seal(body, ours, AT)[len(body) :]
    assert re.findall(rb'ModifyDate(?:=")?>?([0-9T:+-]+)', told) == [AT.isoformat().encode()], "and no clock's"
