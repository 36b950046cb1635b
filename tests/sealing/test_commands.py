"""The commands: check-paper names each case with its exit status; seal-key lists and makes keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from heaterapp import archive
from heaterapp.__main__ import main
from heaterapp.archive import Facts, Submission
from heaterapp.sealing import LARGEST, Key, new_key, seal
from heaterapp.sealing.words import CALLS, KINDS, NEXT, grouped
from tests.archive.conftest import quickly_hashed

from .conftest import small_paper
from .test_in_the_browser import saved_again


def titled(words: str, number: str) -> bytes:
    return small_paper(words, title=f"Certificate {number}")


@pytest.fixture(scope="module")
def place(tmp_path_factory):
    """A firm with two papers, one of them void, and a key: (store, record, its papers)."""
    folder = tmp_path_factory.mktemp("place")
    with quickly_hashed():
        yield from _filled(folder)


def _filled(folder):
    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default().id
    store.organisations.save(firm, name="Harborlight Plumbing")
    person = store.people.add(firm, "ana", "Ana Reyes", "owner", "a long password").id

    def issue(key: str):
        job = store.jobs.create(firm, person)
        issued = store.issue_and_finish(
            Submission(
                organisation=firm, person=person, job_id=job.id, key=key, kind="certificate", job=b"{}", report=b"{}",
                signature=b"{}", ruleset_digest="r", ruleset_version="1", ruleset_zip=b"zip", facts=Facts(),
            ),
            lambda record: {
                "certificate.pdf": titled("plain", record.number),
                "certificate-archival.pdf": titled("archival", record.number),
            },
        )  # fmt: skip
        return store.records.get(firm, issued.record)

    first, second = issue("first-key"), issue("second-key")
    store.void(firm, second.id, person, "wrong house")
    yield store, folder, first, second
    store.close()


@pytest.fixture
def check(place, tmp_path, monkeypatch, capsys):
    """Run check-paper on a body: (exit status, all that it said)."""
    monkeypatch.setenv("HEATERAPP_DATA", str(place[1]))

    def run(body: bytes, *more: str) -> tuple[int, str]:
        path = tmp_path / "given.pdf"
        path.write_bytes(body)
        done = main(["check-paper", str(path), *more])
        said = capsys.readouterr()
        return done, said.out + said.err

    return run


@pytest.fixture
def paper(place):
    store, _, first, _ = place
    return store.records.file(first.organisation, first.id, "certificate-archival.pdf")


def test_keys_are_made_and_listed(place, check, paper, monkeypatch, capsys):
    store, _, first, _ = place
    assert main(["seal-key"]) == 0
    assert "no key yet" in capsys.readouterr().out
    assert main(["seal-key", "--new"]) == main(["seal-key", "--new"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3
    held, key = store.seals.with_key(first.organisation)
    assert lines[1].startswith(grouped(held.fingerprint) + "  since ")
    assert "  from " in lines[2]
    done, said = check(seal(paper, Key(held.certificate, key)))
    assert (done, said.splitlines()[0]) == (0, KINDS["sealed"])
    assert grouped(held.fingerprint) in said
    assert f"{first.number}: the current paper of its job." in said


def test_the_paper_is_found_by_its_title_by_number_or_by_number_and_code(place, check, paper):
    _, _, first, _ = place
    for more in ((), ("--number", first.number), ("--number", first.number.replace("-", " ").lower(), "--code", first.check_code), ("--number", first.number.replace("-", "\u2013"))):
        assert check(paper, *more)[0] == 0


def test_a_void_paper_that_is_whole_is_told_to_be_void(place, check):
    store, _, _, second = place
    done, said = check(store.records.file(second.organisation, second.id, "certificate.pdf"))
    assert (done, said.splitlines()[0]) == (0, KINDS["stored"])
    assert f"{second.number}: void: it holds no more." in said


def test_what_is_not_the_paper_ends_with_one_and_says_what_it_is(place, check, paper):
    _, _, first, _ = place
    flipped = bytearray(paper)
    flipped[100] ^= 1
    cases = {
        "changed": bytes(flipped), "shorter": paper[:-9], "added": paper + b"x", "no_pdf": b"",
        "resaved": saved_again(paper), "another": titled("x", "C-999999"),
    }  # fmt: skip
    for kind, body in cases.items():
        done, said = check(body, "--number", first.number)
        assert (done, said.splitlines()[:2]) == (1, [KINDS[kind], NEXT[kind]])
    assert CALLS.format(number="C-999999") in said
    done, said = check(small_paper("Another"))
    assert done == 1
    assert "compared with no stored paper" in said


def test_another_firm_s_key_in_the_same_archive_is_not_this_firm_s(place, check, paper):
    store, _, first, _ = place
    other = store.organisations.add("saltmarsh", "Saltmarsh Heating").id
    key = new_key("Saltmarsh Heating", store.database.moment())
    store.seals.make(other, None, key.certificate, key.private)
    done, said = check(seal(paper, key), "--number", first.number)
    assert (done, said.splitlines()[0]) == (1, KINDS["foreign_seal"])


def test_a_wrong_number_or_code_and_a_file_that_is_not_there_end_with_two(place, check, paper, tmp_path):
    _, _, first, second = place
    wrong = check(paper, "--number", first.number, "--code", second.check_code)
    unknown = check(paper, "--number", "C-999999", "--code", first.check_code)
    assert wrong == unknown == (2, "No paper has this number with this code. Check both against the paper.\n")
    assert check(paper, "--number", "C-999999") == (2, "C-999999: no record has this number.\n")
    assert check(paper, "--code", first.check_code)[0] == 2
    assert main(["check-paper", str(tmp_path / "none.pdf")]) == 2


def test_what_is_too_large_is_not_even_read(check, tmp_path, capsys, monkeypatch):
    huge = tmp_path / "huge.pdf"
    with huge.open("wb") as file:
        file.truncate(LARGEST + 1)
    monkeypatch.setattr(Path, "read_bytes", lambda path: pytest.fail("it was read"))
    assert main(["check-paper", str(huge)]) == 1
    assert KINDS["too_large"] in capsys.readouterr().err
