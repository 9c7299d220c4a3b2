"""Addresses of the garden page and the way home."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
