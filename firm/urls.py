"""All addresses; the other apps' are named as strings so that the stack holds."""

from django.urls import URLPattern, URLResolver, include, path

from firm.views import accounts, clients, files, messages, people, settings, setup

urlpatterns: list[URLPattern | URLResolver] = [
    path("", include("jobs.urls")),
    path("", include("plants.urls")),
    path("first-run/", setup.first_run, name="first-run"),
    path("login/", accounts.login, name="login"),
    path("logout/", accounts.logout, name="logout"),
    path("password/", accounts.password_change, name="password-change"),
    path("password/forgotten/", accounts.password_forgotten, name="password-forgotten"),
    path("password/asked/", accounts.password_asked, name="password-asked"),
    path("password/new/<uidb64>/<token>/", accounts.password_new, name="password-new"),
    path("invitation/<str:key>/", accounts.invitation, name="invitation"),
    path("come-in/", accounts.come_in_page, name="come-in"),
    path("firm/", settings.firm, name="firm"),
    path("firm/tax/", settings.tax, name="firm-tax"),
    path("firm/tax/<int:pk>/", settings.tax_rate_end, name="firm-tax-rate"),
    path("firm/places/new/", settings.tax_place, name="firm-tax-region-new"),
    path("firm/places/<int:pk>/", settings.tax_place, name="firm-tax-region"),
    path("firm/labour/", settings.labour, name="firm-labour"),
    path("firm/labour/<int:pk>/", settings.labour, name="firm-labour-rate"),
    path("firm/mail/", settings.mail, name="firm-mail"),
    path("firm/people/", people.people, name="people"),
    path("firm/people/new/", people.person_new, name="person-new"),
    path("firm/people/<int:pk>/", people.person, name="person"),
    path(
        "firm/invitations/<int:pk>/withdraw/",
        people.invitation_withdraw,
        name="invitation-withdraw",
    ),
    path("firm/crews/", people.crews, name="crews"),
    path("firm/crews/<int:pk>/", people.crew, name="crew"),
    path("firm/crews/<int:pk>/join/", people.crew_join, name="crew-join"),
    path("firm/stays/<int:pk>/end/", people.stay_end, name="stay-end"),
    path("firm/days-off/", people.days_off, name="days-off"),
    path(
        "firm/days-off/<int:pk>/remove/", people.day_off_remove, name="day-off-remove"
    ),
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
