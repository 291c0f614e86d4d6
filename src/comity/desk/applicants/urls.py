"""Addresses of the list of applicants, and of the tables that go in and out."""

from __future__ import annotations

from django.urls import path

from comity.desk.applicants import exporting, importing, views

urlpatterns = [
    path("applicants", views.applicants, name="desk-applicants"),
    path("applicants/new", views.applicant_new, name="desk-applicants-new"),
    path("applicants/import", importing.import_table, name="desk-applicants-import"),
    path(
        "applicants/import/columns.xlsx",
        importing.import_columns,
        name="desk-applicants-import-columns",
    ),
    path(
        "applicants/import/<uuid:table_id>",
        importing.import_preview,
        name="desk-applicants-import-preview",
    ),
    path(
        "applicants/export.csv",
        exporting.export_table,
        {"form": "csv"},
        name="desk-applicants-export-csv",
    ),
    path(
        "applicants/export.xlsx",
        exporting.export_table,
        {"form": "xlsx"},
        name="desk-applicants-export-xlsx",
    ),
]
