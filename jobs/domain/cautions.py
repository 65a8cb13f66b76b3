"""The cautions a piece calls for, from its age and finish, its use, and how it is painted."""

from collections.abc import Iterable

from jobs.models import Mix, Panel, Piece, Stage
from jobs.paint.cautions import Caution, cautions_for
from jobs.paint.drying_tables import media

NOTHING_ON_IT, NO_SPECIAL_USE = "bare", "everyday"


def piece_cautions(piece: Piece) -> tuple[Caution, ...]:
    """Return the cautions for a piece; reads its panels' stages with their mixes."""
    stages = [
        stage
        for surface in piece.surfaces.all()
        for panel in surface.panels.all()
        for stage in panel.stages.all()
    ]
    return _cautions(piece, stages)


def panel_cautions(panel: Panel) -> tuple[Caution, ...]:
    """Return the cautions for the work on one panel."""
    return _cautions(panel.surface.piece, panel.stages.all())


def stage_cautions(stage: Stage) -> tuple[Caution, ...]:
    """Return what to mind while working on one stage.

    The old finish counts only where it is opened, the use of the piece where a coat is laid.
    """
    piece = stage.panel.surface.piece
    return cautions_for(
        **_work([stage]),
        built_in_year=piece.made_in,
        existing_finish=piece.finish if stage.sort.disturbs else NOTHING_ON_IT,
        use=piece.use if stage.sort.is_coat else NO_SPECIAL_USE,
    )


def client_cautions(piece: Piece) -> tuple[Caution, ...]:
    """Return those of a piece's cautions that its owner is to be told of."""
    called = piece_cautions(piece)
    return tuple(caution for caution in called if caution.concerns_client(piece.use))


def mix_cautions(mix: Mix) -> tuple[Caution, ...]:
    """Return what to mind of the tube colours in a mix, whatever it is painted on."""
    called = cautions_for(pigments=mix.recipe)
    return tuple(caution for caution in called if not caution.finishes and not caution.uses)


def _cautions(piece: Piece, stages: Iterable[Stage]) -> tuple[Caution, ...]:
    return cautions_for(
        **_work(stages),
        built_in_year=piece.made_in,
        existing_finish=piece.finish,
        use=piece.use,
    )


def _named(stage: Stage) -> tuple[str, ...]:
    """Return what its kind of work calls for, and what is worked into its paint."""
    worked_in = media().get(stage.medium)
    return (*stage.sort.cautions, *(worked_in.cautions if worked_in else ()))


def _work(stages: Iterable[Stage]) -> dict[str, set[str]]:
    return {
        "binders": {stage.binder for stage in stages},
        "named": {key for stage in stages for key in _named(stage)},
        "pigments": {
            part.pigment for stage in stages if stage.mix for part in stage.mix.parts.all()
        },
    }
