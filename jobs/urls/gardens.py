"""Addresses of the garden page and the way home."""

from django.urls import path

from jobs.views import gardens

urlpatterns = [
    path("", gardens.home, name="home"),
    path("gardens/<int:pk>/", gardens.garden, name="garden"),
    path("beds/<int:pk>/", gardens.bed, name="bed"),
]
