"""What places achieved, kept once reckoned."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    """A table of its own."""

    dependencies = (("logbook", "0003_calendar_address"),)
    operations = (
        migrations.CreateModel(
            name="Achieved",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64)),
                ("question", models.JSONField()),
                ("wanted_seq", models.PositiveBigIntegerField()),
                ("done_seq", models.PositiveBigIntegerField(default=0)),
                ("asked_at", models.DateTimeField(auto_now=True)),
                ("answer", models.JSONField(null=True)),
                ("trouble", models.CharField(blank=True, default="", max_length=200)),
                (
                    "place",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="achieved",
                        to="logbook.place",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("place", "digest"), name="one_answer_a_question"
                    )
                ],
            },
        ),
    )
