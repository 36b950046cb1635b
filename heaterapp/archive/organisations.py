"""Organisations: the walls between one firm's rows and another's."""

import json
from collections.abc import Mapping
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, RowMapping, bindparam, insert, select, update

from heaterapp import firm_days
from heaterapp.archive import checking, faults, log, logos, tables
from heaterapp.archive.canonical import EMPTY_HEAD, canonical
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound, SettingsConflict
from heaterapp.archive.shapes import KINDS, Organisation

DEFAULT_PREFIXES = {"certificate": "C", "correction_list": "L", "findings_report": "F"}
LONGEST = {"slug": 64, "name": 200, "licence": 100, "phone": 100, "address": 300}
LARGEST_SETTINGS = 100_000
ON_PAPER = ("gas_emergency_phone", "logo", "paper", "place", "prefixes", "time_zone")
IMPORTED = "imported"
"""The setting that an import leaves: {"from": stamp, "upto": last entry of the log that it brought}."""
TOLD = (
    "retention_years", "office_session_hours", "installer_session_days", "link_days", "paper", "seal",
    "time_zone",
)  # fmt: skip
"""Settings whose old and new value stand in the log: no secret, nothing of a person."""
SECRETS = (("mail", "password"),)
"""Settings with a part that leaves the archive for one purpose only: (setting, its secret part)."""
_table = tables.organisation
_one_firm = select(_table).where(_table.c.organisation == bindparam("firm"))


class Organisations:
    """Read and write organisations; there is always at least the default one."""

    def __init__(self, database: Database):
        self._database = database

    def default(self) -> Organisation:
        """Return the first organisation, made on the first call."""
        first = select(_table).order_by(_table.c.organisation).limit(1)
        with self._database.read() as connection:
            row = connection.execute(first).mappings().first()
        if row is None:
            with self._database.write() as connection:
                row = connection.execute(first).mappings().first() or _add(
                    connection, {"slug": "main", "name": "", "licence": "", "phone": "", "address": ""}, {}
                )
        return from_row(row)

    def add(
        self,
        slug: str,
        name: str,
        licence: str = "",
        phone: str = "",
        address: str = "",
        settings: dict[str, Any] | None = None,
    ) -> Organisation:
        """Make an organisation with its counters and its empty log. Raises Invalid."""
        given = {"slug": slug, "name": name, "licence": licence, "phone": phone, "address": address}
        kept = {key: checking.line(key, value, LONGEST[key]) for key, value in given.items()}
        with self._database.write() as connection:
            if connection.execute(select(_table).where(_table.c.slug == kept["slug"])).first():
                raise Invalid("slug", "a name no other organisation has")
            row = _add(connection, kept, check_settings(connection, None, settings or {}))
        return from_row(row)

    def get(self, organisation: int) -> Organisation:
        with self._database.read() as connection:
            return read_organisation(connection, organisation)

    def by_slug(self, slug: str) -> Organisation:
        with self._database.read() as connection:
            row = connection.execute(select(_table).where(_table.c.slug == slug)).mappings().first()
        if row is None:
            raise NotFound("No such organisation.")
        return from_row(row)

    def save(self, organisation: int, *, by: int | None = None, **changes: str | None) -> Organisation:
        """Change name, licence, phone or address; what was issued keeps the old ones."""
        return self.change(organisation, by, facts=changes)

    def save_settings(
        self, organisation: int, changes: dict[str, Any], by: int | None = None
    ) -> Organisation:
        """Merge `changes` into the settings; None removes a key."""
        return self.change(organisation, by, settings=changes)

    def change(
        self,
        organisation: int,
        by: int | None,
        facts: Mapping[str, str | None] | None = None,
        settings: Mapping[str, Any] | None = None,
        logo: bytes | None = None,
        seen: Mapping[str, Any] | None = None,
    ) -> Organisation:
        """Change facts, settings and logo at once, or nothing; what really changed stands in the log by name.

        facts     name, licence, phone, address; None leaves one as it is
        settings  merged into those that stand; None removes a key. A secret in one of them
                  (the mail's password) stays as it was where it is not given
        logo      a small JPEG, named from then on by the setting `logo`
        seen      settings and facts as whoever changes them read them, None for one that was not set
        by        who does it
        raises    NotFound, Invalid; SettingsConflict where what was seen stands no more

        `prefixes` (kind to prefix of its numbers) is checked: no prefix may be
        shared with, or ever have been used by, another kind.
        """
        said = {key: text for key, text in (facts or {}).items() if text is not None}
        kept: dict[str, Any] = {key: checking.line(key, text, LONGEST[key]) for key, text in said.items()}
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            row = _row(connection, organisation)
            before = json.loads(row["settings"])
            stands = {**from_row(row).settings, **{key: row[key] for key in LONGEST}}
            others = tuple(key for key, value in (seen or {}).items() if stands.get(key) != value)
            if others:
                raise SettingsConflict(others)
            wanted = dict(settings or {})
            if logo is not None:
                wanted["logo"] = logos.keep(connection, organisation, by, logo, now)
            after = {key: value for key, value in {**before, **wanted}.items() if value is not None}
            _keep_secrets(before, after, wanted)
            changed = {key for key in before.keys() | after.keys() if before.get(key) != after.get(key)}
            changed |= {key for key in kept if kept[key] != row[key]}
            faults.at("settings_read")
            if changed:
                kept["settings"] = canonical(check_settings(connection, organisation, after))
                connection.execute(update(_table).where(_table.c.organisation == organisation).values(kept))
                faults.at("settings_saved")
                body: dict[str, Any] = {"keys": sorted(changed)}
                told = {key: [before.get(key), after.get(key)] for key in sorted(changed.intersection(TOLD))}
                body |= {"values": told} if told else {}
                if "presets" in changed:
                    body["presets"] = _each_changed(before.get("presets"), after.get("presets"))
                log.append(connection, organisation, "settings", now, by, None, body)
            return read_organisation(connection, organisation)

    def logo(self, organisation: int) -> bytes | None:
        """Return the logo that papers made now carry, None without one."""
        with self._database.read() as connection:
            chosen = read_organisation(connection, organisation).settings.get("logo")
            return logos.read(connection, organisation, chosen)

    def mail(self, organisation: int) -> dict[str, Any]:
        """Return the mail settings with their password, for who sends mail and nobody else."""
        with self._database.read() as connection:
            return json.loads(_row(connection, organisation)["settings"]).get("mail", {})


