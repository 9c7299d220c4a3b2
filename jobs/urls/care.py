"""Addresses of care contracts and the week."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
