"""Addresses of rounds, tasks, hours, problems."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
