"""What stands on the papers, read back out of the PDF."""

from __future__ import annotations

import html
import io
import json
import logging
import re

import pikepdf
import pypdf
import pytest

from heaterapp.certificate import NotReady, render_here, wording
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.findings import name_of, topic_words
from heaterapp.certificate.press import html_of
from heaterapp.certificate.setting import Setting
from heaterapp.sheet.bounds import found_words
from heaterapp.sheet.workings import working_words
from tests.certificate.printed import printed

BANNED = re.compile(r"\b(safe|guaranteed?|approved|passed|passes inspection|compliant)\b", re.IGNORECASE)


def _pages(pdf: bytes) -> int:
    return len(pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_a_record_gives_two_files_by_its_kind(gas, to_fix):
    assert list(gas) == ["certificate.pdf", "certificate-archival.pdf"]
    assert list(to_fix) == ["correction-list.pdf", "correction-list-archival.pdf"]


def test_a_usual_gas_job_is_two_letter_pages(gas):
    for pdf in gas.values():
        assert _pages(pdf) == 2
        assert [float(v) for v in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox] == [0, 0, 612, 792]


def test_a_usual_electric_job_is_two_pages_without_gas_cautions(record_of):
    pdf = render_here(record_of("electric_storage_irc"))["certificate.pdf"]
    assert _pages(pdf) == 2
    text = printed(pdf)
    assert "Electricity:" in text
    assert "Smell gas?" not in text


def test_a4_by_the_firm_s_setting(record_of):
    firm = {"name": "Harborlight Plumbing", "settings": {"paper": "a4"}}
    pdf = render_here(record_of(organisation_snapshot=firm))["certificate.pdf"]
    box = [float(v) for v in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].mediabox]
    assert box[2:] == pytest.approx([595.3, 841.9], abs=0.1)


def test_the_face_of_a_certificate(gas, record_of):
    text = printed(gas["certificate.pdf"])
    for said in (
        "Harborlight Plumbing", "Installation certificate", "C-000012", "Revision 1", "issued 2026-11-25 17:03 UTC", "page 1 of 2",
        "page 2 of 2", "12 N. Oak Ave", "Dana Whitlock", "LW26K0041877", "B26-01877", "UPC Uniform Plumbing Code 2021",
        "not a permit, and not an inspection", "7KQ2-M4XD-9TRA", "c0ffee" * 10 + "abcd", "3f" * 32, "ab" * 32,
        "I installed this water heater.", "Riley Okafor",
    ):  # fmt: skip
        assert said in text, said
    first = printed(gas["certificate.pdf"], 0)
    assert first.startswith("Harborlight Plumbing"), "the contractor's name leads"
    assert text.count("heaterapp") == 2, "the program is named in the foot of each page only"


def test_every_check_stands_with_found_limit_and_section(gas, record_of):
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(gas["certificate.pdf"])).pages))
    report = json.loads(record_of().report)
    assert len(report["findings"]) > 60
    for one in report["findings"]:
        name = name_of(one)
        if one["verdict"] != "meets":
            assert name.lower() in text.lower() or one["title"].rstrip(".") in text, one["check"]
            continue
        found, limit = found_words(one)
        mark = "○" if one["kind"] == "advice" else "●"
        shown = f"{mark} {name} {found}"
        at = text.find(re.sub(r"\s+", " ", shown))
        assert at >= 0, shown
        line = text[at : at + 220]
        assert one["section"] in line, one["check"]
        assert limit in line or one["limit"] == one["found"], one["check"]
        above = text[text.index("Checks that meet") : at]
        assert f"{topic_words(one['topic'])} " in above
        assert above.count("● checks that meet found, limit, section") >= 2, "over both columns"


IN_WORDS = (
    "1000 × plate kW × volts / (plate volts × plate volts × circuits)",
    "load on the strap / (2 × cosine of the legs' angle), in one leg",
    "table value in lb an inch × the factor of a short load × inches of full thread",
    "empty weight + weight of a gallon of cold water × gallons", "weight when full / 3",
    "14.696 psia at sea level × (1 − 0.0000068754 × elevation in ft) to the power 5.2559",
    "water heated × (its density cold / its density hot − 1)", "225 × 1.6 × 1.8438 in = 663.7 lb, rounded down",
    "thickness / the table's", "charged to the house pressure",
)  # fmt: skip


