"""What a record carries, what the log tells, and what the check page shows."""

from sqlalchemy import select

from heaterapp.archive import tables
from heaterapp.archive.canonical import EMPTY_HEAD, check_code, read_code, read_number


def test_the_record_carries_all_that_was_decided(store, firm):
    issued = firm.issued(context={"photos": 0, "language": "es"})
    record = store.records.get(firm.id, issued.record)
    assert record == store.records.by_number(firm.id, " c-000001 ")
    assert (record.job, record.report, record.signature) == (
        b'{"storage_gal":40}',
        b'{"outcome":"ready"}',
        b'{"typed":"A. Reyes"}',
    )
    assert record.facts.owner == "Mina Park"
    assert record.context == {"photos": 0, "language": "es"}
    assert record.issued_at == "2026-03-14T12:00:00Z"
    assert record.issued_by == {
        "id": firm.installer.id,
        "name": "Ana Reyes",
        "role": "installer",
        "licence": "P-17",
    }
    assert store.records.ruleset(firm.id, record.ruleset_digest) == b"the rules as a zip"
    assert record.check_code == check_code(record.content_digest) == issued.check_code


def test_later_changes_of_the_firm_do_not_reach_the_record(store, firm):
    issued = firm.issued()
    before = store.records.get(firm.id, issued.record)
    store.organisations.save(firm.id, name="Harborlight and Daughters", phone="555-0199")
    store.organisations.save_settings(firm.id, {"paper": "A4"})
    store.people.save(firm.id, firm.installer.id, name="Ana Reyes-Grant", disabled=True)
    assert store.records.get(firm.id, issued.record) == before
    assert before.organisation_snapshot["name"] == "Harborlight Plumbing"


def test_the_head_on_the_paper_is_the_entry_before(store, firm):
    record = store.records.get(firm.id, firm.issued().record)
    entries = store.log.entries(firm.id)
    assert [entry.act for entry in entries] == ["ruleset", "issue", "finish"]
    assert entries[0].previous == EMPTY_HEAD
    assert record.previous_head == entries[1].previous == entries[0].digest
    assert store.log.head(firm.id) == entries[2].digest
    assert [entry.seq for entry in store.log.entries(firm.id, after=1, limit=1)] == [2]


def test_the_log_holds_no_personal_word(store, firm):
    firm.issued()
    written = " ".join(entry.body for entry in store.log.entries(firm.id)).lower()
    assert "C-000001".lower() in written
    for word in ("mina", "oak", "0012345", "harborlight", "reyes"):
        assert word not in written


def test_salts_make_equal_contents_look_different(store, firm):
    firm.issued()
    firm.issued()
    with store.database.read() as connection:
        digests = connection.execute(select(tables.payload.c.digest).where(tables.payload.c.name == "job"))
        assert len(set(digests.scalars())) == 2


def test_the_check_page_needs_number_and_code(store, firm, other):
    issued, stranger = firm.issued(), other.issued()
    typed = issued.check_code.lower().replace("-", " ")
    public = store.records.check("c-000001", typed)
    assert public.number == issued.number
    assert public.content_digest == store.records.get(firm.id, issued.record).content_digest
    assert (public.state, public.replaced_by, public.place) == ("issued", None, "us_ca_2022")
    assert set(public.files) == {"certificate.pdf", "certificate-archival.pdf"}
    for wrong in ("", "AAAA-AAAA-AAAA", issued.check_code[:-1], issued.check_code + "A", "\0" * 12, "é" * 12):
        assert store.records.check("C-000001", wrong) is None
    assert store.records.check("C-000002", issued.check_code) is None
    assert store.records.check("C-000001", stranger.check_code).content_digest != public.content_digest
    for word in ("Mina", "Oak", "Reyes", "Harborlight"):
        assert word not in repr(public)


def test_the_check_page_says_what_replaced_it(store, firm):
    first, second = firm.issued(), firm.issued()
    public = store.records.check(first.number, first.check_code)
    assert (public.state, public.replaced_by) == ("replaced", second.number)


def test_codes_differ_and_hold_sixty_bits():
    assert check_code("f" * 64) == "7777-7777-7777"
    assert check_code("0" * 15 + "f" * 49) == "AAAA-AAAA-AAAA"
    assert check_code("0" * 14 + "1" + "0" * 49) != "AAAA-AAAA-AAAA"
    assert read_code("7777 7777 777") is None


def test_a_number_and_its_code_are_found_however_they_are_typed(store, firm):
    made = firm.issued()
    code, bare = made.check_code, made.check_code.replace("-", "").lower()
    prefix, serial = made.number.split("-")
    numbers = (
        f" {prefix.lower()} {serial} ", f"{prefix}{serial}", f"{prefix}\u2013{serial}", f"{prefix}\u2212{serial}\u200b",
        f"{prefix}-{serial[:3]} {serial[3:]}", f"{prefix}-{serial.replace('0', 'O').replace('1', 'l')}", f"{prefix}-{int(serial)}",
    )  # fmt: skip
    codes = (
        bare, " ".join(code), code.replace("-", "\u2014"), code.replace("O", "0").replace("I", "1").replace("B", "8"),
        "".join(chr(ord(one) + 0xFEE0) for one in code),
    )  # fmt: skip
    for number in numbers:
        assert store.records.check(number, code).number == made.number, number
    for typed in codes:
        assert store.records.check(made.number, typed).number == made.number, typed
    assert store.records.check(f"X{made.number}", code) is None


def test_what_is_no_number_or_code_means_none():
    for typed in ("", "-", "000123", "C-", "C-00X12Y", "TOOLONGPREFIX-1", "C-" + "9" * 20, "x" * 5000, "\u0421-000123"):
        assert read_number(typed) == (), typed
    assert read_number("L2000121")[:2] == ("L-2000121", "L2-000121")
    for typed in ("", "AAAA-BBBB-CCC9", "AAAA-BBBB-CCCCC", "\u0410AAA-BBBB-CCCC"):
        assert read_code(typed) is None, typed
