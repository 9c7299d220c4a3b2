"""Addresses of the catalogue, of gardens and of what grows there."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
