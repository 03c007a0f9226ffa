"""The journal can't be rewritten: the database itself refuses to change or delete its rows.

A later migration that makes SQLite rebuild projects_journalentry (an altered column) drops the triggers there: end it
with ``migrations.RunPython(journal_triggers.create, journal_triggers.drop)``. A test holds that they exist.
"""

from django.db import migrations

from projects.models import journal_triggers


def create(apps, schema_editor):
    journal_triggers.create(schema_editor.connection)


def drop(apps, schema_editor):
    journal_triggers.drop(schema_editor.connection)


class Migration(migrations.Migration):
    dependencies = [("projects", "0003_study_headline_and_days")]

    operations = [migrations.RunPython(create, drop, elidable=False)]