@pytest.mark.parametrize(("job", "brief"), [("electric_storage_irc", False), ("heat_pump_irc_2021", True)])
def test_every_figure_stands_with_its_working(job, brief, record_of):
    """The formula in words stands before it, unless the paper is so full that it refers to the report on record."""
    record = record_of(job)
    if brief:
        set_so = html_of(paper_of(Filed.of(record)), Setting("close numbers"))
        text = re.sub(r"\s+", "", html.unescape(re.sub(r"<[^>]+>", "", set_so)))
    else:
        text = printed(render_here(record)["certificate.pdf"]).replace(" ", "")
    figures = json.loads(record.report)["figures"]
    assert len(figures) >= 10
    # a tank set as it should be reaches one pressure: its working stands once, under the tank as set
    same, once = "peak_pressure_psi", "peak_pressure_as_recommended_psi"
    assert figures[once]["worked"] == figures[same]["worked"]
    assert text.count(re.sub(r"\s+", "", working_words(figures[once]["worked"]))) == 1
    for name, one in figures.items():
        if one["worked"]:
            assert re.sub(r"\s+", "", working_words(one["worked"])) in text, name
    for words in () if brief else IN_WORDS:
        assert words.replace(" ", "") in text, words
    assert ("theformulasinsymbolsareinthereportkeptonrecord" in text) == brief


def test_what_was_assumed_accepted_as_usual_or_is_unusual_is_said(record_of):
    text = printed(render_here(record_of(changes={"street_pressure_psi": 390, "cold_inlet_f": None}))["certificate.pdf"])
    assert "Unusual values, kept as given" in text
    assert "390 is unusual" in text
    assert "Cold water: 50 °F" in text
    assert "Accepted as usual, not measured" in text


def test_what_was_taken_back_is_not_said_to_be_accepted(record_of):
    changes = {"relief_temperature_f": None, "accepted_as_usual": ["relief_pressure_psi", "relief_temperature_f"]}
    text = printed(render_here(record_of("gas_tankless_irc_2021", changes=changes))["certificate.pdf"])
    assert "Relief valve pressure setting: 150 psi" in text
    assert "Relief valve temperature setting:" not in text


def test_a_correction_list_is_plainly_no_certificate(to_fix):
    text = printed(to_fix["correction-list.pdf"])
    assert "Correction list" in text
    assert "Not a certificate" in text
    assert "L-000003" in text
    assert "Installation certificate" not in text
    assert text.index("To fix") < text.index("Checks that meet")
    for one in ("Strap or bracket the tank", "found its pipe alone"):
        assert one in text
    title = pypdf.PdfReader(io.BytesIO(to_fix["correction-list.pdf"])).metadata.title
    assert title == "Correction list L-000003"


def test_a_life_hazard_says_stop_first(record_of):
    found = {"hazard_found": "other", "hazard_action": "owner_told", "hazard_words": "Flue joint rusted <through>"}
    told = {"hazard_told": "Morgan Castellan", "hazard_told_on": "2026-11-24"}
    seen = {"spillage_after_5min": "seen", **found, **told}
    text = printed(render_here(record_of("gas_storage_to_fix", seen, kind="correction_list"))["correction-list.pdf"])
    assert wording.STOP in text
    said = (
        "Hazard found: Flue joint rusted <through>. What was done: Owner told in writing. Told: Morgan Castellan,"
        " 24 Nov 2026."
    )
    assert text.index(wording.STOP) < text.index(said) < text.index("Where")
    assert "found Flue joint rusted <through>" in text


def test_a_findings_report_has_its_own_face(record_of):
    record = record_of(changes={"job_kind": "existing"}, kind="findings_report", number="F-000001")
    made = render_here(record)
    text = printed(made["findings.pdf"])
    assert "Findings report" in text
    assert "Not an installer's certificate" in text
    assert "Installation certificate" not in text


@pytest.mark.parametrize("verdict", ["fails", "error", "unanswered"])
def test_no_certificate_while_a_rule_is_open(verdict, record_of, with_report):
    def change(report):
        next(one for one in report["findings"] if one["kind"] == "rule")["verdict"] = verdict

    with pytest.raises(NotReady, match=verdict):
        render_here(with_report(record_of(), change))


@pytest.mark.parametrize("outcome", ["fix", "unfinished"])
def test_no_certificate_when_the_report_itself_says_not_ready(outcome, record_of, with_report):
    with pytest.raises(NotReady, match=outcome):
        render_here(with_report(record_of(), lambda report: report.update(outcome=outcome)))


