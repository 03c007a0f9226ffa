"""The database itself refuses to change an issued paper. (Removing is refused in the model: tests must be able to empty tables.)"""

from django.db import migrations

SQLITE = """
CREATE TRIGGER IF NOT EXISTS issued_papers_never_change BEFORE UPDATE ON paperwork_issuedpaper
BEGIN SELECT RAISE(ABORT, 'an issued paper never changes'); END;
"""
POSTGRESQL = """
CREATE OR REPLACE FUNCTION issued_papers_never_change() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION 'an issued paper never changes'; END $$ LANGUAGE plpgsql;
DROP TRIGGER IF EXISTS issued_papers_never_change ON paperwork_issuedpaper;
CREATE TRIGGER issued_papers_never_change BEFORE UPDATE ON paperwork_issuedpaper
FOR EACH ROW EXECUTE FUNCTION issued_papers_never_change();
"""


def add(apps, schema_editor):
    sql = {"sqlite": SQLITE, "postgresql": POSTGRESQL}[schema_editor.connection.vendor]
    with schema_editor.connection.cursor() as cursor:
        cursor.execute(sql)


def drop(apps, schema_editor):
    on = " ON paperwork_issuedpaper" if schema_editor.connection.vendor == "postgresql" else ""
    schema_editor.execute(f"DROP TRIGGER IF EXISTS issued_papers_never_change{on}")


class Migration(migrations.Migration):
    dependencies = [("paperwork", "0002_initial")]
    operations = [migrations.RunPython(add, drop)]
