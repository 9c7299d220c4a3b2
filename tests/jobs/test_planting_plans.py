"""The planting plan of a quote's bed: laid out on its page, kept, and told when old."""

from decimal import Decimal

import pytest
from django.urls import reverse

from firm.models import Entry
from jobs.actions.quotes import revise
from jobs.models import BedPlan, Quote
from jobs.queries.takeoff import plans_of
from plants.models import Bed
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db

SIDES = {"pattern": "square", "seen_from": "front", "arrangement": "0"}


@pytest.fixture
def bed(owner_client: StrictClient) -> Bed:
    """A bed of 30 ft by 8 ft that looks east."""
    made: Bed = factories.BedFactory(name="Bed A", facing="E")
    return made


@pytest.fixture
def quote(bed: Bed) -> Quote:
    made: Quote = factories.QuoteFactory(garden=bed.garden)
    return made


def lay(browser: StrictClient, quote: Quote, bed: Bed, **typed: str) -> str:
    """The page after the form was sent, wherever it led."""
    quote.refresh_from_db()
    answer = browser.post(
        reverse("quote-plan", args=[quote.pk, bed.pk]),
        {"version": str(quote.version), **SIDES, **typed},
        follow=True,
    )
    return answer.content.decode()


def test_a_bed_is_laid_out_drawn_and_put_into_words(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    tall, low = (factories.PlantFactory(common=name) for name in ("Tall one", "Low"))
    low.overrides = {"mature": {"height_m": 0.3, "width_m": 0.3}}
    low.save()
    factories.plants_line(quote=quote, bed=bed, plant=tall, quantity=5)
    factories.plants_line(
        quote=quote, bed=bed, plant=low, quantity=20, spacing_m=Decimal("0.3048")
    )
    said = lay(owner_client, quote, bed)
    assert "The bed was laid out." in said
    (shown,) = plans_of(quote)
    assert [shown.layout.count(kind) for kind in (0, 1)] == [5, 20]
    back = min(place.y for place in shown.layout.places if place.kind == 0)
    front = min(place.y for place in shown.layout.places if place.kind == 1)
    assert back > front
    assert shown.words[0] == "A bed 30 ft long and 8 ft deep."
    assert "1: 5 Tall one" in shown.words[2]
    assert shown.svg in said
    assert not shown.is_stale
    # The bed looks east, which is drawn below: north lies on the right.
    letter = shown.svg.split(">N<")[0].rsplit('x="', 1)[1]
    assert float(letter.split('"')[0]) > 300
    assert Entry.objects.filter(action="bed laid out").count() == 1
    lay(owner_client, quote, bed, seen_from="back", arrangement="4")
    assert BedPlan.objects.get().arrangement == 4


def test_too_many_plants_say_how_many_fit_and_a_changed_line_makes_the_plan_old(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    """30 ft by 8 ft at 24 in holds 60 in rows (arithmetic)."""
    line = factories.plants_line(quote=quote, bed=bed, quantity=80)
    said = lay(owner_client, quote, bed)
    assert "60 of 80 fit. They stand 24 in apart" in said
    assert "Lay it out again." not in said
    line.quantity = 40
    line.save()
    page = reverse("quote-plan", args=[quote.pk, bed.pk])
    assert "Lay it out again." in owner_client.get(page).content.decode()
    assert "60, so 20 more" in lay(owner_client, quote, bed)


def test_what_cannot_be_laid_out_stands_beside_its_field_and_changes_nothing(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    assert "Nothing to set out" in lay(owner_client, quote, bed)
    for _ in range(2):
        factories.plants_line(quote=quote, bed=bed)
    assert "Rows and hedge lines are of one kind" in lay(
        owner_client, quote, bed, pattern="rows"
    )
    said = lay(owner_client, quote, bed, edge="a hand", arrangement="-1")
    assert "is not read as a length" in said
    assert "a hand" in said
    said = lay(owner_client, quote, bed, version="99")
    assert "Somebody" in said or "somebody" in said
    assert not BedPlan.objects.exists()
    quote.refresh_from_db()
    assert quote.version == 1


def test_a_revision_takes_the_plans_along_and_a_plan_can_be_taken_out(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    factories.plants_line(quote=quote, bed=bed)
    lay(owner_client, quote, bed)
    Quote.objects.filter(pk=quote.pk).update(
        state="declined", offered_at=NOW, valid_until=NOW.date()
    )
    new = revise(quote_id=quote.pk, by=factories.PersonFactory(), now=NOW)
    (old_plan,), (new_plan,) = plans_of(quote), plans_of(new)
    assert new_plan.layout == old_plan.layout
    assert not new_plan.is_stale
    assert "no longer a draft" in lay(owner_client, quote, bed, pattern="triangular")
    owner_client.post(
        reverse("quote-plan-remove", args=[new.pk, bed.pk]), {"version": new.version}
    )
    assert not plans_of(new)
    assert plans_of(quote)


def test_plants_stand_inside_the_outline_of_a_bed(
    owner_client: StrictClient, quote: Quote, bed: Bed
) -> None:
    """An L of 20 ft by 10 ft less 10 ft by 5 ft: 3 + 3 rows of 2 ft (arithmetic)."""
    foot = Decimal("0.3048")
    feet = [(0, 0), (20, 0), (20, 5), (10, 5), (10, 10), (0, 10)]
    Bed.objects.filter(pk=bed.pk).update(
        shape="outline",
        outline_text="L",
        length_m=None,
        width_m=None,
        corners=[[str(x * foot), str(y * foot)] for x, y in feet],
    )
    factories.plants_line(quote=quote, bed=bed, quantity=30)
    said = lay(owner_client, quote, bed)
    assert "A bed 20 ft long and 10 ft deep." in said
    (shown,) = plans_of(quote)
    assert not shown.short
    for place in shown.layout.places:
        assert place.x < 10.1 * 0.3048 or place.y < 5 * 0.3048
