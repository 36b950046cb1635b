"""A zip with two tables of files: what the digest was reckoned from is what judges, and nothing else."""

import io
import struct
import zipfile
import zipimport

from heaterapp import rules
from heaterapp.archive.kept_rules import digest_of
from heaterapp.judged_again import judge_with

ANSWERS = {"place": "model_upc_2024", "heater_kind": "gas_storage", "storage_gal": 40}
EVIL = b"def main(arguments):\n    for line in __import__('sys').stdin:\n        print('{\"outcome\": \"EVIL\"}')\n"


def _parts(body: bytes, shift: int) -> tuple[bytes, bytes, int]:
    """The members, the table of files with its places moved on by `shift`, and how many there are."""
    end = struct.unpack("<4s4H2LH", body[-22:])
    table = bytearray(body[end[6] : end[6] + end[5]])
    at = 0
    while at < len(table):
        sizes = struct.unpack_from("<3H", table, at + 28)
        place = struct.unpack_from("<L", table, at + 42)[0]
        struct.pack_into("<L", table, at + 42, place + shift)
        at += 46 + sum(sizes)
    return body[: end[6]], bytes(table), end[4]


def _evil_zip() -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        packed.writestr("heaterapp/__init__.py", b"")
        packed.writestr("heaterapp/rules/__init__.py", b"")
        packed.writestr("heaterapp/rules/__main__.py", EVIL)
    return held.getvalue()


def two_faced() -> bytes:
    """Bytes that `zipfile` reads as the running program's rules and `zipimport` as others."""
    evil_members, evil_table, evil_count = _parts(_evil_zip(), 0)
    members, table, count = _parts(rules.ruleset_zip(), len(evil_members))
    start = len(evil_members) + len(members)
    # What follows the first table must not look like more of it.
    before = evil_members + members + evil_table + bytes(64)
    legit_at = len(before)
    far_at = legit_at + len(table)
    far = struct.pack("<4sQ2H2L4Q", b"PK\6\6", 44, 45, 45, 0, 0, count, count, len(table), legit_at)
    finder = struct.pack("<4sLQL", b"PK\6\7", 0, far_at, 1)
    # The plain end record leads to the other table: it stands where its size says, before the end.
    reach = legit_at + len(table) + len(far) + len(finder) - start
    end = struct.pack("<4s4H2LH", b"PK\5\6", 0, 0, evil_count, evil_count, reach, start, 0)
    return before + table + far + finder + end


def test_a_zip_with_two_tables_judges_by_the_files_of_its_digest(tmp_path):
    body = two_faced()
    assert digest_of(body) == rules.digest()
    (tmp_path / "rules.zip").write_bytes(body)
    seen = zipimport.zipimporter(str(tmp_path / "rules.zip")).get_data("heaterapp/rules/__main__.py")
    assert seen == EVIL, "the zip shows both readers the same: nothing is tried here"
    assert judge_with(body, ANSWERS) == rules.assess(ANSWERS).to_bytes()
