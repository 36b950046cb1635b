"""The soak on a real PostgreSQL, whose server is crashed a few times as well.

    python tests/archive/soak_postgres.py --issues 100000 --kills 1000 --papers 200 --restarts 5
"""

import os
import signal
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

import psycopg  # noqa: E402

from heaterapp import soak  # noqa: E402
from tests import postgres  # noqa: E402


def crash(server: postgres.Server) -> None:
    """Kill one of the server's own processes: it ends all others and recovers from its log."""
    with psycopg.connect(host=str(server.folder), user="postgres", dbname="postgres") as connection:
        query = "SELECT pid FROM pg_stat_activity WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()"
        pid = connection.execute(query + " LIMIT 1").fetchone()[0]
    os.kill(pid, signal.SIGKILL)


def main() -> int:
    parser = soak.options("python tests/archive/soak_postgres.py")
    parser.add_argument("--restarts", type=int, default=0, help="crashes of the database's server")
    chosen = parser.parse_args()
    server = postgres.start(safe=True)
    try:
        more = {"restart": lambda: crash(server), "restarts": chosen.restarts}
        return soak.carried_out(chosen, server.empty(), **more)
    finally:
        server.stop()


if __name__ == "__main__":
    sys.exit(main())
