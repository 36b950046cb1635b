"""Names that are spelled with what joins their letters, and is itself not seen: Sinhala, Persian, Marathi."""

from __future__ import annotations

import pytest

from heaterapp.issue import facts_of
from heaterapp.mailing.letter import one_line
from heaterapp.web.received import _signature
from heaterapp.web.refused import Refused
from tests.web.sent import receipt

JOINED = "\u0dc1\u0dca\u200d\u0dbb\u0dd3\u0db8\u0dad\u0dd2 \u0db4\u0dd9\u0dbb\u0dda\u0dbb\u0dcf"


def test_a_phone_s_signature_has_them_and_nothing_else_that_is_not_seen() -> None:
    one = receipt({}, name=JOINED, relation="owner")
    assert _signature(one, "homeowner")["name"] == JOINED
    for unseen in ("\u200d", "a\u202eb", "a\u200b"):
        with pytest.raises(Refused):
            _signature(one | {"name": unseen}, "homeowner")


def test_record_and_mail_spell_them_alike() -> None:
    assert facts_of({"owner_name": f"\u200b{JOINED}\u200d"}, "").owner == JOINED
    assert one_line(f"{JOINED}\n x") == f"{JOINED} x"
