"""The index of the search: one row for every word by which a job can be found."""

from __future__ import annotations

from typing import Any

from django.db import models

LONGEST_TERM = 60
LAST_CHARACTER = "\U0010ffff"


class SearchTerm(models.Model):
    """Written with the job's ``search_text`` alone (``actions.search_terms``).

    A table of words, and not the full-text engine of either database: the same plain B-tree answers the same way on
    SQLite and PostgreSQL, needs no extension, and goes along with transactions, dumps and backups like any other row.
    """

    job = models.ForeignKey("Job", on_delete=models.CASCADE, related_name="search_terms", db_index=False)
    term = models.CharField(max_length=LONGEST_TERM)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["job", "term"], name="a_job_has_a_term_once")]
        indexes = [
            # On PostgreSQL only this operator class serves "begins with", whatever the database's language.
            models.Index(fields=["term", "job"], name="search_by_term", opclasses=["varchar_pattern_ops", "int8_ops"])
        ]

    def __str__(self) -> str:
        return self.term


@models.CharField.register_lookup
class Begins(models.Lookup):
    """``term__begins``: case counts, and the column's index is used by both databases (``startswith`` can't use one
    on SQLite, where LIKE ignores case)."""

    lookup_name = "begins"
    prepare_rhs = True

    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, list[Any]]:
        lhs, params = self.process_lhs(compiler, connection)
        return f"{lhs} LIKE %s", [*params, connection.ops.prep_for_like_query(self.rhs) + "%"]

    def as_sqlite(self, compiler: Any, connection: Any) -> tuple[str, list[Any]]:
        lhs, params = self.process_lhs(compiler, connection)
        return f"({lhs} >= %s AND {lhs} < %s)", [*params, self.rhs, *params, f"{self.rhs}{LAST_CHARACTER}"]
