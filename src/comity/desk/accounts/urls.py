"""Addresses of signing in, of joining, and of one's own account."""

from __future__ import annotations

from django.urls import path

from comity.desk.accounts import joining, me, starting, views

urlpatterns = [
    path("start", starting.start, name="desk-start"),
    path("sign-in", views.sign_in, name="desk-sign-in"),
    path("sign-out", views.sign_out, name="desk-sign-out"),
    path("invitation/<str:token>", joining.invitation, name="desk-invitation"),
    path("new-password/<str:who>/<str:token>", joining.new_password, name="desk-new-password"),
    path("me", me.me, name="desk-me"),
    path("me/password", me.me_password, name="desk-me-password"),
    path("me/language", me.me_language, name="desk-me-language"),
    path("me/elsewhere", me.me_elsewhere, name="desk-me-elsewhere"),
    path("me/tokens", me.me_token_issue, name="desk-me-token-issue"),
    path("me/tokens/<int:token_id>/revoke", me.me_token_revoke, name="desk-me-token-revoke"),
]
