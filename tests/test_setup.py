"""Set-up: pinned requirements, the two scripts, the fonts, the start-up check, and what may lie where."""

import json
import os
import re
import shutil
import socket
import subprocess
import tomllib
import zipfile
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import heaterapp
from heaterapp import fonts, phone_python, setup_check

PROJECT = Path(__file__).resolve().parent.parent
PYPROJECT = tomllib.loads((PROJECT / "pyproject.toml").read_text("utf-8"))
SCRIPTS = ("start", "test", "steps", "pin")
REQUIREMENTS = ("requirements.txt", "requirements-test.txt")
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "heaterapp", "templates", "static", "tests"}
ADDRESS = re.compile(
    r"\w+://(?!127\.0\.0\.1)"
    r"|\b(?:[a-z0-9-]+\.)+(?:org|com|net|io|dev|internal|local|cloud)\b"
    r"|\b(?!127\.0\.0\.1)\d{1,3}\.\d{1,3}\.\d{1,3}\.\d{1,3}\b"
    r"|(?<![\w.])/(?:home|mnt|opt|root|srv|work)/",
    re.IGNORECASE,
)


def pinned(name: str) -> list[tuple[Requirement, int]]:
    """Every entry of a requirement file, with how many hashes it carries."""
    entries = []
    for line in (PROJECT / ".ci" / name).read_text("utf-8").splitlines():
        if line.startswith("    --hash=sha256:"):
            entries[-1][1] += 1
        elif not line.startswith("#"):
            entries.append([Requirement(line.removesuffix("\\").strip()), 0])
    return [(requirement, hashes) for requirement, hashes in entries]


@pytest.mark.parametrize(
    "text", ["https://a.b/c", "index.example.org", "10.1.2.3", "file:///opt/x", "/home/a/b"]
)
def test_an_address_is_recognised(text):
    assert ADDRESS.search(text)


def test_no_setup_file_names_an_address():
    files = [*(PROJECT / ".ci").iterdir(), PROJECT / ".npmrc", PROJECT / "pyproject.toml"]
    texts = {path.name: path.read_text("utf-8") for path in files}
    found = [(name, match.group()) for name, text in texts.items() for match in ADDRESS.finditer(text)]
    # Versions of four parts are no addresses of machines.
    versions = {str(requirement.specifier)[2:] for name in REQUIREMENTS for requirement, _ in pinned(name)}
    found = [(name, text) for name, text in found if text not in versions]
    assert found == []


@pytest.mark.parametrize("name", REQUIREMENTS)
def test_every_requirement_is_pinned_and_hashed(name):
    entries = pinned(name)
    assert entries
    for requirement, hashes in entries:
        assert [clause.operator for clause in requirement.specifier] == ["=="], requirement
        assert hashes >= 1, requirement


@pytest.mark.parametrize("name", REQUIREMENTS)
def test_pins_satisfy_pyproject(name):
    wanted = list(PYPROJECT["project"]["dependencies"])
    if name == "requirements-test.txt":
        wanted += PYPROJECT["project"]["optional-dependencies"]["test"]
    for text in wanted:
        want = Requirement(text)
        pins = [
            next(iter(requirement.specifier)).version
            for requirement, _ in pinned(name)
            if canonicalize_name(requirement.name) == canonicalize_name(want.name)
        ]
        assert pins, f"{want.name} is not pinned: run sh .ci/pin"
        assert all(want.specifier.contains(version) for version in pins), want


def test_test_requirements_hold_the_users_pins():
    alongside = {str(requirement) for requirement, _ in pinned("requirements-test.txt")}
    assert {str(requirement) for requirement, _ in pinned("requirements.txt")} <= alongside


