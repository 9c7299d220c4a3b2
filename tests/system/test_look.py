"""The look: fields and their errors, readable colours, pages without inline code."""

import datetime as dt
import re
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Fieldset, Layout, Row, Submit
from crispy_forms.utils import render_crispy_form
from django import forms
from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.forms import formset_factory
from django.template import Engine
from django.template.loader import render_to_string
from django.test import RequestFactory

from firm.models import Person
from firm.templatetags import notebook
from firm.views.refused import csrf_refused
from tests.conftest import StrictClient, browser_of

TEMPLATES = Path(settings.BASE_DIR) / "templates"
STATIC = Path(settings.BASE_DIR) / "firm" / "static"
EVERY_TEMPLATE = sorted(
    str(path.relative_to(TEMPLATES))
    for path in TEMPLATES.rglob("*")
    if path.suffix in {".html", ".txt"}
)


class Page(HTMLParser):
    """The elements of a page with their attributes, and its words."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.words = ""
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep the element."""
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_data(self, data: str) -> None:
        """Keep the words, with single spaces."""
        self.words = " ".join(f"{self.words} {data}".split())

    def by_id(self, name: str) -> dict[str, str]:
        """The attributes of the one element with this id."""
        found = [attrs for _, attrs in self.elements if attrs.get("id") == name]
        assert len(found) == 1, f"{len(found)} elements have the id {name}"
        return found[0]

    def all(self, tag: str) -> list[dict[str, str]]:
        """The attributes of every element of a kind."""
        return [attrs for name, attrs in self.elements if name == tag]


class BedForm(forms.Form):
    """Some of what a bed is asked for."""

    length = forms.CharField(
        label="Length",
        help_text="12 ft 6 in is read.",
        widget=forms.TextInput(attrs={"data-unit": "ft"}),
    )
    acidity = forms.DecimalField(label="pH", max_value=10, required=False)
    shape = forms.ChoiceField(
        label="Shape",
        choices=[("r", "rectangle"), ("c", "circle")],
        widget=forms.RadioSelect,
    )
    irrigated = forms.BooleanField(label="Irrigated", required=False)
    key = forms.CharField(widget=forms.HiddenInput)

    @property
    def helper(self) -> FormHelper:
        """Two buttons and a group."""
        helper = FormHelper()
        helper.layout = Layout(
            Fieldset("Measures", Row("length", "acidity"), "shape"), "irrigated", "key"
        )
        helper.add_input(Submit("save", "Save"))
        helper.add_input(Submit("more", "Save and add", css_class="button-quiet"))
        return helper


def drawn(form: Any, helper: FormHelper | None = None) -> Page:
    return Page(render_crispy_form(form, helper, {"csrf_token": "t" * 32}))


# --- fields --------------------------------------------------------------------------


def test_an_error_stands_beside_its_field_and_is_tied_to_it() -> None:
    page = drawn(BedForm({"length": "", "acidity": "15", "shape": "r", "key": "k"}))
    field = page.by_id("id_length")
    assert field["aria-invalid"] == "true"
    assert field["aria-describedby"] == "id_length_helptext id_length_error"
    page.by_id("id_length_helptext")
    page.by_id("id_length_error")
    assert page.by_id("id_acidity")["aria-describedby"] == "id_acidity_error"
    assert page.by_id("id_acidity")["value"] == "15"  # nothing typed is lost
    page.by_id("id_acidity_error")


def test_a_field_without_an_error_says_nothing_of_one() -> None:
    page = drawn(BedForm({"length": "9", "acidity": "15", "shape": "r", "key": "k"}))
    field = page.by_id("id_length")
    assert "aria-invalid" not in field
    assert field["aria-describedby"] == "id_length_helptext"
    assert "id_length_error" not in {a.get("id") for _, a in page.elements}


