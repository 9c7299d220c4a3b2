"""Addresses of quotes."""

from django.urls import path

from jobs.views import (
    labour,
    labour_learned,
    labour_rates,
    pricing_settings,
    quote_offers,
    quote_prices,
    quote_words,
    quotes,
    takeoff,
)

urlpatterns = [
    path("firm/pricing/", pricing_settings.pricing_settings, name="firm-pricing"),
    path("firm/hours-say/", labour_learned.labour_learned, name="work-learned"),
    path(
        "firm/hours-say/<slug:key>/",
        labour_learned.labour_learned_answer,
        name="work-learned-answer",
    ),
    path("firm/rates/", labour_rates.labour_rates, name="work-rates"),
    path("firm/rates/new/", labour_rates.labour_task_new, name="work-rate-new"),
    path(
        "firm/rates/<slug:rate>/",
        labour_rates.labour_rate,
        name="work-rate",
    ),
    path(
        "firm/rates/factors/<slug:factor>/",
        labour_rates.labour_factor,
        name="work-factor",
    ),
    path("firm/quote-words/", quote_words.quote_words, name="firm-quote-words"),
    path("quotes/", quotes.quotes, name="quotes"),
    path("gardens/<int:pk>/quotes/new/", quotes.quote_new, name="quote-new"),
    path("quotes/<int:pk>/", quotes.quote, name="quote"),
    path("quotes/<int:pk>/change/", quotes.quote_change, name="quote-change"),
    path(
        "quotes/<int:pk>/lines/new/<slug:kind>/",
        quotes.quote_line_new,
        name="quote-line-new",
    ),
    path("quotes/<int:pk>/lines/<int:line>/", quotes.quote_line, name="quote-line"),
    path(
        "quotes/<int:pk>/lines/<int:line>/remove/",
        quotes.quote_line_remove,
        name="quote-line-remove",
    ),
    path("quotes/<int:pk>/prices/", quote_prices.quote_prices, name="quote-prices"),
    path("quotes/<int:pk>/what-if/", quote_prices.quote_what_if, name="quote-what-if"),
    path(
        "quotes/<int:pk>/options/new/",
        quote_prices.quote_option,
        name="quote-option-new",
    ),
    path(
        "quotes/<int:pk>/options/<int:option>/",
        quote_prices.quote_option,
        name="quote-option",
    ),
    path(
        "quotes/<int:pk>/options/<int:option>/remove/",
        quote_prices.quote_option_remove,
        name="quote-option-remove",
    ),
    path(
        "quotes/<int:pk>/payments/",
        quote_prices.quote_payments,
        name="quote-payments",
    ),
    path(
        "quotes/<int:pk>/questions/<int:question>/",
        quote_offers.quote_question,
        name="quote-question",
    ),
    path("quotes/<int:pk>/revise/", quotes.quote_revise, name="quote-revise"),
    path("quotes/<int:pk>/pdf/", quotes.quote_pdf, name="quote-pdf"),
    path("quotes/<int:pk>/beds/<int:bed>/plan/", takeoff.quote_plan, name="quote-plan"),
    path(
        "quotes/<int:pk>/beds/<int:bed>/plan/remove/",
        takeoff.quote_plan_remove,
        name="quote-plan-remove",
    ),
    path("quotes/<int:pk>/take-off/", takeoff.quote_takeoff, name="quote-takeoff"),
    path(
        "quotes/<int:pk>/take-off/take/",
        takeoff.quote_takeoff_take,
        name="quote-takeoff-take",
    ),
    path(
        "quotes/<int:pk>/take-off/figure/<slug:figure>/",
        takeoff.quote_takeoff_figure,
        name="quote-takeoff-figure",
    ),
    path("quotes/<int:pk>/labour/", labour.quote_labour, name="quote-labour"),
    path(
        "quotes/<int:pk>/labour/write/",
        labour.quote_labour_write,
        name="quote-labour-write",
    ),
    path(
        "quotes/<int:pk>/labour/figure/<slug:figure>/",
        labour.quote_labour_figure,
        name="quote-labour-figure",
    ),
    path("quotes/<int:pk>/offer/", quote_offers.quote_offer, name="quote-offer"),
    path("quotes/<int:pk>/send/", quote_offers.quote_send, name="quote-send"),
    path(
        "quotes/<int:pk>/links/<int:link>/withdraw/",
        quote_offers.quote_link_withdraw,
        name="quote-link-withdraw",
    ),
    path(
        "quotes/<int:pk>/withdraw/",
        quote_offers.quote_withdraw,
        name="quote-withdraw",
    ),
    path(
        "quotes/<int:pk>/declined/",
        quote_offers.quote_declined,
        name="quote-declined",
    ),
    path("quotes/<int:pk>/agreed/", quote_offers.quote_agreed, name="quote-agreed"),
]
