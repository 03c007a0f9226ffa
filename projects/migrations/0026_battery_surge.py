from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("projects", "0025_room_beside_hips")]

    operations = [
        migrations.AddField(
            model_name="batterymodel",
            name="surge_kw",
            field=models.FloatField("surge (kW)", null=True, blank=True),
        ),
        migrations.AddField(
            model_name="batterymodel",
            name="surge_s",
            field=models.FloatField("surge lasts (s)", null=True, blank=True),
        ),
        migrations.AddField(
            model_name="batterymodel",
            name="most_pv_kw",
            field=models.FloatField("PV inverters behind one unit (kW)", null=True, blank=True),
        ),
    ]
