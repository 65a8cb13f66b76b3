from django.apps import AppConfig


class JobsConfig(AppConfig):
    name = "jobs"

    def ready(self) -> None:
        # A new studio gets its method sheets and materials by listening to studio_opened.
        from jobs import receivers  # noqa: F401
