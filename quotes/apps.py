from django.apps import AppConfig


class QuotesConfig(AppConfig):
    name = "quotes"

    def ready(self) -> None:
        # An estimate holds its commission by answering held_by.
        from quotes import receivers  # noqa: F401