def test_the_errors_at_the_top_lead_to_their_fields() -> None:
    page = drawn(BedForm({"acidity": "15", "key": "k"}))
    targets = [a["href"] for a in page.all("a")]
    assert targets == ["#id_length", "#id_acidity", "#id_shape"]
    for target in targets:
        page.by_id(target[1:])
    box = [a for _, a in page.elements if a.get("class") == "errors"]
    assert box == [{"class": "errors", "role": "alert", "tabindex": "-1"}]


def test_a_good_form_has_no_errors_at_its_top() -> None:
    page = drawn(BedForm({"length": "9", "shape": "c", "key": "k"}))
    assert [a for _, a in page.elements if a.get("class") == "errors"] == []


def test_the_error_of_a_hidden_field_is_still_told() -> None:
    page = drawn(BedForm({"length": "9", "shape": "c"}))
    assert "This field is required." in page.words
    assert page.all("a") == []


def test_the_unit_stands_beside_the_field_and_in_its_label() -> None:
    page = drawn(BedForm())
    units = [a for _, a in page.elements if a.get("class") == "unit"]
    assert units == [{"class": "unit", "aria-hidden": "true"}]
    assert "Length (ft)" in page.words


def test_choices_are_a_named_group_tied_to_their_error() -> None:
    page = drawn(BedForm({"length": "9", "key": "k"}))
    groups = [a for a in page.all("fieldset") if a["class"] == "choices"]
    assert groups == [{"class": "choices", "aria-describedby": "id_shape_error"}]
    page.by_id("id_shape_error")
    assert "Measures" in page.words and "Shape" in page.words


def test_a_box_to_tick_has_its_words_in_its_label() -> None:
    html = render_crispy_form(BedForm(), None, {})
    assert re.search(
        r'<label for="id_irrigated"><input[^>]*type="checkbox"[^>]*>\s*'
        r"<span>Irrigated</span></label>",
        html,
    )


def test_only_the_first_button_is_the_main_one() -> None:
    page = drawn(BedForm())
    assert [(a["name"], a["class"]) for a in page.all("button")] == [
        ("save", "button"),
        ("more", "button-quiet"),
    ]


def test_a_form_that_is_sent_carries_its_token_and_one_that_asks_does_not() -> None:
    sent = drawn(BedForm())
    assert [a["name"] for a in sent.all("input")].count("csrfmiddlewaretoken") == 1
    helper = BedForm().helper
    helper.form_method = "get"
    asked = drawn(BedForm(), helper)
    assert "csrfmiddlewaretoken" not in [a["name"] for a in asked.all("input")]
    assert "(if any)" in sent.words and "(if any)" not in asked.words


def test_fields_that_may_stay_empty_say_so() -> None:
    assert "pH (if any)" in drawn(BedForm()).words
    assert "Length (ft) (if any)" not in drawn(BedForm()).words


def test_a_field_that_another_one_asks_for_does_not_say_that_it_may_stay_empty() -> (
    None
):
    class Asked(BedForm):
        HANGS_ON_ANOTHER = ("acidity",)

    words = drawn(Asked()).words
    assert "pH" in words and "(if any)" not in words.split("pH")[1].split("Shape")[0]


def test_a_file_that_was_chosen_is_asked_for_again_beside_another_error() -> None:
    class WithPhoto(forms.Form):
        length = forms.CharField()
        photo = forms.FileField(required=False)

    words = "If you chose a file, choose it again: browsers do not keep it."
    assert words not in drawn(WithPhoto()).words
    assert words in drawn(WithPhoto({"length": ""}, {})).words


def test_a_number_out_of_bounds_is_told_in_plain_words() -> None:
    words = drawn(BedForm({"length": "3", "acidity": "15", "shape": "round"})).words
    assert "This must be at most 10." in words


def test_help_in_a_form_is_words_and_not_code() -> None:
    class Sly(forms.Form):
        name = forms.CharField(label="<b>Name</b>", help_text="<script>x</script>")

    html = render_crispy_form(Sly({"name": ""}), None, {})
    assert "<script>" not in html and "<b>" not in html


