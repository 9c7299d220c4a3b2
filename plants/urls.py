"""Addresses of the catalogue, of gardens and of what grows there."""

from django.urls import path

from plants.views import (
    beds,
    catalogue,
    climates,
    gardens,
    own,
    plantings,
    seen,
    sketch,
    take_over,
    years,
)

urlpatterns = [
    path("plants/", catalogue.plants, name="plants"),
    path("plants/seen/", seen.seen, name="seen"),
    path("plants/seen/<int:pk>/<slug:key>/", seen.seen_group, name="seen-group"),
    path(
        "plants/seen/<int:pk>/<slug:key>/degree-days/",
        seen.seen_correct,
        name="seen-correct",
    ),
    path(
        "plants/seen/<int:pk>/<slug:key>/take-back/",
        seen.seen_take_back,
        name="seen-take-back",
    ),
    path("plants/own/", own.pages.everything, name="own"),
    path("plants/own/sources/new/", own.pages.source_new, name="own-source-new"),
    path("plants/own/new-group/", own.groups.group_new, name="own-group-new"),
    path("plants/own/new-plant/", own.plants.plant_new, name="own-plant-new"),
    path("plants/own/groups/<slug:key>/", own.groups.group_change, name="own-group"),
    path(
        "plants/own/groups/<slug:key>/turn/<slug:turn>/",
        own.groups.group_turn,
        name="own-group-turn",
    ),
    path("plants/own/plants/<slug:key>/", own.plants.plant_change, name="own-plant"),
    path(
        "plants/own/plants/<slug:key>/turn/<slug:turn>/",
        own.plants.plant_turn,
        name="own-plant-turn",
    ),
    path(
        "plants/own/lines/<slug:of>/<slug:key>/<slug:part>/",
        own.lines.line_new,
        name="own-line-new",
    ),
    path(
        "plants/own/lines/<slug:of>/<slug:key>/<slug:part>/<slug:line>/",
        own.lines.line_change,
        name="own-line",
    ),
    path(
        "plants/own/lines/<slug:of>/<slug:key>/<slug:part>/<slug:line>/<slug:turn>/",
        own.lines.line_switch,
        name="own-line-turn",
    ),
    path("plants/groups/<slug:key>/", catalogue.group, name="plant-group"),
    path("plants/<slug:key>/", catalogue.plant, name="plant"),
    path("climates/", catalogue.stations, name="stations"),
    path("climates/new/", catalogue.station_new, name="station-new"),
    path(
        "climates/from-records/",
        climates.station_from_records,
        name="station-from-records",
    ),
    path("climates/<int:pk>/", climates.station, name="station"),
    path("climates/<int:pk>/change/", catalogue.station_change, name="station-change"),
    path(
        "climates/<int:pk>/records/", climates.station_records, name="station-records"
    ),
    path(
        "climates/<int:pk>/figures/", climates.station_figures, name="station-figures"
    ),
    path("climates/files/<int:pk>/", climates.record_file, name="record-file"),
    path(
        "climates/files/<int:pk>/drop/",
        climates.record_file_drop,
        name="record-file-drop",
    ),
    path("gardens/", gardens.gardens, name="gardens"),
    path("gardens/new/", gardens.garden_new, name="garden-new"),
    path("gardens/<int:pk>/change/", gardens.garden_change, name="garden-change"),
    path("gardens/<int:pk>/bloom/", years.bloom, name="garden-bloom"),
    path("gardens/<int:pk>/year/", years.garden_year, name="garden-year"),
    path(
        "gardens/<int:pk>/instructions/new/",
        gardens.instruction_new,
        name="instruction-new",
    ),
    path("instructions/<int:pk>/end/", gardens.instruction_end, name="instruction-end"),
    path("gardens/<int:pk>/beds/new/", beds.bed_new, name="bed-new"),
    path("beds/<int:pk>/change/", beds.bed_change, name="bed-change"),
    path("beds/<int:pk>/sketch/", sketch.sketch, name="bed-sketch"),
    path("beds/<int:pk>/sketch/undo/", sketch.sketch_undo, name="bed-sketch-undo"),
    path("beds/<int:pk>/sketch/turn/", sketch.bed_turn, name="bed-turn"),
    path(
        "beds/<int:pk>/sketch/<int:row>/remove/",
        sketch.shade_remove,
        name="shade-remove",
    ),
    path("beds/<int:pk>/fit/", beds.bed_fit, name="bed-fit"),
    path("beds/<int:pk>/fit/<slug:key>/", beds.bed_fit_plant, name="bed-fit-plant"),
    path(
        "gardens/<int:pk>/plantings/new/", plantings.planting_new, name="planting-new"
    ),
    path("plantings/<int:pk>/", plantings.planting, name="planting"),
    path("plantings/<int:pk>/water/", plantings.water, name="planting-water"),
    path(
        "plantings/<int:pk>/change/",
        plantings.planting_change,
        name="planting-change",
    ),
    path("plantings/<int:pk>/state/", plantings.planting_state, name="planting-state"),
    path("plantings/<int:pk>/bloom/", plantings.planting_bloom, name="planting-bloom"),
    path(
        "observations/<int:pk>/forget/",
        plantings.observation_forget,
        name="observation-forget",
    ),
    path("take-over/", take_over.upload, name="take-over"),
    path("take-over/<int:pk>/", take_over.preview, name="take-over-list"),
    path("take-over/<int:pk>/drop/", take_over.drop, name="take-over-drop"),
    path("take-over/<int:pk>/left-out/", take_over.left_out, name="take-over-left-out"),
]
