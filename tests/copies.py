"""A copy of the test database, for processes of their own."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from django.db import ConnectionHandler, connection
from environ import Env


@dataclass(frozen=True)
class House:
    """A data folder, and the address of the database that goes with it."""

    folder: Path
    database: str

    @property
    def environment(self) -> dict[str, str]:
        """Return the settings by which a process works in this house."""
        return {"DATA_DIR": str(self.folder), "DATABASE_URL": self.database, "SMTP_HOST": ""}

    def count(self, table: str, where: str = "true") -> int:
        """Return how many rows of a table are committed in the copy."""
        copy = ConnectionHandler({"default": Env.db_url_config(self.database)})["default"]
        try:
            with copy.cursor() as cursor:
                cursor.execute(f"SELECT count(*) FROM {table} WHERE {where}")
                return cursor.fetchone()[0]
        finally:
            copy.close()


@contextmanager
def copied_house(folder: Path) -> Iterator[House]:
    """Copy all that is committed to a database that goes when the block is left."""
    if connection.vendor == "sqlite":
        file = folder / "studio.sqlite3"
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(file)])
        # A copy forgets the mode, and two processes cannot both be the first to set it.
        with closing(sqlite3.connect(file)) as copy:
            copy.execute("PRAGMA journal_mode=WAL")
        yield House(folder, f"sqlite:///{file}")
        return
    # PostgreSQL copies a database only while nobody is connected to it.
    connection.close()
    connection.creation.clone_test_db("copy", verbosity=0, autoclobber=True)
    try:
        yield House(folder, _address(connection.creation.get_test_db_clone_settings("copy")))
    finally:
        connection.creation.destroy_test_db(suffix="copy", verbosity=0)


def _address(given: dict) -> str:
    user, password = (quote(given[part], safe="") for part in ("USER", "PASSWORD"))
    port = f":{given['PORT']}" if given["PORT"] else ""
    return f"postgres://{user}:{password}@{given['HOST']}{port}/{given['NAME']}"
