"""The archival papers keep the rules, and each rule is shown to bite on a file broken for it."""

from __future__ import annotations

import io

import pytest
from pikepdf import Pdf

from tests.certificate import drawn_rules, structure_rules
from tests.certificate.archival_rules import BROKEN, RULES, attached

ALL_RULES = sorted(RULES)
assert drawn_rules, structure_rules


@pytest.mark.parametrize("name", ALL_RULES)
def test_every_archival_specimen_keeps(name, archival_specimens):
    assert len(archival_specimens) >= 10
    for specimen, pdf in archival_specimens.items():
        assert RULES[name](pdf), specimen


@pytest.mark.parametrize("name", ALL_RULES)
def test_a_file_broken_for_it_is_caught(name, to_fix):
    with Pdf.open(io.BytesIO(to_fix["correction-list-archival.pdf"])) as pdf:
        options = BROKEN[name](pdf)
        if options:
            out = io.BytesIO()
            pdf.save(out, **options)
            with Pdf.open(out) as other:
                assert not RULES[name](other)
        else:
            assert not RULES[name](pdf)


def test_every_rule_has_its_broken_file():
    assert set(BROKEN) == set(RULES)
    assert len(RULES) >= 40


def test_dates_are_those_of_the_issue(gas):
    for made in gas.values():
        with Pdf.open(io.BytesIO(made)) as pdf:
            assert str(pdf.trailer.Info.CreationDate) == str(pdf.trailer.Info.ModDate) == "D:20261125170326Z"
            for one in attached(pdf) if "/AF" in pdf.Root else ():
                assert str(one.EF.F.Params.ModDate).startswith("D:20261125170326")
