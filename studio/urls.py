"""Every address. The pages of an app stand in its own urls.py."""

from django.contrib.auth.views import LogoutView
from django.urls import include, path

from studio.views import begin, business, door

urlpatterns = [
    path("", begin.home, name="home"),
    path("begin/", begin.begin, name="begin"),
    path("sign-in/", door.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    # studio/
    path("studio/", business.business, name="business"),
    path("studio/edit/", business.business_edit, name="business-edit"),
    path("studio/hours/new/", business.window_edit, name="window-new"),
    path("studio/hours/<int:pk>/", business.window_edit, name="window-edit"),
    path("studio/hours/<int:pk>/remove/", business.window_remove, name="window-remove"),
    path("studio/days-off/new/", business.day_off_edit, name="day-off-new"),
    path("studio/days-off/<int:pk>/", business.day_off_edit, name="day-off-edit"),
    path("studio/days-off/<int:pk>/remove/", business.day_off_remove, name="day-off-remove"),
    path("studio/dated-hours/new/", business.dated_hours_edit, name="dated-hours-new"),
    path("studio/dated-hours/<int:pk>/", business.dated_hours_edit, name="dated-hours-edit"),
    path(
        "studio/dated-hours/<int:pk>/remove/",
        business.dated_hours_remove,
        name="dated-hours-remove",
    ),
    path("studio/people/new/", business.person_edit, name="person-new"),
    path("studio/people/<int:pk>/", business.person_edit, name="person-edit"),
    path("studio/people/<int:pk>/remove/", business.person_remove, name="person-remove"),
    path("studio/calendar-link/renew/", business.feed_renew, name="feed-renew"),
    path("", include("jobs.urls")),
    path("", include("schedule.urls")),
    path("", include("quotes.urls")),
]
