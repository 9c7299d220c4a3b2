"""A care guide of twelve plants of the shipped catalogue, drawn."""

import datetime as dt
import time
from io import BytesIO

import pytest
from django.core.management import call_command
from django.template.loader import render_to_string
from pypdf import PdfReader

from jobs.documents import draw_pdf
from jobs.models.documents import plain
from jobs.queries.guides import guide_snapshot
from plants.models import Group, Plant
from plants.queries.care import plantings_in
from tests import factories

PLANTED = dt.date(2026, 4, 14)
MOST_BYTES = 1_000_000
TEMPLATE = "documents/care_guide.html"


@pytest.mark.django_db
def test_twelve_plants_stay_under_a_megabyte_and_near_the_drawing_alone() -> None:
    call_command("load_catalogue", verbosity=0)
    factories.FirmFactory()
    garden = factories.GardenFactory()
    bed = factories.BedFactory(garden=garden)
    groups = Group.objects.filter(plants__isnull=False).distinct().order_by("key")[:12]
    for number, group in enumerate(groups, start=1):
        factories.PlantingFactory(
            garden=garden,
            bed=bed,
            plant=Plant.objects.filter(group=group).order_by("id").first(),
            number=number,
            origin="planted",
            planted_on=PLANTED,
            age_years=0,
            age_on=PLANTED,
        )
    paper = plain(
        guide_snapshot(
            garden=garden,
            plantings=plantings_in(garden),
            number="G-2026-0001",
            start=PLANTED,
            day=PLANTED,
            language="en",
        )
    )
    assert len(paper["plants"]) == 12
    render_to_string(TEMPLATE, {"paper": paper, "language": "en"})

    begun = time.process_time()
    html = render_to_string(TEMPLATE, {"paper": paper, "language": "en"})
    written = time.process_time() - begun
    begun = time.process_time()
    pdf = draw_pdf(template=TEMPLATE, context={"paper": paper})
    whole = time.process_time() - begun

    for plant in paper["plants"]:
        assert plant["common"] in html
    assert pdf.startswith(b"%PDF-")
    assert len(pdf) < MOST_BYTES
    # The drawing alone is the whole less the words: at most 1.15 times it in all.
    assert whole <= 1.15 * (whole - written)


@pytest.mark.django_db
def test_a_guide_of_one_hedge_takes_four_pages_and_opens_with_what_matters() -> None:
    call_command("load_catalogue", verbosity=0)
    factories.FirmFactory(poison_line_people="555 0122", poison_line_animals="555 0133")
    garden = factories.GardenFactory()
    planted = dt.date(2026, 10, 12)
    factories.PlantingFactory(
        garden=garden,
        bed=factories.BedFactory(
            garden=garden,
            length_text="50 ft",
            width_text="4 ft",
            length_m="15.24",
            width_m="1.2192",
        ),
        plant=Plant.objects.get(key="buxus-microphylla-winter-gem"),
        number=4,
        count=30,
        origin="planted",
        planted_on=planted,
        age_years=0,
        age_on=planted,
    )
    paper = plain(
        guide_snapshot(
            garden=garden,
            plantings=plantings_in(garden),
            number="G-2026-0001",
            start=planted,
            day=planted,
            language="en",
        )
    )
    pdf = PdfReader(BytesIO(draw_pdf(template=TEMPLATE, context={"paper": paper})))
    pages = [" ".join(page.extract_text().split()) for page in pdf.pages]
    assert len(pages) == 4
    for words in (
        "Water every day to 26 Oct, then every two to three days",
        "Closed season: cut no living wood",
        "dial 911 first",
        "555 0122",
        "Ask us before you cut.",
        "toxic to people, dogs, cats, horses",
    ):
        assert words in pages[0]
    assert "Water once or twice a month, if dry and not frozen" in pages[1]
    assert "from memory" not in " ".join(pages)
    assert "(memory)" in pages[3]
