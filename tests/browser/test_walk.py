"""The whole job through the pages, as owner, client, crew and bookkeeper.

Each step goes on where the one before it stopped, as a firm's days do.
"""

import re

import pytest

from tests.browser.site import Eyes, Site

pytestmark = pytest.mark.browser

RUTH = "ruth@millrow.example"
GARDEN = "Weir Cottage"


@pytest.fixture(scope="module")
def story() -> dict[str, str]:
    """Addresses of pages that later steps come back to."""
    return {}


def test_the_login_page_lets_nobody_look_in(site: Site, client_eyes: Eyes) -> None:
    client_eyes.open("/gardens/")
    assert "/login/" in client_eyes.page.url
    client_eyes.look("login")


def test_the_owner_finds_gardens_plants_and_firm(owner: Eyes) -> None:
    owner.open("/gardens/")
    owner.says("Orchard Bank")
    owner.look("gardens")
    owner.follow("Orchard Bank")
    owner.says("Never cut: screens the bedroom window.")
    owner.look("garden")
    owner.follow(re.compile("forsythia", re.I), first=True)
    owner.look("planting")
    owner.open("/plants/")
    owner.look("plants")
    owner.fill(words="oakleaf")
    owner.press("Find")
    owner.follow("Snow Queen oakleaf hydrangea")
    owner.says("Hydrangea quercifolia")
    owner.look("plant")
    owner.open("/clients/")
    owner.look("clients")
    owner.follow("Ned and Ruth Tolliver")
    owner.look("client")
    owner.open("/firm/")
    owner.look("firm")


def test_the_owner_surveys_a_garden_with_its_beds(
    owner: Eyes, story: dict[str, str]
) -> None:
    owner.open("/gardens/new/")
    owner.fill(
        new_client="Jessamy Thorne",
        contact_name="Jessamy Thorne",
        contact_phone="(555) 555-0144",
        contact_email="jessamy@weircottage.example",
        name=GARDEN,
        address="2 Weir Lane\nFernhollow",
        access_notes="Over the footbridge.",
        gate_code="5150",
    )
    owner.look("garden-new")
    owner.press("Open the garden")
    owner.says(GARDEN)
    owner.says_not("5150")
    story["garden"] = owner.page.url
    owner.follow("Measure a bed")
    owner.fill(name="Bed A", length="-3 ft", width="12 ft 6 in")
    owner.press("Save")
    owner.look("bed-refused")
    owner.fill(length="30 ft", width="8 ft", depth="8 in")
    owner.choose(facing="south-east", light="part sun", texture="clay loam")
    owner.fill(ph="15")
    owner.press("Save")
    owner.says("The pH of garden soil lies between 3 and 10.")
    owner.fill(ph="6.2")
    owner.press("Save")
    owner.says("240.00 sq ft")
    owner.says(re.compile(r"160\.00 cu ft|5\.926 cu yd"))
    owner.look("bed")
    story["bed"] = owner.page.url
    owner.open(story["garden"])
    owner.follow("Measure a bed")
    owner.fill(name="Bed B", across="12 ft")
    owner.choose(shape="circle")
    owner.press("Save")
    owner.says("113.10 sq ft")
    owner.open(story["garden"])
    owner.follow("Measure a bed")
    owner.fill(name="Passage", length="12 ft 6 in", width="4")
    owner.press("Save")
    owner.says("50.00 sq ft")


def test_the_owner_records_what_grows_there_already(
    owner: Eyes, story: dict[str, str]
) -> None:
    owner.open(story["garden"])
    owner.follow("Record plants already there")
    owner.choose(plant=re.compile("Bloodgood Japanese maple"), age_known="about")
    owner.fill(count="1", age_years="12", place="by the footbridge")
    owner.look("planting-new")
    owner.press("Save and record another")
    owner.fill(count="2", what_it_looks_like="grey leaves, knee high, smells of resin")
    owner.press("Save")
    owner.says("Bloodgood Japanese maple")
    owner.open(story["garden"])
    owner.says("Unidentified")
    owner.look("garden-surveyed")


def test_the_bed_says_why_a_plant_suits_it(owner: Eyes, story: dict[str, str]) -> None:
    owner.open(story["bed"])
    owner.follow("Which plants suit it")
    owner.look("fit")
    owner.page.locator("table.lines tbody th a").first.click()
    owner.look("fit-plant")
