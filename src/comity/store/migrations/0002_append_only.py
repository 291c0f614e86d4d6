"""The database itself refuses to change or delete a record of the audit trail."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from comity.store.append_only import forbid_changes, lift


def forward(_apps: StateApps, editor: BaseDatabaseSchemaEditor) -> None:
    forbid_changes(editor.connection)


def backward(_apps: StateApps, editor: BaseDatabaseSchemaEditor) -> None:
    lift(editor.connection)


class Migration(migrations.Migration):
    dependencies = [("store", "0001_initial")]

    operations = [migrations.RunPython(forward, backward)]
