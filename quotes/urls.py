"""Addresses of money: the estimate of a commission and its issues, and its other papers."""

from django.urls import path

from quotes.views import earliest, estimates, extras, late, overrides, sheets, what_if

urlpatterns = [
    path("commissions/<int:number>/bench-sheet.pdf", sheets.bench_sheet, name="bench-sheet"),
    path("commissions/<int:number>/care-sheet.pdf", sheets.care_sheet, name="care-sheet"),
    path("commissions/<int:number>/earliest/", earliest.earliest, name="earliest"),
    path("programme/what-if/", what_if.what_if, name="what-if"),
    path("programme/what-if/answer/", what_if.what_if_answer, name="what-if-answer"),
    path("panels/<int:pk>/late/", late.panel_late, name="panel-late"),
    path("commissions/<int:number>/estimate/", estimates.estimate, name="estimate"),
    path("commissions/<int:number>/estimate/issue/", estimates.issue, name="estimate-issue"),
    path("commissions/<int:number>/accept/", estimates.accept, name="commission-accept"),
    path("commissions/<int:number>/accept/undo/", estimates.accept_undo, name="acceptance-undo"),
    path("commissions/<int:number>/estimate/add-line/", extras.extra_new, name="extra-new"),
    path("extra-lines/<int:pk>/", extras.extra_edit, name="extra-edit"),
    path("extra-lines/<int:pk>/remove/", extras.extra_remove, name="extra-remove"),
    path(
        "commissions/<int:number>/estimate/<int:issue>/", estimates.issued, name="estimate-issued"
    ),
    path(
        "commissions/<int:number>/estimate/<int:issue>/pdf/",
        estimates.issued_pdf,
        name="estimate-pdf",
    ),
    path(
        "commissions/<int:number>/estimate/lines/<str:key>/",
        overrides.line_edit,
        name="line-edit",
    ),
    path(
        "commissions/<int:number>/estimate/lines/<str:key>/as-reckoned/",
        overrides.line_restore,
        name="line-restore",
    ),
]
