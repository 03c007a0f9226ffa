from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("projects", "0018_service_visit_crew")]

    operations = [
        migrations.AddField(
            model_name="batterymodel",
            name="coupling",
            field=models.CharField(
                "connects",
                max_length=2,
                choices=[("dc", "To the inverter’s DC side"), ("ac", "To the AC side, by an inverter of its own")],
                default="dc",
            ),
        ),
    ]
