"""Addresses of private links."""

from django.urls import path

from jobs.views import links

urlpatterns = [
    path("quote/<str:key>/", links.link_quote, name="link-quote"),
    path("quote/<str:key>/agree/", links.link_quote_agree, name="link-quote-agree"),
    path(
        "quote/<str:key>/decline/", links.link_quote_decline, name="link-quote-decline"
    ),
    path("quote/<str:key>/ask/", links.link_quote_ask, name="link-quote-ask"),
    path("quote/<str:key>/pdf/", links.link_quote_pdf, name="link-quote-pdf"),
]
