"""The triggers that keep the job journal append-only, for SQLite and PostgreSQL."""

from __future__ import annotations

from typing import Any

TABLE = "projects_journalentry"
REFUSAL = "the job journal is append-only"

_FUNCTION = (
    "CREATE OR REPLACE FUNCTION journal_refuse() RETURNS trigger LANGUAGE plpgsql AS "
    f"$$ BEGIN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'integrity_constraint_violation'; END $$"
)
_EVENTS = {
    "sqlite": {"journal_no_update": "UPDATE", "journal_no_delete": "DELETE"},
    "postgresql": {"journal_no_update": "UPDATE", "journal_no_delete": "DELETE", "journal_no_truncate": "TRUNCATE"},
}


def names(vendor: str) -> set[str]:
    return set(_EVENTS[vendor])


def create(connection: Any) -> None:
    if connection.vendor == "sqlite":
        body = f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
        statements = [
            f"CREATE TRIGGER IF NOT EXISTS {name} BEFORE {event} ON {TABLE} {body}"
            for name, event in _EVENTS["sqlite"].items()
        ]
    else:
        body = "FOR EACH STATEMENT EXECUTE FUNCTION journal_refuse()"
        statements = [_FUNCTION] + [
            f"CREATE OR REPLACE TRIGGER {name} BEFORE {event} ON {TABLE} {body}"
            for name, event in _EVENTS["postgresql"].items()
        ]
    _run(connection, statements)


def drop(connection: Any) -> None:
    on_table = "" if connection.vendor == "sqlite" else f" ON {TABLE}"
    _run(connection, [f"DROP TRIGGER IF EXISTS {name}{on_table}" for name in _EVENTS[connection.vendor]])


def present(connection: Any) -> set[str]:
    """Names of the triggers that stand on the journal's table."""
    query = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE tgrelid = %s::regclass AND NOT tgisinternal",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(query, [TABLE])
        return {row[0] for row in cursor.fetchall()}


def _run(connection: Any, statements: list[str]) -> None:
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
