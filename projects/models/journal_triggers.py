"""The triggers that keep the job journal append-only, for SQLite and PostgreSQL."""

from __future__ import annotations

from typing import Any

TABLE = "projects_journalentry"
NAMES = ("journal_no_update", "journal_no_delete")
REFUSAL = "the job journal is append-only"

_CREATE = {
    "sqlite": [
        f"CREATE TRIGGER IF NOT EXISTS {name} BEFORE {event} ON {TABLE} BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
        for name, event in zip(NAMES, ("UPDATE", "DELETE"), strict=True)
    ],
    "postgresql": [
        "CREATE OR REPLACE FUNCTION journal_refuse() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{REFUSAL}' USING ERRCODE = 'integrity_constraint_violation'; END $$",
        *(
            f"CREATE OR REPLACE TRIGGER {name} BEFORE {event} ON {TABLE} FOR EACH ROW EXECUTE FUNCTION journal_refuse()"
            for name, event in zip(NAMES, ("UPDATE", "DELETE"), strict=True)
        ),
    ],
}
_DROP = {
    "sqlite": [f"DROP TRIGGER IF EXISTS {name}" for name in NAMES],
    "postgresql": [f"DROP TRIGGER IF EXISTS {name} ON {TABLE}" for name in NAMES],
}


def create(connection: Any) -> None:
    _run(connection, _CREATE)


def drop(connection: Any) -> None:
    _run(connection, _DROP)


def present(connection: Any) -> set[str]:
    """Names of the triggers that stand on the journal's table."""
    query = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE tgrelid = %s::regclass AND NOT tgisinternal",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(query, [TABLE])
        return {row[0] for row in cursor.fetchall()}


def _run(connection: Any, statements: dict[str, list[str]]) -> None:
    with connection.cursor() as cursor:
        for statement in statements[connection.vendor]:
            cursor.execute(statement)
