"""What SQLite is told to do, so that nothing is lost when two write at once or the power fails.

Collected only where the suite runs on SQLite.
"""

from collections.abc import Iterator

import pytest
from django.conf import settings
from django.db import OperationalError
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.utils import ConnectionHandler


@pytest.fixture
def pair(db, tmp_path) -> Iterator[tuple[BaseDatabaseWrapper, BaseDatabaseWrapper]]:
    """Two connections to one database file, opened as the settings say."""
    told = {**settings.DATABASES["default"], "NAME": str(tmp_path / "studio.sqlite3")}
    one, two = (ConnectionHandler({"default": told})["default"] for _ in range(2))
    one.cursor().execute("CREATE TABLE coat (name text)")
    two.cursor().execute("PRAGMA busy_timeout = 1")
    yield one, two
    one.close()
    two.close()


def test_it_logs_ahead_syncs_in_full_minds_references_and_waits_five_seconds(pair):
    said = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 5000}
    for pragma, value in said.items():
        assert pair[0].cursor().execute(f"PRAGMA {pragma}").fetchone() == (value,), pragma


def test_a_transaction_takes_its_turn_at_its_start_and_others_may_read_meanwhile(pair):
    """Two that read first and write later would each wait for the other."""
    writing, other = pair
    writing.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)
    with pytest.raises(OperationalError, match="locked"):
        other.cursor().execute("INSERT INTO coat VALUES ('gesso')")
    writing.cursor().execute("INSERT INTO coat VALUES ('bole')")
    assert other.cursor().execute("SELECT count(*) FROM coat").fetchone() == (0,)
    writing.rollback()
