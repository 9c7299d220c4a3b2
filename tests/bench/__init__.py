"""Benchmarks: scripts that print figures, run by hand and never collected as tests."""

import os

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings")
os.environ.setdefault("SECRET_KEY", "only-for-benchmarks-" * 3)
django.setup()