def test_an_accepted_failure_is_printed_as_accepted(record_of):
    accepted = {"expansion.tank_supported": {"by": "Inspector Lee", "on": "2026-11-24", "why": "short pipe"}}
    changes = {"expansion_tank_support": "pipe_only", "place": "model_upc_2024", "acceptances": accepted}
    text = printed(render_here(record_of(changes=changes))["certificate.pdf"])
    assert "Open items" not in text
    assert "to fix" not in text
    assert "1 accepted by the authority" in text
    assert "Accepted by Inspector Lee on 24 Nov 2026: short pipe" in text


def test_an_unknown_kind_is_refused(record_of):
    with pytest.raises(ValueError, match="kind"):
        render_here(record_of(kind="diploma"))


def test_a_typed_signature_and_two_signers(record_of):
    both = {"signatures": [{"name": "Riley Okafor", "role": "installer"}, {"name": "Dana Whitlock", "role": "Owner", "method": "typed"}]}
    text = printed(render_here(record_of(signature=json.dumps(both).encode()))["certificate.pdf"])
    assert "Installer: Riley Okafor" in text
    assert "Owner: Dana Whitlock" in text
    assert text.count("Signed, typed. Signed electronically") == 2


HOMEOWNER = {
    "role": "homeowner", "name": "Dana Whitlock", "relation": "tenant", "method": "typed", "at": "2026-11-24T18:02:09Z",
    "statement": "I was shown the valves.", "answers_sha256": "ab" * 32,
}  # fmt: skip


@pytest.mark.parametrize("kind", ["certificate", "findings_report"])
def test_the_homeowner_s_receipt_is_printed_as_signed(record_of, kind):
    signatures = {"signatures": [{"name": "Riley Okafor", "role": "installer"}, HOMEOWNER]}
    papers = render_here(record_of(kind=kind, signature=json.dumps(signatures).encode()))
    text = printed(next(iter(papers.values())))
    assert "For the homeowner (tenant): Dana Whitlock" in text
    assert "I was shown the valves." in text
    assert "Signed 2026-11-24 18:02 UTC, typed." in text


@pytest.mark.parametrize(
    ("method", "says"),
    [("declined", "Signature for the homeowner declined."), ("not_home", "Nobody was home to sign for the homeowner.")],
)
def test_a_receipt_that_nobody_signed_says_why(record_of, method, says):
    unsigned = HOMEOWNER | {"name": "", "relation": "", "statement": "", "method": method}
    signatures = {"signatures": [{"name": "Riley Okafor", "role": "installer"}, unsigned]}
    text = printed(render_here(record_of(signature=json.dumps(signatures).encode()))["certificate.pdf"])
    assert "For the homeowner: not signed" in text
    assert says in text
    assert "Noted by the installer 2026-11-24 18:02 UTC." in text


def test_a_replacement_says_what_it_replaces(record_of):
    record = record_of(revision=2, replaces_number="C-000007", reason="serial number mistyped")
    text = printed(render_here(record)["certificate.pdf"])
    assert "Replaces C-000007: serial number mistyped" in text
    assert "Revision 2" in text


@pytest.mark.parametrize("name", ["job", "report"])
def test_attachments_read_back_as_they_were_archived(name, gas, record_of):
    with pikepdf.open(io.BytesIO(gas["certificate-archival.pdf"])) as opened:
        kept = opened.attachments[f"{name}.json"].get_file()
        assert kept.read_bytes() == getattr(record_of(), name)
        assert kept.mime_type == "application/json"


def test_no_banned_word_stands_on_any_paper(gas, to_fix):
    for pdf in (*gas.values(), *to_fix.values()):
        assert not BANNED.findall(printed(pdf))


def test_no_banned_word_stands_in_the_fixed_wording():
    said = " ".join(str(value) for key, value in vars(wording).items() if key.isupper())
    assert len(said) > 2000
    assert not BANNED.findall(said)
    assert BANNED.findall("This heater is safe")


def test_the_renderer_has_nothing_to_complain_of(record_of, caplog):
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        render_here(record_of("electric_storage_irc"))
    assert not [one.getMessage() for one in caplog.records if one.name.startswith("weasyprint")]


def test_filed_is_taken_once(record_of):
    filed = Filed.of(record_of())
    assert Filed.of(filed) is filed
