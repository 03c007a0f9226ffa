from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("projects", "0020_roof_shapes")]

    operations = [
        migrations.AddField(
            model_name="jurisdiction",
            name="packet_list",
            field=models.TextField(blank=True, default=""),
            preserve_default=False,
        ),
    ]