def test_rows_of_a_formset_are_counted_and_name_their_line_in_errors() -> None:
    rows = formset_factory(BedForm, extra=0)(
        {
            "form-TOTAL_FORMS": "2",
            "form-INITIAL_FORMS": "0",
            "form-0-length": "9",
            "form-0-shape": "r",
            "form-0-key": "k",
            "form-1-length": "",
            "form-1-shape": "r",
            "form-1-key": "k",
        }
    )
    helper = FormHelper()
    helper.add_input(Submit("save", "Save"))
    page = drawn(rows, helper)
    assert page.by_id("id_form-TOTAL_FORMS")["value"] == "2"
    assert "Line 2, Length: This field is required." in page.words
    assert [a["href"] for a in page.all("a")] == ["#id_form-1-length"]
    assert "aria-invalid" not in page.by_id("id_form-0-length")
    assert page.by_id("id_form-1-length")["aria-invalid"] == "true"
    assert len(page.all("template")) == 1


# --- colours -------------------------------------------------------------------------


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def palettes() -> dict[str, dict[str, str]]:
    """The colours of the style sheet by day and by night."""
    css = (STATIC / "notebook.css").read_text()
    blocks = re.findall(r":root \{(.*?)\}", css, re.DOTALL)
    found = [dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", block)) for block in blocks]
    day, night = [each for each in found if "warn" in each][:2]
    return {"day": day, "night": night}


def test_the_ratio_is_reckoned_as_wcag_does() -> None:
    # WCAG 2.2: "contrast ratios can range from 1 to 21"; the greys from memory.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("time", ["day", "night"])
@pytest.mark.parametrize("ground", ["paper", "sheet"])
@pytest.mark.parametrize("paint", ["ink", "soft", "leaf", "warn"])
def test_words_are_readable_on_every_ground(time: str, ground: str, paint: str) -> None:
    colours = palettes()[time]
    # WCAG 2.2, 1.4.3 Contrast (Minimum): 4.5 to 1.
    assert contrast(colours[paint], colours[ground]) >= 4.5


@pytest.mark.parametrize("time", ["day", "night"])
def test_the_edge_of_a_field_is_seen(time: str) -> None:
    colours = palettes()[time]
    # WCAG 2.2, 1.4.11 Non-text Contrast: 3 to 1.
    assert contrast(colours["edge"], colours["paper"]) >= 3
    assert contrast(colours["edge"], colours["sheet"]) >= 3


def test_words_on_paper_are_readable() -> None:
    css = (STATIC / "print.css").read_text()
    inks = set(re.findall(r"(?<!-)color: (#[0-9a-f]{6})", css))
    assert inks >= {"#2a251e", "#5c5345", "#8d3a1d", "#35602c"}
    assert min(contrast(ink, "#ffffff") for ink in inks) >= 4.5


# --- style sheets --------------------------------------------------------------------


@pytest.mark.parametrize("name", ["notebook.css", "print.css"])
def test_every_class_that_pages_are_told_of_is_in_the_style_sheet(name: str) -> None:
    css = (STATIC / name).read_text()
    head, rules = css.split("*/", 1)
    told = set(re.findall(r"(?<![\w./])(?:[a-z]{1,8})?\.([a-z][a-z-]+)\b", head))
    told -= {"css", "js", "documents"}
    missing = {each for each in told if not re.search(rf"\.{each}(?![\w-])", rules)}
    # Hooks of notebook.js and the plain section need no rule of their own.
    assert missing <= {"once", "sheet", "small", "lines", "documents"}


@pytest.mark.parametrize("name", ["notebook.css", "print.css"])
def test_every_file_a_style_sheet_names_is_there(name: str) -> None:
    files = re.findall(r'url\("([^"]+)"\)', (STATIC / name).read_text())
    assert len(files) == 6
    assert [each for each in files if not finders.find(each)] == []


def test_hashed_names_reach_into_the_style_sheets(
    settings: Any, tmp_path: Path
) -> None:
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {
            "BACKEND": "django.contrib.staticfiles.storage.ManifestStaticFilesStorage"
        },
    }
    call_command("collectstatic", interactive=False, verbosity=0)
    for sheet in ("notebook", "print"):
        [hashed] = tmp_path.glob(f"{sheet}.*.css")
        names = re.findall(r'url\("([^"]+)"\)', hashed.read_text())
        assert len(names) == 6
        for name in names:
            assert re.search(r"\.[0-9a-f]{12}\.ttf$", name)
            assert (tmp_path / name).is_file()


