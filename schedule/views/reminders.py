"""The outbox: what was told, what will be, what could not be delivered."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from schedule.domain.reminders import try_again
from schedule.models import Reminder
from studio.access import own

SHOWN = 50


@require_GET
def reminders(request: HttpRequest) -> HttpResponse:
    rows = Reminder.objects.of(request.studio).exclude(state=Reminder.State.WITHDRAWN)
    rows = rows.select_related("stage__panel__surface").order_by("-due")[:SHOWN]
    return render(request, "schedule/reminders.html", {"reminders": rows})


@require_POST
def reminder_again(request: HttpRequest, pk: int) -> HttpResponse:
    try_again(own(request, Reminder, pk=pk))
    messages.success(request, "It is tried again within a minute.")
    return redirect("reminders")
