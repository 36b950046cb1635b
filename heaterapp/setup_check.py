"""What this machine lacks before the app can serve pages and print certificates.

`require()` is called at start-up: better one sentence there than a broken
certificate in a basement. `python -m heaterapp.setup_check` says the same.
"""

import ctypes
import importlib.util
import sys
from collections.abc import Iterable

from heaterapp import fonts

# Shared library as the loader names it on Linux -> the Debian package that holds it.
LIBRARIES = {
    "libgobject-2.0.so.0": "libpango-1.0-0",
    "libpango-1.0.so.0": "libpango-1.0-0",
    "libharfbuzz.so.0": "libpangoft2-1.0-0",
    "libfontconfig.so.1": "libpangoft2-1.0-0",
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
}
MODULES = (
    "alembic", "argon2", "babel", "boto3", "brotli", "flask", "flask_wtf", "fontTools", "icalendar", "jinja2",
    "PIL", "psycopg", "pyhanko", "segno", "sqlalchemy", "waitress", "weasyprint", "webauthn", "wtforms",
)  # fmt: skip


class SetupIncomplete(RuntimeError):
    """Something the app needs is not on this machine; the message says what to install."""


def missing_libraries(libraries: Iterable[str] = tuple(LIBRARIES)) -> list[str]:
    """Return the shared libraries that this machine cannot load (Linux names)."""
    if not sys.platform.startswith("linux"):
        return []
    return [name for name in libraries if not _loads(name)]


def missing_modules(modules: Iterable[str] = MODULES) -> list[str]:
    """Return the Python packages that cannot be found, by the name they are imported as."""
    return [name for name in modules if importlib.util.find_spec(name) is None]


def complaint() -> str | None:
    """Return one sentence that says what is missing and how to get it, or None when all is there."""
    modules = missing_modules()
    if modules:
        return f"Python packages are missing ({', '.join(modules)}): run 'sh .ci/start' once."
    packages = {LIBRARIES[name] for name in missing_libraries()}
    try:
        fonts.font_files()
    except fonts.FontMissing as error:
        lacking = fonts.missing_packages()
        if not lacking:
            return str(error)
        packages.update(lacking)
    if packages:
        listed = " ".join(sorted(packages))
        return (
            "Certificates cannot be printed yet, because system packages are missing: "
            f"run 'apt-get install {listed}' as root, or 'sh .ci/start', then start again."
        )
    return None


def require() -> None:
    """Return when everything is there.

    Raises:
        SetupIncomplete: with the one sentence of `complaint()`.
    """
    sentence = complaint()
    if sentence:
        raise SetupIncomplete(sentence)


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def main() -> int:
    """Say whether this machine has all that is needed."""
    sentence = complaint()
    if sentence:
        print(sentence, file=sys.stderr)
        return 1
    print("Everything the app needs is here.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
