"""All addresses; the other apps' are named as strings so that the stack holds."""

from django.urls import URLPattern, URLResolver, include, path

from firm.views import clients, files, messages

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("jobs.urls")),
    path("", include("plants.urls")),
    path("clients/", clients.clients, name="clients"),
    path("clients/new/", clients.client_new, name="client-new"),
    path("clients/<int:pk>/", clients.client, name="client"),
    path("clients/<int:pk>/change/", clients.client_change, name="client-change"),
    path("files/<str:name>", files.file, name="file"),
    path("firm/messages/", messages.messages, name="messages"),
    path("firm/messages/trial/", messages.messages_trial, name="messages-trial"),
    path("firm/messages/<int:pk>/again/", messages.message_again, name="message-again"),
    path("firm/messages/<int:pk>/drop/", messages.message_drop, name="message-drop"),
]
