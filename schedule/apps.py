from django.apps import AppConfig


class ScheduleConfig(AppConfig):
    name = "schedule"

    def ready(self) -> None:
        # The programme is made anew by listening to work_changed.
        from schedule import receivers  # noqa: F401
