from __future__ import annotations

import pytest
from django.db import connection

from comity.store.models import Case


@pytest.mark.django_db
def test_sqlite_keeps_foreign_keys_and_writes_ahead() -> None:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA foreign_keys")
        assert cursor.fetchone() == (1,)


@pytest.mark.django_db
def test_a_case_is_kept_under_an_id_of_its_own() -> None:
    case = Case.objects.create(reference="amara-n", document="applicant: amara-n\n")
    assert Case.objects.get(pk=case.pk).version == 1
