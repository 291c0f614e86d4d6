"""Calendars that programs fetch, and the days that stand in them."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("store", "0005_spans_of_a_case"),
    ]

    operations = [
        migrations.AddField(
            model_name="case",
            name="planned_of",
            field=models.CharField(blank=True, max_length=64),
        ),
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("digest", models.CharField(max_length=64, unique=True)),
                ("label", models.CharField(max_length=100)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("last_read_at", models.DateTimeField(blank=True, null=True)),
                ("revoked_at", models.DateTimeField(blank=True, null=True)),
                (
                    "account",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="feeds",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "case",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="feeds",
                        to="store.case",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("account__isnull", False), ("case__isnull", True)),
                            models.Q(("account__isnull", True), ("case__isnull", False)),
                            _connector="OR",
                        ),
                        name="store_feed_is_of_a_person_or_a_case",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="PlannedDay",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("authority", models.CharField(max_length=100)),
                ("title", models.CharField(max_length=100)),
                ("key", models.CharField(max_length=200)),
                ("day", models.IntegerField()),
                ("label", models.CharField(max_length=300)),
                ("as_of", models.IntegerField()),
                ("is_after_licence", models.BooleanField(default=False)),
                (
                    "case",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="planned_days",
                        to="store.case",
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(fields=["is_after_licence", "day"], name="store_planned_by_day")
                ],
            },
        ),
    ]