@pytest.mark.parametrize("name", SCRIPTS)
@pytest.mark.parametrize("shell", ["sh", "bash"])
def test_scripts_are_well_formed(shell, name):
    done = subprocess.run([shell, "-n", PROJECT / ".ci" / name], capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")


def start(*arguments, **environment):
    return subprocess.run(
        ["sh", PROJECT / ".ci" / "start", *arguments],
        capture_output=True, text=True, stdin=subprocess.DEVNULL, env={**os.environ, **environment},
    )


def test_start_says_what_it_does_not_know():
    done = start("--no-such-thing")
    assert done.returncode == 1
    assert "sh .ci/start knows --no-serve, --no-demo and --port NUMBER, not '--no-such-thing'." in done.stderr


@pytest.mark.parametrize("port", [(), ("eighty",)])
def test_start_wants_a_number_for_the_port(port):
    done = start("--port", *port)
    assert done.returncode == 1
    assert "--port needs a number from 1 to 65535" in done.stderr


def test_start_without_a_python_names_it():
    done = start("--no-serve", HEATERAPP_PYTHON="no-such-python")
    assert done.returncode == 1
    assert done.stderr.strip().startswith("Python 3.11 or newer is needed and was not found: install it")


def test_start_refuses_a_port_in_use_before_installing_anything():
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        done = start("--port", str(port))
    assert done.returncode == 1
    assert f"Port {port} of this machine cannot be used" in done.stderr
    assert "System libraries" not in done.stdout


def test_start_installs_what_the_check_asks_for():
    steps = (PROJECT / ".ci" / "steps").read_text("utf-8")
    listed = set(re.search(r'^LIBRARIES="([^"]+)"', steps, re.MULTILINE).group(1).split())
    assert listed == {*setup_check.LIBRARIES.values(), *(face.package for face in (*fonts.FACES, *fonts.FURTHER))}


def test_the_python_for_phones_is_pinned_and_every_file_used_is_compared():
    wanted = json.loads((PROJECT / ".ci" / "engine-package.json").read_text("utf-8"))["dependencies"]
    assert re.fullmatch(r"\d+\.\d+\.\d+", wanted["pyodide"])
    lines = (PROJECT / ".ci" / "pyodide.sha256").read_text("ascii").splitlines()
    named = dict(reversed(line.split("  ")) for line in lines)
    used = {*phone_python.FILES, phone_python.LOCK}
    assert named.keys() == {f".cache/pyodide/node_modules/pyodide/{name}" for name in used}
    assert all(re.fullmatch("[0-9a-f]{64}", digest) for digest in named.values())


@pytest.mark.parametrize("lacks", ["npm", "the files it was checked with", "packing"])
def test_set_up_goes_on_without_the_python_for_phones(tmp_path, lacks):
    (tmp_path / ".ci").mkdir()
    for name in ("steps", "pyodide.sha256", "engine-package.json"):
        shutil.copy(PROJECT / ".ci" / name, tmp_path / ".ci" / name)
    shutil.copy(PROJECT / ".npmrc", tmp_path)
    played = {
        "npm": "npm() { return 1; }",
        "the files it was checked with": "npm() { mkdir -p .cache/pyodide/node_modules/pyodide; }",
        "packing": "npm() { return 1; }\nsha256sum() { return 0; }\nVENV_PYTHON=false",
    }[lacks]
    script = f"set -eu\n. .ci/steps\n{played}\ncommand() {{ :; }}\nSTEPS=1\nfetch_phone_python\ntell_phone_python\necho went on"
    done = subprocess.run(["sh", "-c", script], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "phones will have answers judged at this server" in done.stdout
    assert done.stdout.endswith("went on\n")


def test_a_library_that_does_not_exist_does_not_load():
    assert setup_check.missing_libraries(["libno-such-thing.so.9"]) == ["libno-such-thing.so.9"]


def test_a_missing_python_package_is_named(monkeypatch):
    monkeypatch.setattr(setup_check, "missing_modules", lambda: ["waitress"])
    assert setup_check.complaint() == "Python packages are missing (waitress): run 'sh .ci/start' once."
    assert setup_check.main() == 1


def test_the_check_looks_for_every_dependency():
    owners = packages_distributions()
    looked_for = {canonicalize_name(name) for module in setup_check.MODULES for name in owners[module]}
    wanted = PYPROJECT["project"]["dependencies"]
    assert looked_for == {canonicalize_name(Requirement(text).name) for text in wanted}


def test_the_wheel_carries_pages_books_and_migrations(tmp_path):
    built = next(WheelBuilder(str(PROJECT)).build(directory=str(tmp_path), versions=["standard"]))
    held = set(zipfile.ZipFile(built).namelist())
    for folder in ("templates", "static"):
        for path in (PROJECT / folder).rglob("*"):
            if path.is_file():
                assert f"heaterapp/{path.relative_to(PROJECT).as_posix()}" in held
    for path in (PROJECT / "heaterapp").rglob("*"):
        if path.suffix in {".py", ".toml", ".mako"}:
            assert path.relative_to(PROJECT).as_posix() in held


def test_the_package_and_its_metadata_tell_one_version():
    assert heaterapp.__version__ == PYPROJECT["project"]["version"]


def test_top_level_holds_only_what_is_allowed():
    lying = {path.name for path in PROJECT.iterdir() if not path.name.startswith(".")}
    assert lying - TOP_LEVEL == set()


def test_no_source_file_is_over_300_lines():
    sources = [*(PROJECT / "heaterapp").rglob("*.py"), *(PROJECT / "static").rglob("*.js")]
    assert sources
    lengths = {str(path.relative_to(PROJECT)): len(path.read_text("utf-8").splitlines()) for path in sources}
    assert {name: length for name, length in lengths.items() if length > 300} == {}
