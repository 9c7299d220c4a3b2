"""Every shipped line, looked at in its form and saved as it is, stays as it is."""

from typing import Any

import pytest

from firm.units import Display
from plants.actions.catalogue import load_catalogue
from plants.care.lines import change_of
from plants.forms.own import ClosedForm, GroupForm, RuleForm
from plants.models import ClosedSeason, Group, Rule
from plants.queries.own import OwnLine, Target, engine_of, own_line
from tests.factories import NOW
from tests.plants.shipped import catalogue

pytestmark = pytest.mark.django_db


# Each system of units has its turn with some of the groups; all with both take a minute
# and were run once.
@pytest.mark.parametrize(("units", "turn"), [("us", 0), ("metric", 2)])
def test_a_shipped_line_saved_untouched_differs_in_nothing(
    units: str, turn: int
) -> None:
    load_catalogue(catalogue=catalogue(), now=NOW)
    display = Display(units)
    differing = []
    seen = 0
    for group in Group.objects.order_by("id")[turn::4]:
        target = Target(group=group)
        engine = engine_of(target)
        for part, rows in (
            ("rules", Rule.objects.filter(group=group)),
            ("closed", ClosedSeason.objects.filter(group=group)),
        ):
            for key in rows.order_by("id").values_list("key", flat=True):
                stands = own_line(target=target, part=part, key=key)
                assert isinstance(stands, OwnLine)
                kw: dict[str, Any] = {
                    "stands": stands,
                    "display": display,
                    "garden": None,
                }
                form = (
                    RuleForm(None, engine=engine, **kw)
                    if part == "rules"
                    else ClosedForm(None, **kw)
                )
                typed = {field.name: field.value() for field in form}
                sent = {
                    name: value
                    for name, value in typed.items()
                    if value is not None and value is not False
                }
                bound = (
                    RuleForm(sent, engine=engine, **kw)
                    if part == "rules"
                    else ClosedForm(sent, **kw)
                )
                seen += 1
                if not bound.is_valid():
                    differing.append((group.key, key, dict(bound.errors)))
                elif change_of(part, stands.below, bound.line()):
                    change = change_of(part, stands.below, bound.line())
                    differing.append((group.key, key, change))
    assert seen > 250
    assert differing == []


@pytest.mark.parametrize("units", ["us", "metric"])
def test_the_facts_of_a_shipped_group_copied_untouched_are_the_same(
    units: str,
) -> None:
    load_catalogue(catalogue=catalogue(), now=NOW)
    differing = []
    for group in Group.objects.order_by("id"):
        kw: dict[str, Any] = {"display": Display(units), "garden": None, "group": None}
        typed = {
            field.name: field.value() for field in GroupForm(None, like=group, **kw)
        }
        sent = {name: value for name, value in typed.items() if value is not None}
        bound = GroupForm({**sent, "name": group.name}, like=group, **kw)
        if not bound.is_valid():
            differing.append((group.key, dict(bound.errors)))
            continue
        said = bound.facts_said()
        differing.extend(
            (group.key, name, group.facts.get(name), said.get(name))
            for name in {*said, *group.facts}
            if said.get(name) != group.facts.get(name)
        )
    assert differing == []
