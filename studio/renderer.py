"""Forms look the same everywhere: label, field, help, and the error beside the field."""

from django.forms.renderers import TemplatesSetting


class StudioFormRenderer(TemplatesSetting):
    field_template_name = "forms/field.html"
    form_template_name = "forms/form.html"
