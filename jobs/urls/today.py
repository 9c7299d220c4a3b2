"""Addresses of rounds, tasks, hours, problems."""

from django.urls import URLPattern, path

from jobs.views import ask, heat, locating, problems, today

urlpatterns: list[URLPattern] = [
    path("today/", today.today, name="today"),
    path("today/sheet.pdf", today.round_sheet, name="round-sheet"),
    path("today/heat/", heat.work_in_heat, name="work-in-heat"),
    path("today/hours/", today.hours_new, name="hours-new"),
    path("today/hours/<int:pk>/back/", today.hours_back, name="hours-back"),
    path("today/stops/<int:pk>/", today.stop, name="stop"),
    path("today/stops/<int:pk>/start/", today.stop_start, name="stop-start"),
    path(
        "today/stops/<int:pk>/lines/<int:row>/",
        locating.stop_marks,
        name="stop-marks",
    ),
    path("today/stops/<int:pk>/end/", today.stop_end, name="stop-end"),
    path("today/stops/<int:pk>/rain/", today.stop_rain, name="stop-rain"),
    path("today/stops/<int:pk>/seen/", today.stop_seen, name="stop-seen"),
    path("today/stops/<int:pk>/problem/", problems.problem_new, name="problem-new"),
    path("today/tasks/<int:pk>/", today.task, name="task"),
    path("ask/", ask.ask, name="ask"),
    path("problems/", problems.problems, name="problems"),
    path("problems/<int:pk>/settle/", problems.problem_settle, name="problem-settle"),
]
