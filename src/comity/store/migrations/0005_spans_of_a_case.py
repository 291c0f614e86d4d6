"""What needs a person is found by case and day; an adviser's cases, by when they were touched."""

from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    """Add the indexes."""

    dependencies = (("store", "0004_by_name"),)

    operations = (
        migrations.AddIndex(
            model_name="span",
            index=models.Index(
                fields=["case", "sort", "until"], name="store_span_case_id_12b0e5_idx"
            ),
        ),
        migrations.AlterField(
            model_name="case",
            name="spans_of",
            field=models.CharField(blank=True, db_index=True, max_length=64),
        ),
        migrations.AddIndex(
            model_name="case",
            index=models.Index(
                models.F("adviser"), models.F("changed_at"), name="store_case_by_adviser"
            ),
        ),
    )
