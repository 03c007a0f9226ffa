"""Likely dates, kept."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("projects", "0011_money"),
    ]

    operations = [
        migrations.CreateModel(
            name="LikelyDates",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("made_on", models.DateField()),
                ("after_entry", models.PositiveBigIntegerField()),
                ("thinnest", models.PositiveIntegerField()),
                ("install_low90", models.DateField(null=True)),
                ("install_low50", models.DateField(null=True)),
                ("install_middle", models.DateField(db_index=True, null=True)),
                ("install_high50", models.DateField(null=True)),
                ("install_high90", models.DateField(null=True)),
                ("operate_low90", models.DateField(null=True)),
                ("operate_low50", models.DateField(null=True)),
                ("operate_middle", models.DateField(db_index=True, null=True)),
                ("operate_high50", models.DateField(null=True)),
                ("operate_high90", models.DateField(null=True)),
                (
                    "job",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE, related_name="likely", to="projects.job"
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "likely dates",
            },
        ),
    ]
