"""What every folder of tests may ask for: a real PostgreSQL."""

from collections.abc import Iterator

import pytest

from tests import postgres


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
