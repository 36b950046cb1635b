"""What every folder of tests may ask for: a real PostgreSQL.

And what all archives of one process share, what need not be read for the tests that were chosen, and the whole of the
sweeps: `python -m pytest --whole`.
"""

import gc
import itertools
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from _pytest.doctest import DoctestModule
from _pytest.runner import runtestprotocol

from tests import dealt_out, postgres, sweeps
from tests.compiled_once import compiled_once

BUCKETS = itertools.count(1)
# The two parts of the suite, as .ci/test names them. Whole folders are marked, or tests of a file.
ALONGSIDE, APART = "not browser and not soak", "browser or soak"
BROWSER = Path(__file__).parent / "browser"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--whole", action="store_true", help="sweeps and grids whole, not the short version of each")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--whole"):
        # grids.py reads it, here and in the processes that share the work.
        os.environ["WHOLE_GRIDS"] = "1"
    # What is collected stays: going through it again and again finds nothing to take away.
    gc.disable()


def pytest_collection_finish() -> None:
    gc.freeze()
    gc.enable()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if hasattr(config, "workerinput"):
        dealt_out.longest_first(items)
    if config.getoption("--whole"):
        return
    left = sweeps.beyond_the_short_version(items)
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [one for one in items if one not in left]


@pytest.hookimpl
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> bool | None:
    """Send on of a test what is worth telling: three reports of each of fifteen thousand take ten seconds."""
    asked = item.config.option
    if not hasattr(item.config, "workerinput") or asked.verbose > 0 or asked.durations is not None or asked.xmlpath:
        return None
    for one in dealt_out.worth_telling(runtestprotocol(item, log=False, nextitem=nextitem)):
        item.ihook.pytest_runtest_logreport(report=one)
    item.ihook.pytest_runtest_logfinish(nodeid=item.nodeid, location=item.location)
    return True


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    return dealt_out.scheduler(config, log)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Leave out what has no test of the part that was chosen: reading all takes each process twenty seconds."""
    chosen = config.getoption("markexpr")
    if chosen == ALONGSIDE and collection_path == BROWSER:
        return True
    if chosen == APART and collection_path.match("test_*.py"):
        text = collection_path.read_bytes()
        return None if b"mark.browser" in text or b"mark.soak" in text else True
    return None


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path: Path) -> Any:
    """Look for examples in docstrings only where there are any: looking takes every module imported and gone through."""
    found = yield
    if any(isinstance(one, DoctestModule) for one in found) and b">>> " not in file_path.read_bytes():
        return [one for one in found if not isinstance(one, DoctestModule)]
    return found


@pytest.fixture(scope="session", autouse=True)
def statements_compiled_once() -> Iterator[None]:
    """No test compiles a statement that one before it in this process had compiled."""
    with compiled_once():
        yield


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[postgres.Server]:
    """A server of this process's own; `postgres_server.lent()` gives further databases."""
    server = postgres.start()
    yield server
    server.stop()


@pytest.fixture
def postgres_url(postgres_server: postgres.Server) -> Iterator[str]:
    """The url of a database of this test's own, with all tables and no rows."""
    with postgres_server.lent() as url:
        yield url


@pytest.fixture(scope="session")
def s3_endpoint() -> Iterator[str]:
    """The address of a service that speaks S3, on this machine."""
    from moto.server import ThreadedMotoServer

    server = ThreadedMotoServer(ip_address="127.0.0.1", port=0, verbose=False)
    server.start()
    host, port = server.get_host_and_port()
    yield f"http://{host}:{port}"
    server.stop()


@pytest.fixture
def s3_bucket(s3_endpoint: str, monkeypatch: pytest.MonkeyPatch) -> tuple[str, str]:
    """An empty bucket: its setting for blobs, and the endpoint."""
    import boto3

    for name in ("AWS_ACCESS_KEY_ID", "AWS_SECRET_ACCESS_KEY"):
        monkeypatch.setenv(name, "testing")
    name = f"bucket-{next(BUCKETS)}"
    boto3.client("s3", endpoint_url=s3_endpoint, region_name="us-east-1").create_bucket(Bucket=name)
    return f"s3://{name}/papers", s3_endpoint
