"""How a colour is typed: #rrggbb, by the browser's own chooser."""

import re

from django import forms

COLOUR = re.compile(r"#[0-9a-f]{6}")
BLANK = "#fefdfc"
"""What the field of a ground's colour opens with, since a chooser is never empty."""


class ColourInput(forms.TextInput):
    input_type = "color"


def check_named(form: forms.Form, data: dict, *, unnamed: str) -> None:
    """Say beside `ground_name` and `ground_colour` what they still lack; `unnamed` for no name."""
    if not data.get("ground_name") and "ground_name" not in form.errors:
        form.add_error("ground_name", unnamed)
    if not COLOUR.fullmatch(data.get("ground_colour") or ""):
        form.add_error("ground_colour", "Choose the colour.")
    elif data["ground_colour"] == BLANK:
        form.add_error(
            "ground_colour", "Choose the colour; the field still shows the blank it opens with."
        )
