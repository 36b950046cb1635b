"""The examples in the docstrings of the certificate's modules hold."""

from __future__ import annotations

import doctest

import pytest

from heaterapp.certificate import figures, findings, lettering, wording


@pytest.mark.parametrize("module", [figures, findings, lettering, wording], ids=lambda one: one.__name__)
def test_examples(module):
    result = doctest.testmod(module)
    assert result.attempted
    assert not result.failed
