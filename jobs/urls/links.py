"""Addresses of private links."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
