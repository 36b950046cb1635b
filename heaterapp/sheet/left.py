"""What a job still lacks, told as one story: the line above its review, and what no paper can do without."""

from __future__ import annotations

from collections.abc import Mapping

from ..languages import say

ON_EVERY_PAPER = ("address_street", "heater_serial", "work_date", "install_year")
"""No verdict waits for these, yet nothing is signed before they are answered, where a job asks them."""

LEADS = {
    (False, False): "Nothing to fix, nothing to answer",
    (True, False): "Something to fix, all is answered",
    (False, True): "Something to answer",
    (True, True): "Something to fix, something to answer",
}
"""Whether something is to fix, whether something is to answer -> what is said of it in a line."""


def lead_words(counts: Mapping[str, int]) -> str:
    """The line that says what is open, of the same counts that stand under it.

    counts  fix: checks that bar a certificate; answer: questions that are open

    >>> lead_words({"fix": 0, "answer": 1})
    'Something to answer'
    """
    return say(LEADS[counts["fix"] > 0, counts["answer"] > 0])
