"""python -m heaterapp setup, person, serve, demo, verify, benchmark; more, a module each, in `commands`.

Exit status 0 when done, 1 when the archive has a fault, 2 with one sentence when
something is missing.
"""

from __future__ import annotations

import argparse
import getpass
import importlib
import pkgutil
import re
import sys
from pathlib import Path
from typing import Any

from heaterapp import archive, setup_check
from heaterapp import commands as further
from heaterapp.archive.checking import SHORTEST_PASSWORD
from heaterapp.archive.shapes import ROLES
from heaterapp.opening import Stopped, configuration, open_archive
from heaterapp.web import settings
from heaterapp.web.passwords import weakness
from heaterapp.web.reached import at_start

FAULTS_SHOWN = 20


def main(arguments: list[str]) -> int:
    """Run one command and return its exit status."""
    parser = _parser()
    chosen, more = parser.parse_known_args(arguments)
    if more and chosen.command != "benchmark":
        parser.error(f"unrecognized arguments: {' '.join(more)}")
    chosen.more = more
    try:
        return chosen.run(chosen)
    except (Stopped, settings.SettingWrong, setup_check.SetupIncomplete) as stopped:
        print(stopped, file=sys.stderr)
    except archive.ArchiveError as refused:
        print(f"Refused: {refused}.", file=sys.stderr)
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
    except Exception as error:
        told = archive.worded(error)
        if told is None:
            raise
        print(f"{told}.", file=sys.stderr)
    return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m heaterapp",
        description="Check a water heater installation against the adopted code, certify it, file it.",
        epilog="assess and schema judge jobs on bare Python: see 'assess --help'."
        " The data folder is .data, or what HEATERAPP_DATA names.",
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def command(name: str, run: Any, says: str) -> argparse.ArgumentParser:
        one = commands.add_parser(name, help=says, description=says)
        one.set_defaults(run=run)
        return one

    made = command("setup", _setup, "make the database, or bring it up to date")
    made.add_argument("--firm", help="name of the firm, when it has none yet")
    person = command("person", _person, "make an account; the first one is the owner's")
    person.add_argument("--name", help="the person's name; asked for when left out")
    person.add_argument("--login", help="the sign-in name; asked for when left out")
    person.add_argument("--role", choices=ROLES, help="owner while the firm has none, else installer")
    person.add_argument("--firm", help="short name of the firm, where there are several")
    person.add_argument("--password-stdin", action="store_true", help="read the password from standard input")
    served = command("serve", _serve, "serve the pages on this machine")
    served.add_argument("--host", default="127.0.0.1", help="address to listen on (default 127.0.0.1)")
    served.add_argument("--port", type=_port, default=8080, help="port to listen on (default 8080)")
    served.add_argument("--demo", action="store_true", help="set up and fill the demo first")
    served.add_argument("--damaged", action="store_true", help="serve although the archive has a fault")
    command("demo", _demo, "fill an empty database with the invented town of Port Larkin")
    verified = command("verify", _verify, "check every stored byte against the log")
    verified.add_argument("--head", help="say too whether the head that a paper carries stands in the log")
    printed = command("manual", _manual, "write the rule manual as a PDF")
    printed.add_argument("file", type=Path, help="where to write it, such as rules.pdf")
    printed.add_argument("--topic", default="", help="one topic alone, such as relief")
    command("benchmark", _benchmark, "measure the speed promises: --rows, --rounds, --only, --json")
    for found in sorted(pkgutil.iter_modules(further.__path__), key=lambda module: module.name):
        module = importlib.import_module(f"{further.__name__}.{found.name}")
        module.options(command(module.NAME, module.run, module.SAYS))
    commands.add_parser("assess", help="read a job as JSON, print the report as JSON (bare Python)")
    commands.add_parser("schema", help="print the JSON Schema of a job (bare Python)")
    commands.add_parser("compare-books", help="print what differs between two books or places (bare Python)")
    commands.add_parser("coverage", help="print what checklists ask, against what is judged (bare Python)")
    return parser


