"""Addresses of what needs a person."""

from __future__ import annotations

from django.urls import path

from comity.desk.needs import views

urlpatterns = [path("", views.home, name="desk-home")]
