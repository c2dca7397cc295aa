"""The first stored form."""

# ruff: noqa: RUF012
import uuid

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import sourloam.logbook.models.place


class Migration(migrations.Migration):
    """All tables."""

    initial = True

    dependencies = [
        ("auth", "0012_alter_user_first_name_max_length"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name="Forecast",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("vessel", models.CharField(max_length=64)),
                ("seq", models.PositiveBigIntegerField()),
                ("made_at", models.DateTimeField(auto_now=True)),
                ("summary", models.JSONField()),
            ],
        ),
        migrations.CreateModel(
            name="Place",
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
                (
                    "zone",
                    models.CharField(
                        default="UTC",
                        max_length=64,
                        validators=[sourloam.logbook.models.place.known_zone],
                    ),
                ),
                ("units", models.CharField(default="metric", max_length=6)),
                ("language", models.CharField(default="en", max_length=8)),
                ("country", models.CharField(blank=True, default="", max_length=2)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("last_seq", models.PositiveBigIntegerField(default=0)),
                ("last_hash", models.CharField(blank=True, default="", max_length=64)),
            ],
        ),
        migrations.CreateModel(
            name="Preference",
            fields=[
                (
                    "person",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="preference",
                        serialize=False,
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                ("units", models.CharField(blank=True, default="", max_length=6)),
                ("language", models.CharField(blank=True, default="", max_length=8)),
            ],
        ),
        migrations.CreateModel(
            name="Entry",
            fields=[
                ("id", models.UUIDField(primary_key=True, serialize=False)),
                ("seq", models.PositiveBigIntegerField()),
                ("kind", models.CharField(max_length=32)),
                ("vessel", models.CharField(blank=True, default="", max_length=64)),
                ("bed", models.CharField(blank=True, default="", max_length=64)),
                ("at", models.DateTimeField()),
                ("written_at", models.DateTimeField()),
                ("received_at", models.DateTimeField()),
                ("by", models.CharField(blank=True, default="", max_length=80)),
                ("supersedes", models.UUIDField(null=True)),
                ("body", models.JSONField()),
                ("hash_before", models.CharField(blank=True, default="", max_length=64)),
                ("hash", models.CharField(max_length=64)),
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
            ],
            options={
                "base_manager_name": "objects",
            },
        ),
        migrations.CreateModel(
            name="Filing",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("thing", models.CharField(max_length=80)),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="filings",
                        to="logbook.entry",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Invitation",
            fields=[
                ("id", models.UUIDField(default=uuid.uuid4, primary_key=True, serialize=False)),
                ("role", models.CharField(max_length=16)),
                ("token_hash", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("expires_at", models.DateTimeField()),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                ("used", models.PositiveIntegerField(default=0)),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Membership",
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
                        related_name="memberships",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Photo",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sha256", models.CharField(max_length=64)),
                ("size", models.PositiveIntegerField()),
                ("width", models.PositiveIntegerField()),
                ("height", models.PositiveIntegerField()),
                ("received_at", models.DateTimeField(auto_now_add=True)),
                (
                    "person",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="PlaceNow",
            fields=[
                (
                    "place",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        related_name="now",
                        serialize=False,
                        to="logbook.place",
                    ),
                ),
                ("wanted_seq", models.PositiveBigIntegerField(default=0)),
                ("done_seq", models.PositiveBigIntegerField(default=0)),
                ("done_for", models.DateField(null=True)),
                ("learned", models.JSONField(null=True)),
                ("trouble", models.CharField(blank=True, default="", max_length=200)),
            ],
        ),
        migrations.AddConstraint(
            model_name="place",
            constraint=models.CheckConstraint(
                condition=models.Q(("units__in", ("metric", "us"))), name="place_units"
            ),
        ),
        migrations.AddConstraint(
            model_name="place",
            constraint=models.CheckConstraint(
                condition=models.Q(("name", ""), _negated=True), name="place_named"
            ),
        ),
        migrations.AddField(
            model_name="photo",
            name="place",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="photos",
                to="logbook.place",
            ),
        ),
        migrations.AddField(
            model_name="membership",
            name="place",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="memberships",
                to="logbook.place",
            ),
        ),
        migrations.AddField(
            model_name="invitation",
            name="place",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="invitations",
                to="logbook.place",
            ),
        ),
        migrations.AddField(
            model_name="forecast",
            name="place",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="forecasts",
                to="logbook.place",
            ),
        ),
        migrations.AddField(
            model_name="filing",
            name="place",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="+",
                to="logbook.place",
            ),
        ),
        migrations.AddField(
            model_name="entry",
            name="place",
            field=models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="entries",
                to="logbook.place",
            ),
        ),
        migrations.AddConstraint(
            model_name="preference",
            constraint=models.CheckConstraint(
                condition=models.Q(("units__in", ("", "metric", "us"))), name="preference_units"
            ),
        ),
        migrations.AddConstraint(
            model_name="photo",
            constraint=models.UniqueConstraint(fields=("place", "sha256"), name="one_photo"),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.UniqueConstraint(fields=("place", "person"), name="one_membership"),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.CheckConstraint(
                condition=models.Q(("role__in", ("coordinator", "keeper", "gardener", "reader"))),
                name="membership_role",
            ),
        ),
        migrations.AddConstraint(
            model_name="invitation",
            constraint=models.CheckConstraint(
                condition=models.Q(("role__in", ("coordinator", "keeper", "gardener", "reader"))),
                name="invitation_role",
            ),
        ),
        migrations.AddConstraint(
            model_name="forecast",
            constraint=models.UniqueConstraint(
                fields=("place", "vessel"), name="one_forecast_a_vessel"
            ),
        ),
        migrations.AddConstraint(
            model_name="filing",
            constraint=models.UniqueConstraint(
                fields=("place", "thing", "entry"), name="filed_once"
            ),
        ),
        migrations.AddIndex(
            model_name="entry",
            index=models.Index(
                condition=models.Q(("supersedes__isnull", False)),
                fields=["supersedes"],
                name="entry_supersedes",
            ),
        ),
        migrations.AddConstraint(
            model_name="entry",
            constraint=models.UniqueConstraint(fields=("place", "seq"), name="entry_seq"),
        ),
        migrations.AddConstraint(
            model_name="entry",
            constraint=models.CheckConstraint(
                condition=models.Q(("supersedes", models.F("id")), _negated=True),
                name="entry_not_itself",
            ),
        ),
    ]