# --- templates -----------------------------------------------------------------------


@pytest.mark.parametrize("name", EVERY_TEMPLATE)
def test_every_template_compiles(name: str) -> None:
    assert Engine.get_default().get_template(name).name == name


@pytest.mark.parametrize(
    "name", [each for each in EVERY_TEMPLATE if each.endswith(".html")]
)
def test_no_template_holds_inline_code_or_style(name: str) -> None:
    text = (TEMPLATES / name).read_text()
    assert not re.search(r"<[^>]*\sstyle\s*=", text)
    assert not re.search(r"<[^>]*\son[a-z]+\s*=", text)
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert "javascript:" not in text
    # A mail is read without our style sheet, so it brings its own.
    assert name.startswith("mail/") or "<style" not in text


# --- pages of ours -------------------------------------------------------------------


def test_a_page_that_is_not_there_says_so_in_our_words(
    owner_client: StrictClient,
) -> None:
    answer = owner_client.get("/nothing-of-this-name/")
    page = Page(answer.content.decode())
    assert answer.status_code == 404
    assert "Nothing is kept here" in page.words
    assert "You are logged in as Olive Harrow." in page.words
    assert page.by_id("main")["tabindex"] == "-1"
    assert page.all("a")[0] == {"class": "skip", "href": "#main"}
    assert [a["lang"] for a in page.all("html")] == ["en"]


def test_the_menu_holds_what_the_role_may_see(
    owner: Person, crew_member: Person
) -> None:
    words = {
        person.role: Page(
            browser_of(person).get("/nothing-of-this-name/").content.decode()
        ).words
        for person in (owner, crew_member)
    }
    assert "The firm’s settings" in words["owner"]
    assert "The firm’s settings" not in words["crew"]
    assert "Cal Reed" in words["crew"]


def test_the_refusal_names_the_person_and_the_role(bookkeeper: Person) -> None:
    request = RequestFactory().get("/")
    request.user = bookkeeper
    html = render_to_string("403.html", {}, request)
    assert "You are logged in as Bea Ledger (Bookkeeper)" in Page(html).words


def test_the_page_for_a_fault_needs_nothing_but_itself() -> None:
    page = Page(render_to_string("500.html"))
    assert "Something broke" in page.words
    assert page.all("script") == []


def test_a_form_without_its_token_is_refused_kindly(owner: Person) -> None:
    request = RequestFactory().post("/")
    request.user = owner
    answer = csrf_refused(request)
    assert answer.status_code == 403
    assert "Nothing was saved." in Page(answer.content.decode()).words


# --- figures and days ----------------------------------------------------------------


def test_money_is_written_with_the_firms_sign_or_bare_for_columns() -> None:
    assert notebook.money(Decimal("1666.67"), "USD") == "$1,666.67"
    assert notebook.money(Decimal("1666.665"), {"currency": "EUR"}) == "€1,666.67"
    assert notebook.money("1666.67", "CHF") == "CHF\u00a01,666.67"
    assert notebook.money(Decimal("1666.665")) == "1,666.67"
    assert notebook.money(0) == "0.00"
    assert notebook.money(None, "USD") == "–"


