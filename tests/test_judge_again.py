"""What the process that judges with an archived ruleset may do, and every way in which it can end."""

import io
import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from heaterapp import rules
from heaterapp.full_gas_job import full_gas_job
from heaterapp.judged_again import (
    BARE,
    LIFE,
    AnswersRefused,
    BrokenOff,
    CannotJudge,
    Judge,
    RulesetDamaged,
    TooSlow,
    judge_with,
)

LINES = """
import sys
def main(arguments):
    assert arguments == ["assess", "-", "--lines"]
    for line in sys.stdin.buffer:
        sys.stdout.buffer.write(answer(line) + b"\\n")
"""


def made(answer: str, door: str = LINES) -> bytes:
    """A ruleset whose whole judgement is one expression of `line`."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        packed.writestr("heaterapp/__init__.py", "")
        packed.writestr("heaterapp/rules/__init__.py", "")
        packed.writestr(
            "heaterapp/rules/__main__.py",
            f"{door}\ndef answer(line):\n    import os, sys, time\n    {answer}\n",
        )
    return held.getvalue()


ECHO = made("return line.strip()")


@pytest.fixture(scope="module")
def today():
    with Judge(rules.ruleset_zip()) as judge:
        yield judge


def test_the_same_report_byte_for_byte_job_after_job(today):
    whole = full_gas_job()
    for answers in (whole, {**whole, "house_pressure_psi": "96"}, {"place": "us_ca_2022"}):
        assert today.judge(answers) == rules.assess(answers).to_bytes()


def test_an_answer_that_the_ruleset_does_not_read_is_named_and_the_next_job_is_judged(today):
    with pytest.raises(AnswersRefused, match="thermostat_f") as refused:
        today.judge({"place": "us_ca_2022", "thermostat_f": "warm"})
    assert refused.value.key == "thermostat_f"
    assert today.judge({"place": "us_ca_2022"}) == rules.assess({"place": "us_ca_2022"}).to_bytes()


def test_what_is_no_job_is_refused_as_one(today):
    with pytest.raises(AnswersRefused, match="job"):
        today.judge(b"")
    with pytest.raises(AnswersRefused, match="job"):
        today.judge(b"[\n1]")


def test_one_job_alone_is_judged_and_nothing_is_left_behind():
    assert judge_with(ECHO, {"b": "2", "a": "\n"}) == b'{"a":"\\n","b":"2"}'
    with Judge(ECHO) as judge:
        judge.judge({})
        pid, folder = judge._process.pid, Path(judge._folder.name)
        assert folder.is_dir()
    assert not folder.exists()
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_a_job_larger_than_any_pipe_goes_through():
    large = {"notes": "x" * 1_000_000}
    assert judge_with(ECHO, large) == rules.canonical_bytes(large)


@pytest.mark.parametrize(
    ("ruleset", "says"),
    [
        (b"", "no zip"),
        (b"PK\x03\x04 torn", "no zip"),
        (ECHO.replace(b"sys.stdin.buffer", b"sys.stdin.bufFer"), "checksum"),
        (made("return b''", door="raise OSError('no such table')"), "do not start: OSError no such table"),
        (made("return b''", door="import os; os._exit(3)"), "do not start"),
    ],
)
def test_a_damaged_ruleset_says_so(ruleset, says):
    with pytest.raises(RulesetDamaged, match=says):
        judge_with(ruleset, {})


def test_a_zip_without_rules_is_no_ruleset():
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        packed.writestr("readme.txt", "nothing")
    with pytest.raises(RulesetDamaged, match="holds no rules"):
        judge_with(held.getvalue(), {})


@pytest.mark.parametrize(
    ("life", "says"),
    [
        ("import socket; socket.socket(); return b'{}'", "socket"),
        ("open('left.txt', 'w'); return b'{}'", "no file is written"),
        ("os.system('true'); return b'{}'", "os.system is refused"),
        ("import subprocess; subprocess.run(['true']); return b'{}'", "refused"),
        ("os.open('left', os.O_RDONLY | os.O_TRUNC); return b'{}'", "no file is written"),
        ("open('/etc/passwd'); return b'{}'", "no file is read but their own"),
        ("os.listdir('/'); return b'{}'", "no folder is read but their own"),
        ("os.chmod('.', 0); return b'{}'", "os.chmod is refused"),
        ("os.kill(os.getppid(), 0); return b'{}'", "os.kill is refused"),
        ("import _posixsubprocess; return b'{}'", "_posixsubprocess is refused"),
        ("import ctypes; return b'{}'", "ctypes is refused"),
        ("return b'x' * 600_000_000", "MemoryError"),
        ("raise ValueError('a table is torn')", "ValueError a table is torn"),
        ("return b'no report'", "no report"),
        ("os._exit(0)", "without an answer"),
    ],
)
def test_what_rules_may_not_do_breaks_off_and_says_why(life, says):
    with pytest.raises(BrokenOff, match=says):
        judge_with(made(life), {})


BENEATH = """
import ctypes, json, os, resource, sys
sys.path.insert(0, sys.argv[1])
import judging_apart as life
system, said = ctypes.CDLL(None), {}
said["landlock"] = system.syscall(life.LANDLOCK, None, 0, 1)
life._give_up_rights(sys.argv[2], os.path.dirname(os.__file__))
life._limit(512_000_000)
said["no_new_rights"] = system.prctl(39, 0, 0, 0, 0)
said["limits"] = [resource.getrlimit(one)[1] for one in (resource.RLIMIT_NPROC, resource.RLIMIT_FSIZE)]
for name, flags in (("read", os.O_RDONLY), ("written", os.O_WRONLY | os.O_TRUNC)):
    try:
        os.close(os.open(sys.argv[3], flags))
        said[name] = True
    except PermissionError:
        said[name] = False
