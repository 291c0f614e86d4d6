"""Addresses of the office's settings and people."""

from __future__ import annotations

from django.urls import path

from comity.desk.office import keeping, people, views

urlpatterns = [
    path("office", views.office, name="desk-office"),
    path("office/change", views.office_change, name="desk-office-change"),
    path("office/keeping", keeping.keeping, name="desk-office-change-keeping"),
    path("office/keeping/let-go", keeping.let_go, name="desk-office-change-let-go"),
    path("office/people/invite", people.invite_member, name="desk-office-people-invite"),
    path("office/people/<int:account_id>", people.set_active, name="desk-office-people-active"),
    path(
        "office/people/<int:account_id>/new-password",
        people.new_password,
        name="desk-office-people-password",
    ),
    path(
        "office/applicants/<uuid:case_id>/invite",
        people.invite_applicant,
        name="desk-office-invite-applicant",
    ),
    path(
        "office/invitations/<int:invitation_id>/take-back",
        people.take_back,
        name="desk-office-invite-take-back",
    ),
]
