"""Addresses of signing in and of one's own account."""

from __future__ import annotations

from django.urls import path

from comity.desk.accounts import me, views

urlpatterns = [
    path("sign-in", views.sign_in, name="desk-sign-in"),
    path("sign-out", views.sign_out, name="desk-sign-out"),
    path("me", me.me, name="desk-me"),
]
