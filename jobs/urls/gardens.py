"""Addresses of the garden page and the way home."""

from django.urls import path

from jobs.views import gardens, soil

urlpatterns = [
    path("", gardens.home, name="home"),
    path("gardens/dry/", gardens.dry, name="gardens-dry"),
    path("gardens/<int:pk>/", gardens.garden, name="garden"),
    path("beds/<int:pk>/", gardens.bed, name="bed"),
    path("beds/<int:pk>/soil/", soil.bed_soil, name="bed-soil"),
]
