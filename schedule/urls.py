"""Addresses of time: bench, programme, days of a mix, reminders, calendar feed."""

from django.urls import path

from schedule.views import bench, feed, mixes, pins, programme, reminders, weaving

urlpatterns = [
    path("bench/", bench.bench, name="bench"),
    path("bench/stages/<int:pk>/start/", bench.sitting_start, name="sitting-start"),
    path("bench/sittings/<int:pk>/stop/", bench.sitting_stop, name="sitting-stop"),
    path("bench/stages/<int:pk>/touch-test/", bench.touch_test, name="touch-test"),
    path("programme/", programme.programme, name="programme"),
    path("programme/weaving/", programme.programme_weaving, name="programme-weaving"),
    path("programme/weaving/begin/", weaving.weave_begin, name="weave-begin"),
    path("programme/weaving/stop/", weaving.weave_stop, name="weave-stop"),
    path("programme/compared/", programme.programme_compared, name="programme-compared"),
    path("programme/finishes/", programme.programme_finishes, name="programme-finishes"),
    path("programme/commissions/<int:number>/", programme.programme_ready, name="programme-ready"),
    path("programme/commissions/<int:number>/why/", programme.programme_why, name="programme-why"),
    path("programme/planned/<int:pk>/fix/", pins.sitting_fix, name="sitting-fix"),
    path("programme/planned/<int:pk>/move/", pins.sitting_move, name="sitting-move"),
    path("programme/fixed/<int:pk>/", pins.pin_move, name="pin-move"),
    path("programme/fixed/<int:pk>/let-go/", pins.pin_let_go, name="pin-let-go"),
    path("mixes/<int:pk>/days/", mixes.mix_days, name="mix-days"),
    path("reminders/", reminders.reminders, name="reminders"),
    path("reminders/<int:pk>/again/", reminders.reminder_again, name="reminder-again"),
    path("calendar/<str:secret>.ics", feed.feed, name="feed"),
]
