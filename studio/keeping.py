"""The folder of the studio's data: nobody else on the machine reads what is kept in it."""

import os
import secrets
from contextlib import suppress
from pathlib import Path
from tempfile import NamedTemporaryFile


def keep_private() -> None:
    """Have all that this process makes from now on readable by its owner only."""
    os.umask(0o077)


def kept_secret(folder: Path) -> str:
    """Return the secret of this installation, made on the first run.

    It is written whole or not at all, and of two processes that start together both get the one
    that was there first.
    """
    file = folder / "secret-key"
    if file.exists() and not file.stat().st_size:
        file.unlink(missing_ok=True)
    if not file.exists():
        with NamedTemporaryFile("w", dir=folder, prefix="secret-key.", delete=False) as draft:
            draft.write(secrets.token_urlsafe(50))
            draft.flush()
            os.fsync(draft.fileno())
        with suppress(FileExistsError):
            os.link(draft.name, file)
        os.unlink(draft.name)
    return file.read_text()