def _port(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 5 or not 0 < int(text) < 65536:
        raise argparse.ArgumentTypeError("a port from 1 to 65535 was expected")
    return int(text)


def _setup(chosen: argparse.Namespace) -> int:
    store = open_archive(must_exist=False)
    firm = store.organisations.default()
    if chosen.firm and not firm.name:
        firm = store.organisations.save(firm.id, name=chosen.firm)
    _keep_secret_key()
    people = len(store.people.all(firm.id))
    store.close()
    # A password in the database's url is for nobody's screen.
    url = configuration()["DATABASE_URL"]
    where = re.sub(r"(://[^:/@]*):[^@]*@", r"\1:***@", url) if url else configuration()["DATA_DIR"]
    print(f"The database is ready in {where}.")
    if unnamed := at_start(configuration()["PUBLIC_URL"]):
        print(unnamed)
    if not people:
        print("Next: 'python -m heaterapp person' makes the first account.")
    return 0


def _is_demo(firm: Any) -> bool:
    from heaterapp.demo import FIRM

    return bool(firm.name == FIRM)


def _person(chosen: argparse.Namespace) -> int:
    store = open_archive()
    try:
        organisations = store.organisations
        firm = organisations.by_slug(chosen.firm) if chosen.firm else organisations.default()
        if _is_demo(firm):
            raise Stopped(
                "This folder holds the demo, whose passwords everybody can read:"
                " name an empty folder with HEATERAPP_DATA and run 'python -m heaterapp setup' there."
            )
        owned = any(one.role == "owner" and not one.disabled for one in store.people.all(firm.id))
        role = chosen.role or ("installer" if owned else "owner")
        if role != "owner" and not owned:
            raise Stopped("The first account is the owner's, who can make the others: leave --role out.")
        name = chosen.name or _asked("Name: ", "--name")
        login = chosen.login or _asked("Sign-in name: ", "--login")
        password = _password(chosen.password_stdin)
        weak = weakness(password, name, login, firm.name)
        if weak:
            raise Stopped(f"That password is not taken. {weak}")
        made = store.people.add(firm.id, login, name, role, password)
    finally:
        store.close()
    print(f"{made.name} can sign in as {made.login} ({made.role}).")
    return 0


def _asked(words: str, option: str) -> str:
    if not sys.stdin.isatty():
        raise Stopped(f"No terminal to ask on: say it with {option}.")
    answer = input(words).strip()
    if not answer:
        raise Stopped("Nothing was typed, so no account was made.")
    return answer


def _password(from_stdin: bool) -> str:
    if from_stdin:
        return sys.stdin.readline(10_000).rstrip("\r\n")
    if not sys.stdin.isatty():
        raise Stopped("No terminal to ask on: pipe the password in and say --password-stdin.")
    typed = getpass.getpass(f"Password (at least {SHORTEST_PASSWORD} characters): ")
    if getpass.getpass("The same again: ") != typed:
        raise Stopped("The two passwords differ, so no account was made.")
    return typed


def _keep_secret_key() -> None:
    config = configuration()
    if not config.get("SECRET_KEY"):
        settings.secret_key(config["DATA_DIR"])


def _serve(chosen: argparse.Namespace) -> int:
    from heaterapp.web.serving import serve

    setup_check.require()
    if chosen.demo:
        _demo(chosen)
    store = open_archive()
    try:
        if not _sound(store.verify_recent(), "The newest part of the archive") and not chosen.damaged:
            print("Not served. Restore a backup, or look at it with 'serve --damaged'.", file=sys.stderr)
            return 1
        serve(store, chosen.host, chosen.port)
    except OSError as refused:
        raise Stopped(
            f"Port {chosen.port} on {chosen.host} cannot be used ({refused.strerror}):"
            " stop the program that holds it, or choose another with --port."
        ) from refused
    finally:
        store.close()
    return 0


def _demo(chosen: argparse.Namespace) -> int:
    from heaterapp import demo
    from heaterapp.certificate import render_files

    setup_check.require()
    _keep_secret_key()
    store = open_archive(must_exist=False)
    try:
        made = demo.fill(store, render_files, say=print)
    except demo.NotEmpty as refused:
        raise Stopped(str(refused)) from refused
    finally:
        store.close()
    print(made)
    return 0


def _verify(chosen: argparse.Namespace) -> int:
    store = open_archive()
    try:
        sound = _sound(store.verify(), "Archive")
        stands = chosen.head is None or _stands(store, chosen.head)
        return 0 if sound and stands else 1
    finally:
        store.close()


def _stands(store: Any, head: str) -> bool:
    try:
        found = store.log.standing(head)
    except archive.Invalid as refused:
        raise Stopped(f"--head {refused}.") from refused
    for entry in found:
        name = store.organisations.get(entry.organisation).name or "this firm"
        print(f"This head stands: entry {entry.seq} in the log of {name}, of {entry.at}.")
    if not found:
        print(
            "This head stands NOWHERE in the log. If it is typed as on the paper, the log was made anew"
            " after that paper, however well it fits together: restore a backup from before.",
            file=sys.stderr,
        )
    return bool(found)


def _sound(found: archive.Verified, what: str) -> bool:
    print(
        f"{what}: {found.records} records, {found.payloads} contents, {found.entries} log entries, "
        f"{'no fault' if found.ok else f'{len(found.faults)} FAULTS'}."
    )
    for fault in found.faults[:FAULTS_SHOWN]:
        print(f"  {fault}", file=sys.stderr)
    return found.ok


def _manual(chosen: argparse.Namespace) -> int:
    from heaterapp.manual.press import manual_pdf

    try:
        chosen.file.write_bytes(manual_pdf(chosen.topic))
    except LookupError as unknown:
        raise Stopped(f"--topic {unknown.args[0]}") from None
    except OSError as unwritable:
        raise Stopped(f"{chosen.file}: {unwritable.strerror}. Name a file that can be written.") from None
    print(f"The rule manual stands in {chosen.file}.")
    return 0


def _benchmark(chosen: argparse.Namespace) -> int:
    try:
        from heaterapp import benchmark
    except ImportError as missing:
        raise Stopped("The benchmark is not part of this installation.") from missing
    return benchmark.main(chosen.more)
