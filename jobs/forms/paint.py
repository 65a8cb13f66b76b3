"""Forms in which a studio puts its own values in place of the paint tables'."""

from collections.abc import Mapping
from decimal import Decimal

from django import forms

from jobs.domain.own_values import (
    BINDERS,
    DRYING,
    OPACITY,
    WAITS,
    classes_of,
    own_row,
    seen_row,
)
from jobs.models import OwnValue
from jobs.paint.gates import GATES
from jobs.paint.words import named
from studio.fields import NumberField
from studio.forms import StudioForm
from studio.models import Studio


class OwnRowForm(StudioForm):
    """Her own values of one row, and why. An empty field leaves the table's."""

    columns: tuple[str, ...] = ()

    reason = forms.CharField(
        max_length=200,
        required=False,
        label="Why",
        help_text="Another maker, a test of your own: so that you still know in a year.",
    )
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(
        self, studio: Studio, *args, table: str, row: str, says: Mapping[str, str], **kwargs
    ) -> None:
        super().__init__(studio, *args, **kwargs)
        self.place = {"table": table, "row": row}
        kept = own_row(studio, **self.place)
        for column in self.columns:
            field = self.fields[column] = self.field(column)
            field.help_text = f"The table says {says[column]}."
            if column in kept:
                field.initial = self.typed(kept[column])
        self.order_fields([*self.columns, "reason"])
        self.bind_studio(studio)
        self.fields["seen"].initial = seen_row(kept)
        self.fields["reason"].initial = next((each.reason for each in kept.values()), "")

    def field(self, column: str) -> forms.Field:
        """Return the field in which she types her value of a column."""
        raise NotImplementedError

    @property
    def values(self) -> dict[str, str]:
        """Return what she typed, by column, written as the tables are; "" where nothing."""
        return {column: self.written(self.cleaned_data.get(column)) for column in self.columns}

    def typed(self, own: OwnValue) -> object:
        """Return a kept value as its field takes it."""
        return own.value

    def written(self, value) -> str:
        """Return what a field gave as the tables write it."""
        return str(value or "")

    def see_again(self) -> None:
        """Show what is kept now beside each field that differs, and count it as seen."""
        kept = own_row(self.studio, **self.place)
        self.data = self.data.copy()
        self.data[self.add_prefix("seen")] = seen_row(kept)
        for column, typed in self.values.items():
            now = kept[column].value if column in kept else ""
            if now != typed:
                told = f"now reads ‘{self.told(kept[column])}’" if now else "is now the table’s"
                self.add_error(column, f"It {told}.")

    def told(self, own: OwnValue) -> str:
        """Return a kept value in words."""
        return str(self.fields[own.column].prepare_value(self.typed(own)))


class OwnHoursForm(OwnRowForm):
    """Her own hours to each gate of a paint."""

    columns = WAITS

    def field(self, column: str) -> NumberField:
        label = f"{GATES[column].label.capitalize()}, hours"
        return NumberField(max_digits=7, decimal_places=2, required=False, label=label)

    def typed(self, own: OwnValue) -> Decimal:
        return Decimal(own.value)

    def written(self, value: Decimal | None) -> str:
        return "" if value is None else f"{value.normalize():f}"


class OwnClassForm(OwnRowForm):
    """Her own drying and opacity classes of a pigment."""

    columns = (DRYING, OPACITY)
    labels: Mapping[str, str] = {DRYING: "In oil it is", OPACITY: "It hides"}

    def field(self, column: str) -> forms.ChoiceField:
        classes = [(key, named(column, key)) for key in classes_of(column)]
        choices = [("", "as the table has it"), *classes]
        return forms.ChoiceField(label=self.labels[column], choices=choices, required=False)

    def told(self, own: OwnValue) -> str:
        return named(own.column, own.value)


def own_row_form(table: str) -> type[OwnRowForm]:
    """Return the form for the rows of a table of which a studio may have its own values."""
    return OwnHoursForm if table == BINDERS else OwnClassForm
