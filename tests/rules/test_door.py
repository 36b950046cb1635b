"""The machine door, from the tree and from the zip, on bare Python."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from heaterapp.rules import BadAnswer, Job, ruleset_zip
from heaterapp.rules import __main__ as door
from heaterapp.rules.schema import job_schema

ROOT = Path(__file__).parent.parent.parent
FULL = json.loads((ROOT / "tests" / "jobs" / "gas_storage_us_ca.json").read_text(encoding="utf-8"))["answers"]


def _run(
    arguments: list[str], text: bytes, *, zipped: Path | None = None, seed: str = "0"
) -> subprocess.CompletedProcess[bytes]:
    entry = str(zipped or ROOT)
    code = f"import sys, runpy; sys.path.insert(0, {entry!r}); runpy.run_module('heaterapp.rules', run_name='__main__')"
    environment = {"PYTHONHASHSEED": seed, "PATH": "/usr/bin:/bin"}
    return subprocess.run(
        [sys.executable, "-S", "-c", code, *arguments],
        input=text,
        capture_output=True,
        env=environment,
        cwd="/",
        check=False,
    )


def test_the_report_is_the_same_bytes_from_tree_and_zip_under_two_hash_seeds(tmp_path: Path) -> None:
    zipped = tmp_path / "rules.zip"
    zipped.write_bytes(ruleset_zip())
    job = json.dumps(FULL).encode()
    outputs = {
        _run(["assess", "-"], job, zipped=z, seed=s).stdout for z in (None, zipped) for s in ("0", "4242")
    }
    assert len(outputs) == 1
    report = json.loads(outputs.pop())
    assert len(report["findings"]) > 60
    assert "error" not in {f["verdict"] for f in report["findings"]}


def test_the_zip_is_the_same_bytes_twice() -> None:
    first = ruleset_zip()
    ruleset_zip.cache_clear()
    assert ruleset_zip() == first


@pytest.mark.parametrize(
    ("text", "names"),
    [
        (b"{", "job"), (b"", "job"), (b"[]", "job"), (b'"x"', "job"), (b"\xff\xfe", "job"), (b'{"place":"nowhere"}', "place"), (b"{}", "place"),
        (b'{"place":"us_ca","storage_gal":NaN}', "storage_gal"), (b"NaN", "job"), (b'{"place":-Infinity}', "place"),
        (b'{"place":"us_ca","strap_heights_in":[16,NaN]}', "strap_heights_in"), (b'{"place":"us_ca","prv_fitted":Infinity}', "prv_fitted"),
        (b'{"place":"us_ca","gas_sections":[{"in":NaN,"btuh":40000}]}', "gas_sections"), (b'{"place":"us_ca","storage_gal":1e999999999}', "storage_gal"),
        (b'{"place":"us_ca","place":"us_ca"}', "place"), (b'{"place":"us_ca","bogus":1}', "bogus"), (b'{"place":"us_ca","prv_fitted":true}', "prv_fitted"),
        (b"[" * 100_000, "job"), (b'{"place":"us_ca","tank_base_in":20,"strap_heights_in":[10]}', "strap_heights_in"),
        (b'{"place":"us_ca","storage_gal":"' + b"9" * 3_000_000 + b'"}', "storage_gal"), (b" " * 5_000_000, "job"),
        (b'{"place":"us_ca","owner_name":"\\ud800"}', "owner_name"), (b'{"place":["us_ca"]}', "place"),
    ],
)  # fmt: skip
def test_nonsense_gets_one_line_naming_the_key_and_exit_two(
    text: bytes, names: str, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text)))
    assert door.main(["assess", "-"]) == 2
    printed, told = capfdbinary.readouterr()
    assert not printed
    said = told.decode()
    assert said.count("\n") == 1
    assert said.startswith(names + ":"), said
    assert "expected" in said


@pytest.mark.parametrize(("text", "names"), [(b"\xff\xfe", "job"), (b"[" * 100_000, "job"), (b'{"place":"us_ca","bogus":1}', "bogus")])
def test_a_process_of_its_own_says_the_same_of_nonsense(text: bytes, names: str) -> None:
    done = _run(["assess", "-"], text)
    assert (done.returncode, done.stdout, done.stderr.count(b"\n")) == (2, b"", 1)
    assert done.stderr.startswith(names.encode() + b":")


def test_one_job_a_line_gives_one_report_a_line() -> None:
    job = json.dumps(FULL).encode()
    done = _run(["assess", "--lines", "-"], job + b"\n\n" + job + b"\n")
    assert done.returncode == 0
    lines = done.stdout.splitlines()
    assert len(lines) == 2
    assert lines[0] == lines[1]


def test_a_bad_line_is_named_by_its_number() -> None:
    job = json.dumps(FULL).encode()
    done = _run(["assess", "--lines", "-"], job + b"\n{}\n" + job + b"\n")
    assert done.returncode == 2
    assert done.stderr.decode().startswith("line 2: place:")
    first, refused, last = done.stdout.splitlines()
    assert first == last
    assert json.loads(refused)["error"] == {"line": 2, "key": "place", "expected": json.loads(refused)["error"]["expected"]}
    assert "none was given" in json.loads(refused)["error"]["expected"]


def test_a_reader_that_has_enough_ends_it_without_a_word() -> None:
    command = f'"{sys.executable}" -S -m heaterapp schema | head -c 10'
    done = subprocess.run(command, shell=True, cwd=ROOT, capture_output=True)
    assert done.stderr == b""


def test_a_missing_file_is_said_in_one_line() -> None:
    done = _run(["assess", "no-such-file.json"], b"")
    assert done.returncode == 2
    assert done.stderr.decode().count("\n") == 1


@pytest.mark.parametrize(
    ("key", "most", "beyond"),
    [
        ("owner_name", "x" * 200, "x" * 201),
        ("strap_heights_in", list(range(1, 13)), list(range(1, 14))),
        ("gas_sections", [{"in": "1", "btuh": "40000"}] * 12, [{"in": "1", "btuh": "40000"}] * 13),
        ("permit_number", {"could_not_measure": "torn off"}, {"could_not_measure": ""}),
        ("work_date", "not_here", "2026-3-14"),
        ("pan_depth_in", {"could_not_measure": "x" * 200}, {"could_not_measure": "x" * 201}),
        ("acceptances", *({"pan.depth": {"by": by, "on": "2026-03-14", "why": "B"}} for by in ("A", " "))),
        ("acceptances", *({"pan.depth": {"by": "A", "on": on, "why": "B"}} for on in ("2026-03-14", "20260314"))),
    ],
)
def test_the_schema_and_the_reader_end_at_the_same_place(key: str, most: Any, beyond: Any) -> None:
    schema: Any = jsonschema.Draft202012Validator(job_schema())
    for value, good in ((most, True), (beyond, False)):
        answers = {"place": "model_upc_2021", key: value}
        assert schema.is_valid(answers) is good
        if good:
            Job(answers)
            continue
        with pytest.raises(BadAnswer) as refused:
            Job(answers)
        assert refused.value.key == key


def test_the_schema_accepts_a_whole_job_and_refuses_an_unknown_key() -> None:
    schema = json.loads(_run(["schema"], b"").stdout)
    assert schema == job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator: Any = jsonschema.Draft202012Validator(schema)
    assert not list(validator.iter_errors(FULL))
    assert list(validator.iter_errors({**FULL, "bogus": 1}))


def test_a_wrong_choice_names_the_key_and_every_word_that_is_taken() -> None:
    with pytest.raises(BadAnswer) as refused:
        Job({"vent_end": "chimney"})
    assert str(refused.value) == "vent_end: expected one of roof, wall, chimney_top"
    assert refused.value.said == "one of these: Above the roof; Through a wall; At a chimney top"


@pytest.mark.parametrize("end", [b"", b"\n"])
def test_a_line_longer_than_a_job_may_be_is_never_held_whole(monkeypatch: pytest.MonkeyPatch, end: bytes) -> None:
    monkeypatch.setattr(door, "LARGEST", 100)
    fed = io.BytesIO(b"x" * 1000 + b"\n{}\n" + b"y" * 100 + b"\n" + b"z" * 204 + end)
    lines = list(door.lines_of(fed))
    assert lines == [b"x" * 102, b"{}\n", b"y" * 100 + b"\n", b"z" * 102]
    with pytest.raises(BadAnswer, match="at most 100 bytes"):
        door.read_job(lines[0])


def test_what_follows_a_line_that_is_too_long_is_answered_in_its_place() -> None:
    job = json.dumps(FULL).encode()
    done = _run(["assess", "--lines", "-"], b"x" * 9_000_000 + b"\n" + job + b"\n")
    refused, told = done.stdout.splitlines()
    assert done.returncode == 2
    assert json.loads(refused)["error"] == {"line": 1, "key": "job", "expected": "at most 4000000 bytes of JSON"}
    assert "outcome" in json.loads(told)
