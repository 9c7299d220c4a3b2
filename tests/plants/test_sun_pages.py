"""The computed sun of a bed on its page, its sketch and in the fit."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm.models import Entry, Firm
from firm.units import Display
from plants import sun
from plants.models import Bed, Shade
from plants.queries import fit as fits
from plants.queries.care.climates import climate_of
from plants.queries.sun import (
    bed_light,
    ground_of,
    off_the_bed,
    place_of,
    scene_of,
    seasons_of,
)
from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db

WALL = {
    "kind": "house",
    "height": "24",
    "side": "W",
    "distance": "3 ft",
    "version": "1",
}
TREE = {
    "kind": "tree",
    "height": "40 ft",
    "side": "S",
    "distance": "12 ft 6 in",
    "spread": "25",
    "trunk": "7 ft",
    "version": "1",
}


def said(response: Any) -> str:
    return " ".join(response.content.decode().split())


def errors(response: Any) -> dict[str, list[str]]:
    return dict(response.context["form"].errors)


def post(client: StrictClient, bed: Bed, data: dict[str, str]) -> Any:
    return client.post(reverse("bed-sketch", args=[bed.pk]), data)


def light_of(bed: Bed) -> Any:
    return bed_light(Bed.objects.get(pk=bed.pk), firm=factories.FirmFactory())


# --- what the numbers mean -----------------------------------------------------------


def test_a_wall_stands_off_the_edge_and_aside_as_seen_from_the_bed() -> None:
    # A bed of 10 m by 2 m that looks south: its length runs east.
    bed = factories.BedFactory(facing="S", length_m=Decimal(10), width_m=Decimal(2))
    common = {
        "bed": bed,
        "kind": "wall",
        "distance_m": Decimal(3),
        "length_m": Decimal(4),
        "offset_m": Decimal(1),
        "height_m": Decimal(2),
    }
    south = factories.ShadeFactory(**common, side="S")
    east = factories.ShadeFactory(**common, side="E")
    beside = factories.ShadeFactory(**common, side="S", bearing_deg=90)

    first, second, third = scene_of(bed).shades

    # Who looks south has the west at the right hand, who looks east the south.
    assert sorted([first.start, first.end]) == [
        pytest.approx((-3, -4)),
        pytest.approx((1, -4)),
    ]
    assert sorted([second.start, second.end]) == [
        pytest.approx((8, -3)),
        pytest.approx((8, 1)),
    ]
    # A compass is nearer than one of eight sides.
    assert sorted([third.start, third.end]) == [
        pytest.approx((8, -3)),
        pytest.approx((8, 1)),
    ]
    assert [row.pk for row in scene_of(bed).rows] == [south.pk, east.pk, beside.pk]


def test_a_tree_stands_so_far_from_the_edge_and_what_is_not_measured_is_said() -> None:
    bed = factories.BedFactory(
        facing="S", length_m=Decimal(10), width_m=Decimal(2), garden__latitude=None
    )
    factories.ShadeFactory(
        bed=bed, kind="tree", side="E", distance_m=Decimal(3), height_m=Decimal(10)
    )

    scene = scene_of(bed)

    (tree,) = scene.shades
    assert tree.at == pytest.approx((8, 0))
    assert (tree.spread_m, tree.trunk_gap_m) == (6, 2)
    assert tree.passing == sun.DECIDUOUS
    assert "the spread is taken as 60 %" in " ".join(scene.assumed)
    assert "clear trunk is taken as 20 %" in " ".join(scene.assumed)
    assert "that of its climate is taken" in " ".join(scene.assumed)


def test_a_hedge_that_drops_its_leaves_lets_winter_sun_through() -> None:
    bed = factories.BedFactory()
    factories.ShadeFactory(bed=bed, kind="hedge")
    factories.ShadeFactory(bed=bed, kind="hedge", is_evergreen=True)
    factories.ShadeFactory(bed=bed, kind="tree", in_leaf_percent=40, bare_percent=80)

    bare, green, tree = scene_of(bed).shades

    assert (bare.passing.in_leaf, bare.passing.bare) == (0, 0.51)
    assert green.passing == sun.SOLID
    assert (tree.passing.in_leaf, tree.passing.bare) == (0.4, 0.8)


def test_a_bed_lies_where_its_garden_does_else_where_its_climate_does() -> None:
    far = factories.BedFactory(
        garden__latitude=Decimal("-36.85"), garden__longitude=Decimal("174.76")
    )
    near = factories.BedFactory()
    assert place_of(far) == sun.Place(latitude_deg=-36.85, longitude_deg=174.76)
    assert place_of(near) == sun.Place(latitude_deg=38.6, longitude_deg=-77.8)


def test_the_growing_months_are_those_between_the_frosts() -> None:
    climate = climate_of(factories.GardenFactory())
    seasons = seasons_of(climate, year=2026)
    season = climate.growing_season(2026)
    wanted = {
        month
        for month in range(1, 13)
        if season.first <= dt.date(2026, month, 15) <= season.last
    }
    assert seasons.growing == wanted
    assert {6, 7, 8} <= seasons.growing
    assert 1 not in seasons.growing


def test_what_was_tapped_is_said_as_side_and_distance() -> None:
    ground = ground_of(
        factories.BedFactory(facing="S", length_m=Decimal(10), width_m=Decimal(2))
    )
    assert off_the_bed(ground, (8, 0)) == ("E", 90, pytest.approx(3))
    assert off_the_bed(ground, (-9, -3), (9, -3)) == ("S", 180, pytest.approx(2))
    assert off_the_bed(ground, (0, 0.5)) == ("N", 0, 0)


# --- the bed's page ------------------------------------------------------------------


def test_the_bed_page_holds_the_typed_light_against_the_computed_one(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(light="shade", facing="S")
    factories.ShadeFactory(bed=bed, side="N", height_m=Decimal(9))
    url = reverse("bed", args=[bed.pk])

    page = said(owner_client.get(url))

    hours = f"{light_of(bed).sun.season_h:.1f}"
    assert f"Typed shade, computed full sun ({hours} h)" in page
    assert 'class="drawing sun-chart"' in page
    assert "The same in figures" in page
    Bed.objects.update(light="full sun")
    assert "Typed on the survey: full sun, the same." in said(owner_client.get(url))


def test_a_bed_of_which_no_shade_is_recorded_is_not_called_sunny(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()
    url = reverse("bed", args=[bed.pk])

    page = said(owner_client.get(url))

    assert "As if nothing shaded it:" in page
    assert "Nothing that shades this bed is recorded." in page
    assert "Computed:" not in page
    Bed.objects.update(facing="open")
    assert "Computed:" in said(owner_client.get(url))


def test_the_bed_page_asks_the_same_questions_for_one_shade_and_for_three(
    owner_client: StrictClient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    bed = factories.BedFactory()
    url = reverse("bed", args=[bed.pk])
    for count in (1, 3):
        while bed.shades.count() < count:
            factories.ShadeFactory(bed=bed)
        # Session, person, firm for the page and for its head, bed, shades, plantings.
        with django_assert_num_queries(7):
            owner_client.get(url)


def test_a_latitude_beyond_the_gardens_of_the_climate_still_has_its_sun() -> None:
    bed = factories.BedFactory(
        facing="open",
        garden__latitude=Decimal("78.2"),
        garden__longitude=Decimal("15.6"),
    )
    firm = factories.FirmFactory(time_zone="Arctic/Longyearbyen")
    found = bed_light(bed, firm=firm)
    assert found.sun.months[5].total_h == pytest.approx(24)
    assert found.sun.months[11].total_h == 0
    assert found.latest == dt.time(23, 59)


# --- the firm's words ----------------------------------------------------------------


def test_the_firm_decides_from_how_many_hours_a_bed_is_called_sunny() -> None:
    bed = factories.BedFactory(facing="open")
    firm = factories.FirmFactory()
    assert bed_light(bed, firm=firm).sun.light == "full sun"
    firm.full_sun_h, firm.part_sun_h = Decimal(20), Decimal(18)
    assert bed_light(bed, firm=firm).sun.light == "shade"


def test_the_hours_of_the_words_are_kept_in_order(owner_client: StrictClient) -> None:
    page = owner_client.get(reverse("firm"))
    form = page.context["form"]
    assert [str(form[name].value()) for name in ("full_sun_h", "part_sun_h")] == [
        "6.0",
        "4.0",
    ]
    typed = {
        name: "" if form[name].value() is None else str(form[name].value())
        for name in form.fields
        if form[name].value() is not False
    }

    refused = owner_client.post(reverse("firm"), {**typed, "part_sun_h": "6"})
    assert list(refused.context["form"].errors) == ["part_sun_h"]
    refused = owner_client.post(reverse("firm"), {**typed, "afternoon_sun_h": "13"})
    assert list(refused.context["form"].errors) == ["afternoon_sun_h"]
    assert Firm.objects.get().part_sun_h == 4
    owner_client.post(reverse("firm"), {**typed, "part_sun_h": "3"})
    assert Firm.objects.get().part_sun_h == 3
    with pytest.raises(IntegrityError), transaction.atomic():
        Firm.objects.update(part_sun_h=7)


# --- the fit -------------------------------------------------------------------------


def test_the_fit_takes_the_computed_light_where_none_was_typed_and_says_so() -> None:
    plant = factories.PlantFactory()
    plant.group.facts = {
        **plant.group.facts,
        "light": {"best": ["part shade"], "bearable": ["full sun"]},
        "latest_sun": "14:00",
        "sun_hours": None,
    }
    bed = factories.BedFactory(facing="S")
    display = Display("us")

    def found(key: str) -> Any:
        whole = fits.fit_of(Bed.objects.get(), plant, display=display)
        return next(each for each in whole.criteria if each.key == key)

    # Nothing is known of what shades it.
    assert found("light").verdict == "not recorded"
    factories.ShadeFactory(bed=bed, side="N", height_m=Decimal(9))
    assert (found("light").found, found("light").verdict) == (
        "full sun, computed",
        "bearable",
    )
    latest = light_of(bed).latest
    assert found("latest-sun").found == f"direct sun until {latest:%H:%M}, computed"
    # What was seen stands over what was computed.
    Bed.objects.update(light="part shade", latest_sun=dt.time(13, 30))
    assert (found("light").found, found("light").verdict) == ("part shade", "right")
    assert found("latest-sun").found == "direct sun until 13:30"


def test_hours_that_were_computed_are_held_against_the_hours_a_plant_wants() -> None:
    plant = factories.PlantFactory()
    plant.group.facts = {
        **plant.group.facts,
        "light": {"best": ["full sun"], "bearable": []},
        "sun_hours": {"min": 3, "max": 5},
    }
    bed = factories.BedFactory(facing="open")

    whole = fits.fit_of(bed, plant, display=Display("us"))

    light = next(each for each in whole.criteria if each.key == "light")
    hours = Decimal(f"{light_of(bed).sun.season_h:.1f}")
    assert light.found == f"{hours.normalize():f} h of direct sun, computed"
    assert light.verdict == "wrong"


# --- the sketch ----------------------------------------------------------------------


def test_a_house_wall_is_placed_by_numbers_and_kept_as_typed(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(facing="S")

    kept = post(
        owner_client,
        bed,
        {**WALL, "length": "32 ft 6 in", "offset": "4", "offset_to": "left"},
    )

    assert kept.status_code == 302
    shade = bed.shades.get()
    assert (shade.kind, shade.side, shade.bearing_deg) == ("house", "W", None)
    assert (shade.height_text, shade.distance_text) == ("24 ft", "3 ft")
    # 32 ft 6 in x 0.3048: the international foot, exact by definition.
    assert (shade.length_text, shade.length_m) == ("32 ft 6 in", Decimal("9.906"))
    assert (shade.offset_text, shade.offset_m) == ("4 ft", Decimal("-1.2192"))
    bed.refresh_from_db()
    assert bed.version == 2
    assert Entry.objects.get(action="shade placed").subject_id == bed.pk
    page = said(owner_client.get(reverse("bed-sketch", args=[bed.pk])))
    assert "24 ft high, 3 ft away, 32 ft 6 in long, 4 ft to the left" in page


def test_a_tree_is_placed_by_a_compass(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()

    post(owner_client, bed, {**TREE, "side": "", "bearing_deg": "200"})

    shade = bed.shades.get()
    assert (shade.side, shade.bearing_deg) == ("S", 200)
    assert (shade.distance_m, shade.spread_m, shade.trunk_m) == (
        Decimal("3.81"),
        Decimal("7.62"),
        Decimal("2.1336"),
    )


def test_what_is_tapped_needs_no_side_and_no_distance(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(facing="S", length_m=Decimal(10), width_m=Decimal(2))
    nothing = {"side": "", "distance": ""}

    post(owner_client, bed, {**TREE, **nothing, "points": "8.00,0.00"})
    post(
        owner_client,
        bed,
        {**WALL, **nothing, "version": "2", "points": "-6.00,-4.00 2.50,-5.25"},
    )

    tree, wall = bed.shades.order_by("id")
    assert (tree.side, tree.distance_m, tree.at_east_m, tree.at_north_m) == (
        "E",
        Decimal(3),
        Decimal(8),
        0,
    )
    assert tree.distance_text == "9.84 ft"
    assert (wall.to_east_m, wall.to_north_m) == (Decimal("2.5"), Decimal("-5.25"))
    crown, line = scene_of(bed).shades
    assert crown.at == (8, 0)
    assert (line.start, line.end) == ((-6, -4), (2.5, -5.25))


def test_a_wall_through_the_bed_is_refused_and_what_was_typed_stays(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(facing="S")

    refused = post(owner_client, bed, {**WALL, "points": "-9.00,0.20 9.00,0.20"})

    assert refused.status_code == 200
    assert "A wall cannot run through the bed." in said(refused)
    assert refused.context["form"]["height"].value() == "24"
    assert bed.shades.count() == 0
    bed.refresh_from_db()
    assert bed.version == 1
    # Beside the bed the same wall is taken.
    assert (
        post(owner_client, bed, {**WALL, "points": "-9.00,4.20 9.00,4.20"}).status_code
        == 302
    )


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"kind": ""}, "kind", "required"),
        ({"height": "tall"}, "height", "not read as a length"),
        ({"height": "0"}, "height", "at least"),
        ({"side": ""}, "side", "On which side does it stand?"),
        ({"side": "", "bearing_deg": "360"}, "bearing_deg", "at most 359"),
        ({"distance": ""}, "distance", "How far away is it?"),
        ({"distance": "-3 ft"}, "distance", "cannot be negative"),
        ({"trunk": "40 ft"}, "trunk", "shorter than the whole tree"),
        ({"in_leaf_percent": "101"}, "in_leaf_percent", "at most 100"),
        ({"points": "1e9,2"}, "points", "tap it once more"),
        ({"points": "501.0,2"}, "points", "tap it once more"),
        ({"points": "1,2 3,4"}, "__all__", "Tap the trunk once."),
        ({"version": ""}, "version", "required"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(
    owner_client: StrictClient, typed: dict[str, str], field: str, words: str
) -> None:
    bed = factories.BedFactory()

    refused = post(owner_client, bed, {**TREE, **typed})

    assert refused.status_code == 200
    assert list(errors(refused)) == [field]
    assert words in str(errors(refused)[field])
    assert bed.shades.count() == 0
    assert post(owner_client, bed, TREE).status_code == 302


def test_a_wall_wants_both_its_ends_tapped(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    refused = post(owner_client, bed, {**WALL, "points": "1.00,9.00"})
    assert "Tap both ends" in said(refused)
    assert bed.shades.count() == 0


def test_a_step_on_the_sketch_is_taken_back(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    undo = reverse("bed-sketch-undo", args=[bed.pk])
    post(owner_client, bed, TREE)
    tree = bed.shades.get()
    post(
        owner_client,
        bed,
        {**TREE, "height": "50 ft", "row": str(tree.pk), "version": "2"},
    )
    assert bed.shades.get().height_text == "50 ft"
    owner_client.post(reverse("shade-remove", args=[bed.pk, tree.pk]), {"version": "3"})
    assert bed.shades.count() == 0

    owner_client.post(undo, {"version": "4"})
    back = bed.shades.get()
    assert (back.height_text, back.spread_m) == ("50 ft", Decimal("7.62"))
    page = said(owner_client.post(undo, {"version": "5"}, follow=True))

    # The tree that came back is another row, so the older steps end with a word.
    assert "This is not there any more." in page
    owner_client.post(undo, {"version": "5"})
    page = said(owner_client.post(undo, {"version": "5"}, follow=True))
    assert "There is nothing to undo." in page
    assert bed.shades.count() == 1


def test_a_change_and_a_new_thing_are_taken_back(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    undo = reverse("bed-sketch-undo", args=[bed.pk])
    post(owner_client, bed, TREE)
    tree = bed.shades.get()
    post(
        owner_client,
        bed,
        {**TREE, "height": "50 ft", "row": str(tree.pk), "version": "2"},
    )

    owner_client.post(undo, {"version": "3"})
    assert bed.shades.get().height_text == "40 ft"
    owner_client.post(undo, {"version": "4"})
    assert bed.shades.count() == 0


def test_of_two_people_on_the_sketch_the_second_is_told(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()
    post(owner_client, bed, TREE)

    refused = post(owner_client, bed, {**WALL, "height": "31 ft"})

    assert refused.status_code == 409
    assert "Somebody else changed this" in said(refused)
    assert refused.context["form"]["height"].value() == "31 ft"
    assert refused.context["form"]["version"].value() == "2"
    assert [shade.kind for shade in bed.shades.all()] == ["tree"]
    for name, args in (
        ("shade-remove", [bed.pk, bed.shades.get().pk]),
        ("bed-sketch-undo", [bed.pk]),
        ("bed-turn", [bed.pk]),
    ):
        sent = owner_client.post(
            reverse(name, args=args), {"version": "1", "facing": "N"}
        )
        assert sent.status_code == 409, name
    assert bed.shades.count() == 1
    bed.refresh_from_db()
    assert bed.facing == ""


def test_a_bed_is_turned_and_its_length_runs_square_to_the_way_it_looks(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(facing="S", length_m=Decimal(10), width_m=Decimal(2))
    turn = reverse("bed-turn", args=[bed.pk])

    owner_client.post(turn, {"facing": "E", "bearing_deg": "100", "version": "1"})

    bed.refresh_from_db()
    assert (bed.facing, bed.bearing_deg) == ("E", 100)
    # Looks 100 degrees, so it runs from 10 to 190 degrees.
    assert sun.reach(ground_of(bed), 10) == pytest.approx(5)
    # A wall that was drawn beside it would cut the bed turned the other way.
    factories.ShadeFactory(
        bed=bed,
        kind="wall",
        at_east_m=-4,
        at_north_m=0,
        to_east_m=-2,
        to_north_m=0,
    )
    refused = owner_client.post(turn, {"facing": "S", "version": "2"})
    assert "A wall cannot run through the bed." in said(refused)
    bed.refresh_from_db()
    assert (bed.facing, bed.version) == ("E", 2)


def test_the_bed_form_leaves_alone_what_only_the_sketch_knows(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(name="Front border")
    post(owner_client, bed, {**TREE, "bearing_deg": "200"})
    tree = bed.shades.get()
    form = {
        "name": "Front border",
        "shape": "rectangle",
        "length": "30 ft",
        "width": "8 ft",
        "version": "2",
        "shades-TOTAL_FORMS": "1",
        "shades-INITIAL_FORMS": "1",
        "shades-0-kind": "tree",
        "shades-0-side": "S",
        "shades-0-height": "41 ft",
        "shades-0-distance": "12 ft 6 in",
        "shades-0-row": str(tree.pk),
    }
    url = reverse("bed-change", args=[bed.pk])

    assert owner_client.post(url, form).status_code == 302
    kept = bed.shades.get()
    assert (kept.pk, kept.height_text) == (tree.pk, "41 ft")
    assert (kept.bearing_deg, kept.spread_m) == (200, Decimal("7.62"))
    # Another side in the form is another place.
    owner_client.post(url, {**form, "version": "3", "shades-0-side": "W"})
    kept = bed.shades.get()
    assert (kept.bearing_deg, kept.spread_m) == (None, Decimal("7.62"))
    # A row of another bed is never written.
    other = factories.ShadeFactory()
    owner_client.post(url, {**form, "version": "4", "shades-0-row": str(other.pk)})
    other.refresh_from_db()
    assert other.kind == "fence"
    assert [shade.kind for shade in bed.shades.all()] == ["tree"]


def test_the_sketch_shows_the_shadows_of_the_day_and_hour_that_are_asked(
    owner_client: StrictClient,
) -> None:
    factories.FirmFactory()
    bed = factories.BedFactory(facing="S")
    factories.ShadeFactory(
        bed=bed, side="W", height_m=Decimal(6), distance_m=Decimal(1)
    )
    url = reverse("bed-sketch", args=[bed.pk])

    morning = owner_client.get(url, {"day": "2026-06-15", "hour": "09:00"})
    evening = owner_client.get(url, {"day": "2026-06-15", "hour": "19:30"})
    night = owner_client.get(url, {"day": "2026-06-15", "hour": "23:30"})

    page = morning.context["page"]
    assert all(lit for _spot, lit in page.spots)
    # 9:00 of New York summer time at 38.6 N 77.8 W, worked out with the package
    # sunposition: elevation 35.0, azimuth 86.6.
    assert "The sun stands 35° high in the east." in said(morning)
    assert not any(lit for _spot, lit in evening.context["page"].spots)
    assert "high in the west." in said(evening)
    assert "The sun is under the horizon." in said(night)
    assert night.context["page"].shadows == ((),)


def test_a_day_that_is_none_is_refused_and_the_sketch_still_stands(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()
    url = reverse("bed-sketch", args=[bed.pk])
    for asked in (
        {"day": "2026-02-30", "hour": "12:00"},
        {"day": "1066-10-14", "hour": "12:00"},
        {"day": "2026-06-15", "hour": "25:00"},
        {"shade": "9" * 5000},
        {"shade": "-1"},
    ):
        page = owner_client.get(url, asked)
        assert page.status_code == 200
        assert 'class="drawing bed-sketch"' in said(page)
    assert page.context["form"]["kind"].value() is None


def test_a_bed_has_no_more_shades_than_letters(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    for _number in range(26):
        factories.ShadeFactory(bed=bed)
    refused = post(owner_client, bed, TREE)
    assert "at most 26 shades" in said(refused)
    assert Shade.objects.count() == 26


def test_the_sketch_asks_the_same_questions_for_one_shade_and_for_three(
    owner_client: StrictClient, django_assert_max_num_queries: Any
) -> None:
    bed = factories.BedFactory()
    url = reverse("bed-sketch", args=[bed.pk])
    counts = []
    for count in (1, 3):
        while bed.shades.count() < count:
            factories.ShadeFactory(bed=bed)
        with django_assert_max_num_queries(12) as asked:
            owner_client.get(url)
        counts.append(len(asked))
    assert counts[0] == counts[1]
