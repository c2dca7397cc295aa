"""Private addresses for calendar programs."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    """A table of its own."""

    dependencies = (
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
        ("logbook", "0002_append_only"),
    )
    operations = (
        migrations.CreateModel(
            name="CalendarAddress",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ("token_hash", models.CharField(max_length=64, unique=True)),
                ("language", models.CharField(default="en", max_length=8)),
                ("units", models.CharField(default="metric", max_length=6)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="logbook.place",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("withdrawn_at__isnull", True)),
                        fields=("place", "person"),
                        name="one_calendar_address",
                    )
                ],
            },
        ),
    )
