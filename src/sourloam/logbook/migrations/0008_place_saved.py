"""What places of programmes saved, kept world by world."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """One table."""

    dependencies = (("logbook", "0007_programme_append_only"),)

    operations = (
        migrations.CreateModel(
            name="PlaceSaved",
            fields=[
                (
                    "place",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="+",
                        serialize=False,
                        to="logbook.place",
                    ),
                ),
                ("seq", models.PositiveBigIntegerField()),
                ("day", models.DateField()),
                ("version", models.CharField(max_length=32)),
                ("worlds", models.JSONField(null=True)),
            ],
        ),
    )
