"""What someone of the studio does."""

from django import forms

from jobs.labour.stages import stage_kinds
from studio.forms import RecordForm
from studio.models import Person


class KindsForm(RecordForm):
    """The kinds of work of one person; all are kept as none named, so that new ones count."""

    kinds = forms.MultipleChoiceField(
        label="Kinds of work",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="The programme gives nobody a kind of work that is not ticked.",
    )

    class Meta:
        model = Person
        fields = ["kinds"]

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kinds"].choices = [(key, kind.name) for key, kind in stage_kinds().items()]
        self.initial["kinds"] = self.instance.kinds or list(stage_kinds())

    def clean_kinds(self) -> list[str]:
        kinds = self.cleaned_data["kinds"]
        if not kinds:
            raise forms.ValidationError(
                "Tick one at least. Who does not paint at all is marked so beside the name."
            )
        return [] if len(kinds) == len(stage_kinds()) else kinds
