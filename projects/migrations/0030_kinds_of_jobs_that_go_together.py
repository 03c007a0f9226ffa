"""PostgreSQL is told which of the job list's columns go together.

Taken for independent, "open" and "a lead" look like a fifth of the jobs that they are, and the list is read from the
table and sorted instead of along its order's index: 29 ms against 7 of 100,000 jobs.
"""

from __future__ import annotations

from typing import Any

from django.db import migrations

TELL = """
    CREATE STATISTICS jobs_kinds_together (mcv)
    ON listed_as, stage_place, system_kind, waiting_on FROM projects_job
"""


def tell(apps: Any, schema_editor: Any) -> None:
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(TELL)
        schema_editor.execute("ANALYZE projects_job")


def forget(apps: Any, schema_editor: Any) -> None:
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute("DROP STATISTICS jobs_kinds_together")


class Migration(migrations.Migration):
    dependencies = [("projects", "0029_battery_standby")]

    operations = [migrations.RunPython(tell, forget, elidable=False)]
