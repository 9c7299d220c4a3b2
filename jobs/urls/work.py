"""Addresses of planting jobs and single visits."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
