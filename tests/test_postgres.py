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


ALTERS = {
    "a table": "CREATE TABLE more (one int)",
    "a column": "ALTER TABLE organisation ADD COLUMN more int",
    "a guard": """DO $$ DECLARE one text; BEGIN
        SELECT tgrelid::regclass INTO one FROM pg_trigger WHERE NOT tgisinternal LIMIT 1;
        EXECUTE 'ALTER TABLE ' || one || ' DISABLE TRIGGER USER'; END $$""",
    "an index": """DO $$ DECLARE one text; BEGIN
        SELECT indexname INTO one FROM pg_indexes WHERE schemaname = 'public' AND indexdef NOT LIKE '%UNIQUE%' LIMIT 1;
        EXECUTE 'DROP INDEX ' || one; END $$""",
    "its version": "UPDATE alembic_version SET version_num = '0'",
}


def test_a_database_with_rows_is_emptied_and_lent_again(postgres_server):
    with postgres_server.lent() as url:
        store = archive.open_store(url=url, upgrade=False)
        store.organisations.add("harborlight", "Harborlight Plumbing")
        store.close()
    with postgres_server.lent() as again:
        assert again == url
        store = archive.open_store(url=url, upgrade=False)
        with pytest.raises(archive.NotFound):
            store.organisations.by_slug("harborlight")
        store.close()


@pytest.mark.parametrize("alters", ALTERS.values(), ids=ALTERS)
def test_a_database_that_was_altered_is_never_lent_again(postgres_server, alters):
    with postgres_server.lent() as before:
        pass
    with postgres_server.lent() as url, postgres_server._connect(postgres._name(url)) as opened:
        assert url == before
        opened.execute(alters)
    with postgres_server.lent() as other:
        assert other != url


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
