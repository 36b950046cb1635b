"""A stored zip of rules that cannot be read gives no digest and breaks nothing, whatever is wrong with it."""

from __future__ import annotations

import io
import zipfile

import pytest

from heaterapp.archive import kept_rules


def packed() -> bytearray:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("heaterapp/rules/version.py", "RULESET = '1'\n" * 40)
    return bytearray(out.getvalue())


def changed(local: int, central: int, value: int) -> bytes:
    """One byte of the entry's local header and the same of its line in the table."""
    body = packed()
    body[local] = body[body.index(b"PK\x01\x02") + central] = value
    return bytes(body)


@pytest.mark.parametrize(
    ("body", "raises"),
    [
        (changed(6, 8, 1), RuntimeError), (changed(8, 10, 99), NotImplementedError),
        (bytes(packed()[:-30]), zipfile.BadZipFile), (b"no zip", zipfile.BadZipFile),
    ],
    ids=["locked by a password", "an unknown packing", "cut off", "no zip"],
)  # fmt: skip
def test_it_has_no_digest(body: bytes, raises: type[Exception]) -> None:
    with pytest.raises(raises), zipfile.ZipFile(io.BytesIO(body)) as zipped:
        zipped.read(zipped.namelist()[0])
    assert kept_rules.digest_of(body) == ""
    assert kept_rules._unzipped(body) == body


def test_a_whole_one_has_one() -> None:
    assert kept_rules.digest_of(bytes(packed())) != ""