print(json.dumps(said))
"""


def test_beneath_the_hook_the_system_refuses_too(tmp_path):
    (tmp_path / "secret-key").write_text("hush")
    (tmp_path / "rules.zip").write_bytes(ECHO)
    given = (str(LIFE.parent), str(tmp_path / "rules.zip"), str(tmp_path / "secret-key"))
    # It is begun in a folder of its own, which it may list.
    (tmp_path / "empty").mkdir()
    command = [sys.executable, *BARE, "-c", BENEATH, *given]
    ended = subprocess.run(command, capture_output=True, check=True, cwd=tmp_path / "empty")
    said = json.loads(ended.stdout)
    assert (said["no_new_rights"], said["limits"]) == (1, [0, 0])
    if said["landlock"] < 1:
        pytest.skip("this kernel has no Landlock: hook and limits hold alone there, as judging_apart says")
    assert (said["read"], said["written"]) == (False, False)
    assert (tmp_path / "secret-key").read_text() == "hush"


def test_an_answer_that_never_comes_is_not_waited_for_and_the_next_job_is_judged():
    slow = made("time.sleep(60 if b'slow' in line else 0); return line.strip()")
    with Judge(slow, seconds=0.5) as judge:
        with pytest.raises(TooSlow, match=r"within 0\.5 seconds"):
            judge.judge({"slow": "yes"})
        assert judge.judge({"quick": "yes"}) == b'{"quick":"yes"}'


def test_no_more_is_taken_than_a_report_may_be(monkeypatch):
    monkeypatch.setattr("heaterapp.judged_again.LARGEST_REPORT", 100_000)
    with pytest.raises(BrokenOff, match="more than 100,000 bytes"):
        judge_with(made("return b'{' + b'x' * 200_000"), {})


def test_it_knows_nothing_of_this_machine(monkeypatch):
    monkeypatch.setenv("HEATERAPP_SECRET", "not for the rules")
    told = "import json; return json.dumps({'env': dict(os.environ), 'path': sys.path, 'cwd': os.listdir()}).encode()"
    seen = rules.canonical_bytes({})
    said = judge_with(made(told), seen)
    assert b"not for the rules" not in said
    assert b"-packages" not in said
    assert str(Path(rules.__file__).parent.parent.parent).encode() not in said.partition(b'"path"')[2]
    assert b'"cwd": []' in said


def test_every_refusal_is_one_kind():
    assert all(issubclass(one, CannotJudge) for one in (AnswersRefused, BrokenOff, RulesetDamaged, TooSlow))
