"""Addresses of the record: clients, commissions, pieces, panels, methods, mixes."""

from django.urls import path

from jobs.views import (
    clients,
    commissions,
    learning,
    log,
    methods,
    mixes,
    paint,
    panels,
    photos,
    pieces,
    room,
    stages,
    supplies,
    surfaces,
)

urlpatterns = [
    # clients/
    path("clients/", clients.clients, name="clients"),
    path("clients/new/", clients.client_edit, name="client-new"),
    path("clients/<int:pk>/", clients.client_edit, name="client-edit"),
    path("clients/<int:pk>/remove/", clients.client_remove, name="client-remove"),
    # commissions/
    path("commissions/", commissions.commissions, name="commissions"),
    path("commissions/new/", commissions.commission_edit, name="commission-new"),
    path("commissions/<int:number>/", commissions.commission, name="commission"),
    path("commissions/<int:number>/edit/", commissions.commission_edit, name="commission-edit"),
    path(
        "commissions/<int:number>/remove/",
        commissions.commission_remove,
        name="commission-remove",
    ),
    path(
        "commissions/<int:number>/decline/",
        commissions.commission_decline,
        name="commission-decline",
    ),
    path(
        "commissions/<int:number>/call-off/",
        commissions.commission_call_off,
        name="commission-call-off",
    ),
    path(
        "commissions/<int:number>/reopen/", commissions.commission_reopen, name="commission-reopen"
    ),
    path(
        "commissions/<int:number>/hand-over/",
        commissions.commission_hand_over,
        name="commission-hand-over",
    ),
    # pieces/ and surfaces/
    path("commissions/<int:number>/pieces/new/", pieces.piece_edit, name="piece-new"),
    path("pieces/<int:pk>/", pieces.piece, name="piece"),
    path("pieces/<int:pk>/edit/", pieces.piece_edit, name="piece-edit"),
    path("pieces/<int:pk>/remove/", pieces.piece_remove, name="piece-remove"),
    path("pieces/<int:piece>/surfaces/new/", surfaces.surface_edit, name="surface-new"),
    path("surfaces/<int:pk>/", surfaces.surface_edit, name="surface-edit"),
    path("surfaces/<int:pk>/remove/", surfaces.surface_remove, name="surface-remove"),
    # panels/ with their stages, log and photographs
    path("surfaces/<int:surface>/panels/new/", panels.panel_edit, name="panel-new"),
    path("panels/<int:pk>/", panels.panel, name="panel"),
    path("panels/<int:pk>/edit/", panels.panel_edit, name="panel-edit"),
    path("panels/<int:pk>/remove/", panels.panel_remove, name="panel-remove"),
    path("panels/<int:pk>/mirror/", panels.panel_mirror, name="panel-mirror"),
    path("panels/<int:pk>/method/", panels.panel_method, name="panel-method"),
    path("panels/<int:panel>/stages/new/", stages.stage_edit, name="stage-new"),
    path("panels/<int:panel>/stages/check/", stages.stage_check, name="stage-new-check"),
    path("stages/<int:pk>/", stages.stage_edit, name="stage-edit"),
    path("stages/<int:pk>/check/", stages.stage_check, name="stage-check"),
    path("stages/<int:pk>/remove/", stages.stage_remove, name="stage-remove"),
    path("stages/<int:pk>/move/<str:way>/", stages.stage_move, name="stage-move"),
    path("stages/<int:stage>/sittings/new/", log.sitting_edit, name="sitting-new"),
    path("sittings/<int:pk>/", log.sitting_edit, name="sitting-edit"),
    path("sittings/<int:pk>/remove/", log.sitting_remove, name="sitting-remove"),
    path("stages/<int:stage>/touch-tests/new/", log.touch_test_new, name="touch-test-new"),
    path("touch-tests/<int:pk>/", log.touch_test_edit, name="touch-test-edit"),
    path("touch-tests/<int:pk>/remove/", log.touch_test_remove, name="touch-test-remove"),
    path("panels/<int:panel>/photos/new/", photos.photo_new, name="photo-new"),
    path("photos/<int:pk>/", photos.photo, name="photo"),
    path("photos/<int:pk>/edit/", photos.photo_edit, name="photo-edit"),
    path("photos/<int:pk>/remove/", photos.photo_remove, name="photo-remove"),
    # methods/
    path("methods/", methods.sheets, name="sheets"),
    path("methods/new/", methods.sheet_edit, name="sheet-new"),
    path("methods/restore/", methods.sheets_restore, name="sheets-restore"),
    path("methods/<int:pk>/", methods.sheet, name="sheet"),
    path("methods/<int:pk>/edit/", methods.sheet_edit, name="sheet-edit"),
    path("methods/<int:pk>/remove/", methods.sheet_remove, name="sheet-remove"),
    path("methods/<int:sheet>/stages/new/", methods.step_edit, name="step-new"),
    path("methods/<int:sheet>/stages/check/", methods.step_check, name="step-new-check"),
    path("methods/stages/<int:pk>/", methods.step_edit, name="step-edit"),
    path("methods/stages/<int:pk>/check/", methods.step_check, name="step-check"),
    path("methods/stages/<int:pk>/remove/", methods.step_remove, name="step-remove"),
    path("methods/stages/<int:pk>/move/<str:way>/", methods.step_move, name="step-move"),
    # drying/
    path("drying/", learning.learning, name="learning"),
    path("drying/room/", room.room_warmth, name="room-warmth"),
    # paint/
    path("paint/", paint.paint, name="paint"),
    path("paint/<str:table>/", paint.paint_table, name="paint-table"),
    path("paint/<str:table>/own/<str:row>/", paint.own_values_edit, name="own-values-edit"),
    path(
        "paint/<str:table>/own/<str:row>/remove/",
        paint.own_values_remove,
        name="own-values-remove",
    ),
    # mixes/ and materials/
    path("mixes/", mixes.mixes, name="mixes"),
    path("mixes/new/", mixes.mix_edit, name="mix-new"),
    path("mixes/<int:pk>/", mixes.mix, name="mix"),
    path("mixes/<int:pk>/edit/", mixes.mix_edit, name="mix-edit"),
    path("mixes/<int:pk>/remove/", mixes.mix_remove, name="mix-remove"),
    path("mixes/<int:pk>/keep/<str:way>/", mixes.mix_sibling, name="mix-sibling"),
    path("mixes/<int:pk>/swatch/", mixes.mix_swatch, name="mix-swatch"),
    path("mixes/<int:pk>/swatch/new/", mixes.mix_swatch_new, name="mix-swatch-new"),
    path("mixes/<int:pk>/swatch/remove/", mixes.mix_swatch_remove, name="mix-swatch-remove"),
    path("materials/", supplies.supplies, name="supplies"),
    path("materials/<int:pk>/", supplies.supply_edit, name="supply-edit"),
]
