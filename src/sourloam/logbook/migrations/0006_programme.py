"""Programmes of places, their people, rounds and own log; facts of places kept ready."""

import datetime
import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import sourloam.logbook.models.place


class Migration(migrations.Migration):
    """Tables of programmes."""

    dependencies = (
        ("logbook", "0005_token"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    )

    operations = (
        migrations.CreateModel(
            name="PlaceSummary",
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
                ("seq", models.PositiveBigIntegerField(default=0)),
                ("made_at", models.DateTimeField(auto_now=True)),
                ("facts", models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name="Programme",
            fields=[
                (
                    "id",
                    models.CharField(
                        default=sourloam.logbook.models.place.new_id,
                        max_length=64,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                ("name", models.CharField(max_length=80)),
                ("zone", models.CharField(default="UTC", max_length=64)),
                ("hub", models.CharField(blank=True, default="", max_length=80)),
                ("latitude", models.FloatField(null=True)),
                ("longitude", models.FloatField(null=True)),
                ("room", models.PositiveIntegerField(default=24)),
                ("payload_kg", models.FloatField(default=400.0)),
                ("starts", models.TimeField(default=datetime.time(8, 0))),
                ("ends", models.TimeField(default=datetime.time(13, 0))),
                ("bran_kg", models.FloatField(default=0.0)),
                ("round_days", models.PositiveIntegerField(default=7)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(("name", ""), _negated=True), name="programme_named"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("bran_kg__gte", 0),
                            ("payload_kg__gt", 0),
                            ("room__gte", 1),
                            ("round_days__gte", 1),
                        ),
                        name="programme_room",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ProgrammeEntry",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ("kind", models.CharField(max_length=32)),
                ("day", models.DateField()),
                ("written_at", models.DateTimeField(auto_now_add=True)),
                ("by", models.CharField(blank=True, default="", max_length=80)),
                ("supersedes", models.UUIDField(null=True)),
                ("body", models.JSONField()),
                (
                    "person",
                    models.ForeignKey(
                        db_index=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "place",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="logbook.place",
                    ),
                ),
                (
                    "programme",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="entries",
                        to="logbook.programme",
                    ),
                ),
            ],
            options={
                "base_manager_name": "objects",
                "indexes": [models.Index(fields=["programme", "day"], name="programme_entry_day")],
            },
        ),
        migrations.CreateModel(
            name="ProgrammeLink",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ("role", models.CharField(max_length=16)),
                ("token_hash", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "programme",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="links",
                        to="logbook.programme",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("role__in", ("coordinator", "helper", "reader", "place"))
                        ),
                        name="programme_link_role",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ProgrammeMember",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("role", models.CharField(max_length=16)),
                ("since", models.DateTimeField(auto_now_add=True)),
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
                    "programme",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="members",
                        to="logbook.programme",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("programme", "person"), name="one_programme_member"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("role__in", ("coordinator", "helper", "reader"))),
                        name="programme_role",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ProgrammePlace",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("joined", models.DateField()),
                ("left", models.DateField(null=True)),
                ("latitude", models.FloatField(null=True)),
                ("longitude", models.FloatField(null=True)),
                ("opens", models.TimeField(null=True)),
                ("closes", models.TimeField(null=True)),
                ("how", models.CharField(blank=True, default="", max_length=200)),
                (
                    "place",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to="logbook.place",
                    ),
                ),
                (
                    "programme",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="places",
                        to="logbook.programme",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        fields=("programme", "place"), name="place_once_in_programme"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="ProgrammeRound",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("day", models.DateField()),
                ("made_at", models.DateTimeField(auto_now=True)),
                ("plan", models.JSONField()),
                (
                    "programme",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="rounds",
                        to="logbook.programme",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("programme", "day"), name="one_round_a_day")
                ],
            },
        ),
    )
