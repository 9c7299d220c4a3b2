"""Addresses of care contracts and the week."""

from django.urls import path

from jobs.views import week
from jobs.views.contracts import links, offers, pages

urlpatterns = [
    path("gardens/<int:pk>/contracts/new/", pages.contract_new, name="contract-new"),
    path("contracts/<int:pk>/", pages.contract, name="contract"),
    path("contracts/<int:pk>/change/", pages.contract_change, name="contract-change"),
    path("contracts/<int:pk>/draw/", pages.contract_draw, name="contract-draw"),
    path("contracts/<int:pk>/work/", pages.contract_work, name="contract-work"),
    path(
        "contracts/<int:pk>/visits/new/",
        pages.contract_visit_new,
        name="contract-visit-new",
    ),
    path("contracts/<int:pk>/revise/", pages.contract_revise, name="contract-revise"),
    path("contracts/<int:pk>/renew/", pages.contract_renew, name="contract-renew"),
    path("contracts/<int:pk>/pdf/", pages.contract_pdf, name="contract-pdf"),
    path("contracts/<int:pk>/offer/", offers.contract_offer, name="contract-offer"),
    path("contracts/<int:pk>/send/", offers.contract_send, name="contract-send"),
    path(
        "contracts/<int:pk>/links/<int:link>/withdraw/",
        offers.contract_link_withdraw,
        name="contract-link-withdraw",
    ),
    path(
        "contracts/<int:pk>/withdraw/",
        offers.contract_withdraw,
        name="contract-withdraw",
    ),
    path(
        "contracts/<int:pk>/declined/",
        offers.contract_declined,
        name="contract-declined",
    ),
    path("contracts/<int:pk>/agreed/", offers.contract_agreed, name="contract-agreed"),
    path("contracts/<int:pk>/pause/", offers.contract_pause, name="contract-pause"),
    path("contracts/<int:pk>/resume/", offers.contract_resume, name="contract-resume"),
    path("contracts/<int:pk>/end/", offers.contract_end, name="contract-end"),
    path("contract/<str:key>/", links.link_contract, name="link-contract"),
    path(
        "contract/<str:key>/agree/",
        links.link_contract_agree,
        name="link-contract-agree",
    ),
    path(
        "contract/<str:key>/decline/",
        links.link_contract_decline,
        name="link-contract-decline",
    ),
    path("contract/<str:key>/pdf/", links.link_contract_pdf, name="link-contract-pdf"),
    path("week/", week.week, name="week"),
    path("week/<int:crew>/<slug:day>/", week.week_order, name="week-order"),
    path("week/to-buy/", week.to_buy, name="to-buy"),
    path("visits/<int:pk>/", week.visit, name="visit"),
    path("visits/<int:pk>/place/", week.visit_place, name="visit-place"),
    path("visits/<int:pk>/take-off/", week.visit_take_off, name="visit-take-off"),
    path("visits/<int:pk>/call-off/", week.visit_call_off, name="visit-call-off"),
]
