"""How a colour is typed: #rrggbb, by the browser's own chooser."""

import re

from django import forms

COLOUR = re.compile(r"#[0-9a-f]{6}")


class ColourInput(forms.TextInput):
    input_type = "color"
