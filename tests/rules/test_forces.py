"""What bars a certificate is decided once: report, sheet and paper say the same of every finding."""

import itertools
from typing import get_args

import pytest

from heaterapp.certificate.filed import bars_certificate
from heaterapp.rules.report import Finding, Report, Verdict
from heaterapp.sheet.findings import blocks

ACCEPTED = {"by": "inspector", "on": "2026-03-14", "why": "seen"}
BARS = {
    ("rule", "error", False), ("rule", "error", True), ("rule", "fails", False),
    ("rule", "unanswered", False), ("rule", "unanswered", True),
}  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "verdict", "accepted"),
    list(itertools.product(("rule", "advice"), get_args(Verdict), (False, True))),
)
def test_report_sheet_and_paper_agree(kind: str, verdict: Verdict, accepted: bool) -> None:
    finding = Finding(
        "supply.prv_where_needed", "supply", kind, verdict, "", None, None, "", "", "", "", "", "", (),
        accepted=ACCEPTED if accepted else None,
    )  # fmt: skip
    said = finding.as_json()
    report = Report("model_upc_2024", "1", "d", (), (finding,))
    barred = (kind, verdict, accepted) in BARS
    assert bars_certificate(said) == barred
    assert (report.outcome != "ready") == barred
    assert blocks(said) == (report.outcome == "fix") == (barred and verdict != "unanswered")
