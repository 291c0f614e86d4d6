"""Lists in order of the name need an index of it that does not tell large from small letters."""

from __future__ import annotations

import django.db.models.functions.text
from django.db import migrations, models


class Migration(migrations.Migration):
    """Add the index."""

    dependencies = (("store", "0003_marks"),)

    operations = (
        migrations.AddIndex(
            model_name="case",
            index=models.Index(
                django.db.models.functions.text.Lower("name"),
                models.F("id"),
                name="store_case_by_name",
            ),
        ),
    )
