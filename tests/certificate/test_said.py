"""What a paper must not let anybody believe: who did the work, what was judged, which number counts."""

from __future__ import annotations

from heaterapp.certificate import render_here
from tests.certificate.printed import printed


def _findings(record_of, **changes) -> str:
    record = record_of("gas_storage_existing_us_ca", changes, kind="findings_report", number="F-000001")
    return printed(render_here(record)["findings.pdf"])


def test_who_looked_at_somebody_else_s_work_is_nowhere_called_its_installer(record_of):
    text = _findings(record_of, install_year=2011)
    assert "Looked over On 25 Nov 2026 By Riley Okafor" in text
    assert "Installed in 2011" in text
    assert "Permit issued B26-01877" in text
    assert "Looked over by: Riley Okafor" in text
    for said in ("Installer Riley", "Installer:", "Work done"):
        assert said not in text


def test_a_findings_report_names_what_is_wrong_before_what_is_open(record_of):
    text = _findings(record_of, relief_capacity_btuh=None, listed_mark=None)
    fix, others, answer = (text.index(word) for word in ("To fix", "Open items", "To answer"))
    assert fix < others < answer
    assert "Answer: " not in text


def test_no_tank_no_air_to_set_and_no_size_to_buy_where_none_is_wanted(record_of, gas):
    assert "Expansion tank, at least" not in printed(gas["certificate.pdf"])
    none = {
        "expansion_device": "none",
        "prv_fitted": "no",
        "street_pressure_psi": None,
        "prv_setting_psi": None,
    }
    text = printed(render_here(record_of(changes=none))["certificate.pdf"])
    head = text[: text.index("Figures and their working")]
    assert "Tank air" not in head
    assert "Expansion tank, at least" not in head
    small = render_here(
        record_of(
            "gas_storage_upc_2024", {"expansion_tank_gal": "2", "thermostat_f": 140}, kind="correction_list"
        )
    )
    assert "Expansion tank, at least" in printed(small["correction-list.pdf"])


def test_what_fails_is_never_headed_by_the_sentence_that_it_meets(to_fix):
    text = printed(to_fix["correction-list.pdf"])
    assert "Lower strap in lower third. Lowest strap" in text
    assert "A strap sits in the lower third of the tank" not in text


def test_advice_that_waits_for_an_answer_is_not_printed_as_open(record_of):
    text = printed(render_here(record_of(changes={"pipe_insulation_ft": None}))["certificate.pdf"])
    assert "To answer" not in text