def test_measures_are_written_in_the_firms_units() -> None:
    bed_m2 = Decimal("30") * Decimal("8") * Decimal("0.3048") ** 2
    assert notebook.area_m2(bed_m2, "us") == "240.00\u00a0sq\u00a0ft"
    assert notebook.area_m2(bed_m2, "metric") == "22.30\u00a0m²"
    assert notebook.length_m(Decimal("9.144"), "us") == "30\u00a0ft"
    assert notebook.depth_m(Decimal("0.6096"), "us") == "24\u00a0in"
    mulch_m3 = bed_m2 * Decimal("0.0762")
    assert notebook.volume_m3(mulch_m3, "us") == "2.222\u00a0cu\u00a0yd"
    assert notebook.small_volume_m3(mulch_m3, "us") == "60.00\u00a0cu\u00a0ft"
    assert notebook.weight_kg(Decimal("22.679618"), "us") == "50\u00a0lb"
    assert notebook.warmth_c(Decimal(35), "us") == "95\u00a0°F"
    assert notebook.warmth_c(Decimal(35), "metric") == "35\u00a0°C"


def test_shares_and_hours_carry_their_unit() -> None:
    assert notebook.percent(Decimal("8.250")) == "8.25\u00a0%"
    assert notebook.percent(40) == "40\u00a0%"
    assert notebook.hours(Decimal("7.50")) == "7.5\u00a0h"
    assert notebook.hours(dt.timedelta(minutes=90)) == "1.5\u00a0h"
    assert notebook.number(Decimal("1234.5"), 2) == "1,234.50"
    assert notebook.trimmed(Decimal("1234.50")) == "1,234.5"


def test_days_are_written_in_words() -> None:
    day = dt.date(2026, 11, 24)
    assert notebook.day_words(day) == "Tue 24 Nov 2026"
    assert notebook.day_words("2026-11-24") == "Tue 24 Nov 2026"
    assert notebook.day_short(day) == "Tue 24 Nov"
    assert notebook.day_month(day) == "24 Nov"
    assert notebook.days_between(dt.date(2026, 3, 3), day) == "3 Mar to 24 Nov 2026"
    assert (
        notebook.days_between(day, dt.date(2027, 3, 3)) == "24 Nov 2026 to 3 Mar 2027"
    )
    assert notebook.days_between(day, day) == "Tue 24 Nov 2026"
    assert notebook.day_words(None) == "–"


def test_moments_are_written_in_the_firms_own_time() -> None:
    moment = dt.datetime(2026, 11, 25, 3, 5, tzinfo=dt.UTC)
    here = {"time_zone": "America/New_York", "units": "us"}
    assert notebook.local_day(moment, here) == "Tue 24 Nov 2026"
    assert notebook.local_moment(moment, here) == "Tue 24 Nov 2026, 10:05\u00a0pm"
    there = {"time_zone": "Europe/Berlin", "units": "metric"}
    assert notebook.local_moment(moment, there) == "Wed 25 Nov 2026, 04:05"
    assert notebook.time_of_day("07:30:00", "us") == "7:30\u00a0am"
    assert notebook.time_of_day(dt.time(0, 15), "us") == "12:15\u00a0am"


def test_a_page_belongs_to_the_menu_word_it_lies_under() -> None:
    assert notebook.is_within("/gardens/3/", "/gardens/")
    assert notebook.is_within("/", "/")
    assert not notebook.is_within("/gardens/", "/")
    assert not notebook.is_within("/books/", "/gardens/")


def test_labels_start_with_a_capital_but_ph_does_not() -> None:
    assert notebook.upfirst("way in") == "Way in"
    assert notebook.upfirst("pH") == "pH"
    assert notebook.upfirst("") == ""


def test_a_telephone_number_can_be_called() -> None:
    assert notebook.dialled("+1 (555) 0134-7") == "+155501347"


def test_an_address_stands_in_one_line_with_commas():
    assert (
        notebook.in_one_line("9 Canal Walk\nFernhollow") == "9 Canal Walk, Fernhollow"
    )
    assert (
        notebook.in_one_line(" 9 Canal Walk,\n\n Fernhollow \n")
        == "9 Canal Walk, Fernhollow"
    )
    assert notebook.in_one_line("") == ""
