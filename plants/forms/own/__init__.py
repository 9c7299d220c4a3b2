"""Forms for the firm's own groups, plants, rules and closed seasons."""

from plants.forms.own.closed import ClosedForm
from plants.forms.own.facts import GroupForm, PlantForm
from plants.forms.own.lines import LineForm
from plants.forms.own.rules import RuleForm
from plants.forms.own.sources import SourceForm

__all__ = ["ClosedForm", "GroupForm", "LineForm", "PlantForm", "RuleForm", "SourceForm"]
