"""The tests' own PostgreSQL: quick, one database a test, and never left behind."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from heaterapp import archive
from tests import postgres

ROOT = Path(__file__).parent.parent
STARTER = """
import sys, time
from tests import postgres
server = postgres.start()
print(server.folder, flush=True)
time.sleep(60)
"""


def test_each_test_has_a_database_of_its_own(postgres_server):
    with postgres_server.lent() as one, postgres_server.lent() as two:
        first, second = archive.open_store(url=one, upgrade=False), archive.open_store(url=two, upgrade=False)
        first.organisations.add("harborlight", "Harborlight Plumbing")
        assert first.organisations.by_slug("harborlight").name == "Harborlight Plumbing"
        with pytest.raises(archive.NotFound):
            second.organisations.by_slug("harborlight")
        first.close()
        second.close()


def test_a_killed_test_run_leaves_no_server_and_no_folder():
    run = subprocess.Popen([sys.executable, "-c", STARTER], stdout=subprocess.PIPE, text=True, cwd=ROOT)
    folder = Path(run.stdout.readline().strip())
    assert (folder / "data" / "postmaster.pid").exists()
    server = int((folder / "data" / "postmaster.pid").read_text().split()[0])
    assert Path(f"/proc/{server}").exists()
    run.send_signal(signal.SIGKILL)
    run.wait()
    run.stdout.close()
    ends = time.monotonic() + 15
    while time.monotonic() < ends and (folder.exists() or Path(f"/proc/{server}").exists()):
        time.sleep(0.05)
    assert not folder.exists()
    assert not Path(f"/proc/{server}").exists()


def test_where_no_postgresql_is_installed_one_sentence_says_so(tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(RuntimeError, match="apt-get install postgresql"):
        postgres.programs(installed=tmp_path)
