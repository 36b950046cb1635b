"""What was written down of a hazard stands on the paper: what it is, what was done, who was told and when."""

from __future__ import annotations

import pytest

from heaterapp.certificate.hazards import hazard_said


@pytest.mark.parametrize(
    ("answers", "said"),
    [
        ({}, ""),
        ({"hazard_found": "none", "hazard_words": "left over"}, ""),
        ({"hazard_found": {"could_not_measure": "dark"}}, ""),
        ({"hazard_found": "other"}, "Hazard found: not said which. What was done is not recorded."),
        (
            {"hazard_found": "co", "hazard_words": "80 ppm by the hood.", "hazard_action": "supplier_called"},
            "Hazard found: Carbon monoxide, 80 ppm by the hood. What was done: Gas supplier or fire service called."
            " Who was told, and when, is not recorded.",
        ),
        (
            {"hazard_found": "scorch", "hazard_action": "repaired", "hazard_told_on": "2026-11-24"},
            "Hazard found: Scorching. What was done: Repaired and tested again. Told: name not recorded, 24 Nov 2026.",
        ),
    ],
)
def test_a_hazard_is_told_as_it_was_written_down(answers, said):
    assert hazard_said(answers) == said
