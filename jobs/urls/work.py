"""Addresses of planting jobs, single visits and care guides."""

from django.urls import URLPattern, path

from jobs.views import guides, locating, single_visits, substitutions, work

urlpatterns: list[URLPattern] = [
    path("jobs/", work.jobs, name="jobs"),
    path("jobs/<int:pk>/", work.job, name="job"),
    path("jobs/<int:pk>/addition/", work.job_addition, name="job-addition"),
    path(
        "jobs/<int:pk>/plants/<int:row>/instead/",
        substitutions.job_substitute,
        name="job-substitute",
    ),
    path("jobs/<int:pk>/book/", work.job_book, name="job-book"),
    path("jobs/<int:pk>/lines/", locating.job_locate, name="job-locate"),
    path("jobs/<int:pk>/lines/<int:row>/marks/", locating.job_marks, name="job-marks"),
    path("jobs/<int:pk>/start/", work.job_start, name="job-start"),
    path("jobs/<int:pk>/finish/", work.job_finish, name="job-finish"),
    path("jobs/<int:pk>/done/", work.single_visit_finish, name="single-visit-finish"),
    path("jobs/<int:pk>/call-off/", work.job_call_off, name="job-call-off"),
    path(
        "gardens/<int:pk>/single-visit/",
        single_visits.single_visit_new,
        name="single-visit-new",
    ),
    path("gardens/<int:pk>/care-guide/", guides.guide_new, name="guide-new"),
    path("care-guides/<int:pk>/", guides.guide, name="guide"),
    path("care-guides/<int:pk>/guide.pdf", guides.guide_pdf, name="guide-pdf"),
    path("care-guides/<int:pk>/send/", guides.guide_send, name="guide-send"),
    path(
        "care-guides/<int:pk>/links/<int:link>/withdraw/",
        guides.guide_link_withdraw,
        name="guide-link-withdraw",
    ),
    path("care-guide/<str:key>/", guides.link_guide, name="link-guide"),
    path("care-guide/<str:key>/pdf/", guides.link_guide_pdf, name="link-guide-pdf"),
]
