"""A corrected paper says in one line what was wrong, who put it right and which paper was signed."""

from __future__ import annotations

import dataclasses
import io
import json
from typing import Any

import pypdf
import pytest

from heaterapp.certificate.content import paper_of
from heaterapp.certificate.corrected import corrects
from heaterapp.certificate.cover import Cover, pressed
from heaterapp.certificate.filed import Filed

CORRECTION = {
    "corrects": "C-000011", "signed_for": "C-000009", "signed_by": "Ana Reyes", "signed_at": "2026-09-03T10:00:00Z",
    "changes": [
        {"question": "owner_name", "label": "Owner", "old": "Mina Pak", "new": "Mina Park"},
        {"question": "address_unit", "label": "Unit", "old": "", "new": "B"},
    ],
}  # fmt: skip


def corrected(record: Any, **different: Any) -> Any:
    usual = {
        "revision": 3, "replaces_number": "C-000011", "reason": "misspelt",
        "issued_by": {"name": "Olu Grant", "role": "office"}, "context": {"correction": CORRECTION},
    }  # fmt: skip
    return dataclasses.replace(record, **{**usual, **different})


def test_the_line_names_old_and_new_who_why_and_the_signed_paper(record_of: Any) -> None:
    record = corrected(record_of("gas_storage_us_ca"))
    said = paper_of(Filed.of(record)).replaces
    assert said == (
        "Revision 3, corrects C-000011: Owner was Mina Pak, now Mina Park; Unit was not given, now B"
        " (misspelt; Olu Grant). Signed for C-000009 by Ana Reyes on 2026-09-03 UTC."
    )


@pytest.mark.parametrize(
    ("zone", "at", "day"),
    [
        ("America/Los_Angeles", "2026-11-27T05:12:00Z", "26 Nov 2026"), ("UTC", "2026-11-27T05:12:00Z", "27 Nov 2026"),
        ("Asia/Tokyo", "2026-11-27T16:00:00Z", "28 Nov 2026"), (None, "2026-11-27T05:12:00Z", "2026-11-27 UTC"),
        ("UTC", "long ago", "long ago"), ("Asia/Tokyo", "2026-11-27T16:00:00", "2026-11-27"),
        ("UTC", "2026-19-39T00:00:00Z", "2026-19-39"),
    ],
)  # fmt: skip
def test_the_day_of_signing_is_the_firm_s_own(zone: str | None, at: str, day: str, record_of: Any) -> None:
    context = {"correction": {**CORRECTION, "signed_at": at}}
    settings = {"settings": {"time_zone": zone} if zone else {}}
    filed = Filed.of(corrected(record_of("gas_storage_us_ca"), context=context))
    said = corrects(dataclasses.replace(filed, organisation={**filed.organisation, **settings}))
    assert said.endswith(f" by Ana Reyes on {day}.")


def test_an_unsigned_list_names_no_signature_and_others_stay_as_they_were(record_of: Any) -> None:
    bare = {**CORRECTION, "signed_by": "", "changes": CORRECTION["changes"][:1]}
    record = record_of("gas_storage_us_ca")
    said = paper_of(Filed.of(corrected(record, context={"correction": bare}))).replaces
    assert said == "Revision 3, corrects C-000011: Owner was Mina Pak, now Mina Park (misspelt; Olu Grant)."
    plain = dataclasses.replace(
        record, revision=2, replaces_number="C-000011", reason="pressure read again"
    )
    assert paper_of(Filed.of(plain)).replaces == "Replaces C-000011: pressure read again"


def test_a_mark_under_a_corrected_paper_belongs_to_the_answers_of_the_signed_one(record_of: Any) -> None:
    signature = json.dumps({"signatures": [
        {"role": role, "name": "Ana Reyes", "method": "typed", "statement": "I", "answers_sha256": "5c" * 32}
        for role in ("installer", "homeowner")
    ]}).encode()  # fmt: skip
    plain = dataclasses.replace(record_of("gas_storage_us_ca"), signature=signature)
    for record, belongs in ((plain, "these answers only."), (corrected(plain), "the answers of C-000009.")):
        signed = paper_of(Filed.of(record)).signatures
        assert [f"the mark belongs to {belongs}" in one.how for one in signed] == [True, True]


@pytest.mark.parametrize(
    ("former", "reason", "says"),
    [
        ({"void": True}, "", "Replaces C-000011, which was void: Serial number was 0777, now 0779; Set temperature was not given, now 120 °F."),
        ({"items": 9, "more": 3}, "read again.", "Replaces C-000011, which had 9 items to put right: Serial number was 0777, now 0779; Set temperature was not given, now 120 °F; 3 more answers changed (read again)."),
        ({"items": 1, "changes": []}, "", "Replaces C-000011, which had 1 item to put right."),
        ({"number": "C-000010"}, "", "Replaces C-000011"),
        ({"changes": [
            {"question": "place", "old": "us_ca_2022", "new": "us_wa"}, {"question": "owner_name", "old": "Dana", "new": None},
            {"question": "thermostat_f", "old": {"could_not_measure": "Dana locked it"}, "new": "120"},
        ]}, "", "Replaces C-000011: Adopted codes was California 2022: state codes on the UPC 2021 and NEC 2020, now"
            " Washington: state amendments as far as read, on the UPC 2021 and NEC 2023; Owner was Dana, now not given; Set temperature could not be measured, now 120 °F."),
    ],
)  # fmt: skip
def test_a_paper_signed_anew_says_what_the_one_before_it_was_and_what_changed(
    former: dict[str, Any], reason: str, says: str, record_of: Any
) -> None:
    changes = [{"question": "heater_serial", "old": "0777", "new": "0779"}, {"question": "thermostat_f", "old": None, "new": "120"}]
    context = {"replaced": {"number": "C-000011", "void": False, "items": 0, "changes": changes, "more": 0, **former}}
    record = dataclasses.replace(record_of("gas_storage_us_ca"), replaces_number="C-000011", reason=reason, context=context)
    assert paper_of(Filed.of(record)).replaces.replace("\u00a0", " ") == says


def test_the_cover_is_one_page_in_the_same_bytes_with_every_word_escaped() -> None:
    cover = Cover(
        "C-000001", "Certificate", "2026-09-03", "C-000001 is void since 2026-10-01.", "Harborlight & Sons", ("<b>",),
        "Bay Insurance", "claim <77>", "The owner has agreed.", "2026-11-26 10:00 UTC", "Olu Grant",
        (("certificate.pdf", "ab" * 32),),
    )  # fmt: skip
    body = pressed(cover)["cover.pdf"]
    (page,) = pypdf.PdfReader(io.BytesIO(body)).pages
    for words in ("Harborlight & Sons", "claim <77>", "Bay Insurance", "is void since", "ab" * 32):
        assert words in page.extract_text(), words
    assert pressed(cover)["cover.pdf"] == body
    assert pressed(dataclasses.replace(cover, purpose="claim 78"))["cover.pdf"] != body
