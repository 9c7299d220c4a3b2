"""Forms for the lines of a quote: plants, soil mix, mulch, labour, anything else."""

from jobs.forms.quote_lines.base import LineForm
from jobs.forms.quote_lines.ground import MulchForm, SoilForm
from jobs.forms.quote_lines.plain import DeliveryForm, LabourForm, OtherForm
from jobs.forms.quote_lines.plants import PlantsForm

__all__ = ["LINE_FORMS", "LineForm"]

LINE_FORMS: dict[str, type[LineForm]] = {
    str(form.kind): form
    for form in (
        PlantsForm,
        SoilForm,
        MulchForm,
        LabourForm,
        DeliveryForm,
        OtherForm,
    )
}
