"""Forms for planting plans and quantities of a quote."""

from jobs.forms.takeoff.plans import PlanForm
from jobs.forms.takeoff.settings import OverruleForm, SettingsForm

__all__ = ["OverruleForm", "PlanForm", "SettingsForm"]
