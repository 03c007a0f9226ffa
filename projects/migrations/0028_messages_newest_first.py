from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("projects", "0027_lists_by_their_index_alone"),
    ]

    operations = [
        migrations.AddIndex(
            model_name="message",
            index=models.Index(fields=["-queued_at", "-id"], name="messages_newest_first"),
        ),
    ]