def _each_changed(before: Any, after: Any) -> dict[str, list[Any]]:
    """Question -> the preset before and after, None for the program's own: answers of no person's job."""
    old, new = before or {}, after or {}
    return {k: [old.get(k), new.get(k)] for k in sorted({*old, *new}) if old.get(k) != new.get(k)}


def prefixes(settings: Any) -> dict[str, str]:
    """Return every kind's number prefix, the settings' own before the usual ones."""
    return {**DEFAULT_PREFIXES, **settings.get("prefixes", {})}


def read_organisation(connection: Connection, organisation: int) -> Organisation:
    return from_row(_row(connection, organisation))


def zone_of(connection: Connection, organisation: int) -> ZoneInfo:
    """Return the time zone by which a firm counts its days; UTC where there is no such firm."""
    row = connection.execute(_one_firm, {"firm": organisation}).mappings().first()
    return firm_days.zone_of(json.loads(row["settings"]) if row else {})


def on_paper(settings: Mapping[str, Any]) -> dict[str, Any]:
    """Return the settings that a record keeps: those that its papers were made with."""
    return {key: settings[key] for key in ON_PAPER if key in settings}


def _row(connection: Connection, organisation: int) -> RowMapping:
    row = connection.execute(_one_firm, {"firm": organisation}).mappings().first()
    if row is None:
        raise NotFound("No such organisation.")
    return row


def _keep_secrets(before: Mapping[str, Any], after: dict[str, Any], wanted: Mapping[str, Any]) -> None:
    for key, secret in SECRETS:
        given, stood = wanted.get(key), before.get(key)
        if isinstance(given, dict):
            # What is shown of a setting says only that there is a secret: sent back, it changes nothing.
            whole = {name: value for name, value in given.items() if name != f"{secret}_kept"}
            if secret not in whole and isinstance(stood, dict) and secret in stood:
                whole[secret] = stood[secret]
            after[key] = {name: value for name, value in whole.items() if value is not None}


def _without_secrets(settings: dict[str, Any]) -> dict[str, Any]:
    for key, secret in SECRETS:
        held = settings.get(key)
        if isinstance(held, dict) and secret in held:
            shown = {name: value for name, value in held.items() if name != secret}
            settings[key] = {**shown, f"{secret}_kept": True}
    return settings


def check_settings(
    connection: Connection, organisation: int | None, settings: dict[str, Any]
) -> dict[str, Any]:
    """Return settings that an organisation, None for a new one, may keep. Raises Invalid."""
    try:
        if len(canonical(settings)) > LARGEST_SETTINGS:
            raise Invalid("settings", f"at most {LARGEST_SETTINGS} characters of JSON")
    except (TypeError, ValueError):
        raise Invalid("settings", "JSON") from None
    own = settings.get("prefixes", {})
    if not isinstance(own, dict) or not set(own) <= set(KINDS):
        raise Invalid("prefixes", "a prefix for each of " + ", ".join(KINDS))
    chosen = prefixes({"prefixes": {kind: checking.prefix(text) for kind, text in own.items()}})
    if len(set(chosen.values())) < len(KINDS):
        raise Invalid("prefixes", "a different prefix for each kind")
    for kind, prefix in chosen.items():
        used = select(tables.record.c.id).where(
            tables.record.c.organisation == organisation,
            tables.record.c.kind != kind,
            tables.record.c.number.startswith(prefix + "-", autoescape=True),
        )
        if connection.execute(used.limit(1)).first():
            raise Invalid("prefixes", f"{prefix} has numbered another kind already")
    return settings


def _add(connection: Connection, kept: dict[str, str], settings: dict[str, Any]) -> RowMapping:
    made = connection.execute(insert(_table).values(settings=canonical(settings), **kept))
    organisation = made.inserted_primary_key[0]
    connection.execute(
        insert(tables.counter), [{"organisation": organisation, "kind": kind, "last": 0} for kind in KINDS]
    )
    connection.execute(insert(tables.log_head).values(organisation=organisation, seq=0, digest=EMPTY_HEAD))
    return connection.execute(select(_table).where(_table.c.organisation == organisation)).mappings().one()


def from_row(row: Mapping[str, Any]) -> Organisation:
    return Organisation(
        id=row["organisation"],
        slug=row["slug"],
        name=row["name"],
        licence=row["licence"],
        phone=row["phone"],
        address=row["address"],
        settings=_without_secrets(json.loads(row["settings"])),
    )
