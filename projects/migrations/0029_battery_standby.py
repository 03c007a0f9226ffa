from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("projects", "0028_messages_newest_first")]

    operations = [
        migrations.AddField(
            model_name="batterymodel",
            name="standby_w",
            field=models.FloatField("standby (W)", null=True, blank=True),
        ),
    ]
