"""All addresses; the other apps' are named as strings so that the stack holds."""

from django.urls import URLPattern, URLResolver, include, path

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("jobs.urls")),
    path("", include("plants.urls")),
]
