from django.apps import AppConfig
from django.db.models import fields


class StudioConfig(AppConfig):
    name = "studio"

    def ready(self) -> None:
        # What a list of choices opens with, where its form says nothing else.
        fields.BLANK_CHOICE_LABEL = "choose one"
