"""Addresses of receipts, bills, totals."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
