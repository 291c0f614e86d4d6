"""Addresses of mock examinations: the tutor's below /exams, the applicant's below /sittings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import path

from comity.desk.mock_exams import (
    answering,
    banks,
    cohorts,
    editing,
    figures,
    making,
    packages,
    readiness,
    sitting,
)

if TYPE_CHECKING:
    from django.urls import URLPattern

BANK = "exams/banks/<uuid:bank_id>"
FORM = "exams/forms/<uuid:form_id>"
CLASS = "exams/classes/<uuid:cohort_id>"
SITTING = "sittings/<uuid:sitting_id>"

urlpatterns: list[URLPattern] = [
    path("exams", making.exams, name="desk-exams"),
    path("exams/banks/new", editing.bank_new, name="desk-exam-bank-new"),
    path("exams/banks/check", editing.bank_check, name="desk-exam-bank-check"),
    path("exams/banks/starter", banks.take_starter, name="desk-exam-bank-starter"),
    path(BANK, banks.bank, name="desk-exam-bank"),
    path(f"{BANK}/edit", editing.bank_edit, name="desk-exam-bank-edit"),
    path(f"{BANK}/file", editing.bank_export, name="desk-exam-bank-export"),
    path(f"{BANK}/package", packages.bank_package, name="desk-exam-bank-package"),
    path(f"{BANK}/items/<str:item_id>", banks.item, name="desk-exam-item"),
    path("exams/models/new", editing.model_new, name="desk-exam-model-new"),
    path("exams/models/check", editing.model_check, name="desk-exam-model-check"),
    path("exams/models/<int:model_id>", editing.model_edit, name="desk-exam-model"),
    path("exams/forms/new", making.form_new, name="desk-exam-form-new"),
    path(FORM, making.form, name="desk-exam-form"),
    path(f"{FORM}/give", making.give, name="desk-exam-form-give"),
    path(f"{FORM}/withdraw", making.withdraw, name="desk-exam-form-withdraw"),
    path(f"{FORM}/figures", figures.figures, name="desk-exam-figures"),
    path("exams/classes/new", cohorts.cohort_new, name="desk-exam-class-new"),
    path(CLASS, cohorts.cohort, name="desk-exam-class"),
    path(f"{CLASS}/edit", cohorts.cohort_edit, name="desk-exam-class-edit"),
    path("exams/sittings/<uuid:sitting_id>", making.sitting, name="desk-exam-sitting"),
    path(
        "exams/sittings/<uuid:sitting_id>/take-back",
        making.take_back,
        name="desk-exam-sitting-take-back",
    ),
    path(
        "exams/sittings/<uuid:sitting_id>/<int:number>/mark",
        making.mark,
        name="desk-exam-sitting-mark",
    ),
    path("cases/<uuid:case_id>/readiness", readiness.readiness, name="desk-case-readiness"),
    path("sittings", sitting.sittings, name="desk-sittings"),
    path(SITTING, sitting.sitting, name="desk-sitting"),
    path(f"{SITTING}/begin", sitting.begin, name="desk-sitting-begin"),
    path(f"{SITTING}/all", sitting.everything, name="desk-sitting-all"),
    path(f"{SITTING}/review", sitting.review, name="desk-sitting-review"),
    path(f"{SITTING}/hand-in", sitting.hand_in, name="desk-sitting-hand-in"),
    path(f"{SITTING}/result", sitting.result, name="desk-sitting-result"),
    path(f"{SITTING}/time", sitting.time_left, name="desk-sitting-time"),
    path(f"{SITTING}/<int:number>", sitting.question, name="desk-sitting-question"),
    path(f"{SITTING}/<int:number>/answer", answering.answer, name="desk-sitting-answer"),
    path(f"{SITTING}/<int:number>/flag", answering.flag, name="desk-sitting-flag"),
]
