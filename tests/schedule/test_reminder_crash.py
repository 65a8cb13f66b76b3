"""A process that dies at the bench or while sending loses no reminder.

Real processes on a database of their own, with mails written to files; each dies by os._exit at one
point.
"""

import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import timedelta
from email import message_from_bytes
from pathlib import Path

import pytest
from django.utils import timezone

from schedule.domain.reminders import LEASE, message_id
from schedule.models import Reminder
from studio.signals import hold_changes
from tests.cast import asked, painted, panel_of, piece_of, studio_of, surface_of
from tests.copies import House, copied_house

HOUSE = Path(__file__).resolve().parents[2]
MAIL_END = b"-" * 79 + b"\n"

SENDER = """
import os, sys
import django
django.setup()
from datetime import datetime
from django.core.mail import EmailMessage
from schedule.domain.reminders import send_due
point, moments = sys.argv[1], [datetime.fromisoformat(moment) for moment in sys.argv[2:]]
send = EmailMessage.send
def dying(message, *args, **kwargs):
    if point == "taken":
        os._exit(9)
    send(message, *args, **kwargs)
    os._exit(9)
def another(act):
    child = os.fork()
    if not child:
        act()
        os._exit(0)
    return child
def code(child):
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
def die():
    EmailMessage.send = dying
    send_due(now=moments[0])
def tell():
    print([send_due(now=moment) for moment in moments], flush=True)
if point == "both":
    print([code(child) for child in [another(tell), another(tell)]])
else:
    print(code(another(die)), flush=True)
    sys.stdin.readline()
    tell()
"""
"""A sender that dies at a point and, when told to, the next one; or `both` at once.

Each is a process of its own, forked before any has opened the database.
"""
PAINTER = """
import os, sys
import django
django.setup()
from datetime import datetime
from django.db import transaction
from jobs.domain.work import start_sitting, stop_sitting
from jobs.models import Stage
from schedule.models import Reminder
from studio.models import Person
at = datetime.fromisoformat(sys.argv[1])
person, stage = Person.objects.get(), Stage.objects.filter(sittings=None).first()
sitting = start_sitting(stage, person=person, at=at)
with transaction.atomic():
    stop_sitting(sitting, at=at, finishes_coat=True)
    assert Reminder.objects.filter(stage=stage).exists()
    os._exit(9)
"""


@pytest.fixture
def house(transactional_db, tmp_path) -> Iterator[House]:
    """A house where three coats dry and a fourth is to be painted."""
    anna = studio_of("The Blue Door", person="Anna", email="anna@example.org")
    surface = surface_of(piece_of(asked(anna.studio, agreed=True)))
    with hold_changes():
        for number in range(4):
            panel = panel_of(surface, f"Panel {number}", left=2000 * number)
            if number < 3:
                end = timezone.now() - timedelta(minutes=31 * number)
                painted(panel.stages.first(), by=anna, end=end)
    with copied_house(tmp_path) as copy:
        yield copy


def begin(house: House, script: str, *given: str) -> subprocess.Popen:
    environment = {
        **os.environ, **house.environment,
        "DJANGO_SETTINGS_MODULE": "studio.settings", "PYTHONPATH": str(HOUSE),
    }  # fmt: skip
    return subprocess.Popen(
        [sys.executable, "-c", script, *given],
        cwd=HOUSE, env=environment, text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip


def end(process: subprocess.Popen) -> tuple[int, str]:
    out, error = process.communicate(timeout=30)
    assert process.returncode in (0, 9), error
    return process.returncode, out.strip()


def mails(house: House) -> list[str]:
    """Return the Message-ID of each mail written, a repeat counted again."""
    written = [file.read_bytes() for file in sorted((house.folder / "mail").glob("*.log"))]
    parts = [part for text in written for part in text.split(MAIL_END) if part.strip()]
    return sorted(message_from_bytes(part)["Message-ID"] for part in parts)


@pytest.mark.parametrize(("point", "repeats"), [("taken", 0), ("sent", 1)])
def test_what_a_dead_sender_held_goes_out_when_its_lease_has_run_out(point, repeats, house):
    """Dies with a row taken and not sent, or sent and not yet marked as sent."""
    due = max(Reminder.objects.values_list("due", flat=True)) + timedelta(minutes=1)
    keys = list(Reminder.objects.values_list("key", flat=True))
    assert len(keys) == 3
    moments = (due, due + LEASE - timedelta(minutes=1), due + LEASE + timedelta(minutes=1))
    sender = begin(house, SENDER, point, *(moment.isoformat() for moment in moments))
    assert sender.stdout.readline() == "9\n", sender.communicate()
    assert len(mails(house)) == repeats
    code, out = end(sender)
    assert (code, out) == (0, "[2, 0, 1]")
    told = mails(house)
    assert len(told) == 3 + repeats
    assert set(told) == {message_id(key) for key in keys}


def test_two_senders_at_once_send_each_reminder_once(house):
    due = max(Reminder.objects.values_list("due", flat=True)) + timedelta(minutes=1)
    _, out = end(begin(house, SENDER, "both", due.isoformat()))
    *counts, codes = out.splitlines()
    assert codes == "[0, 0]"
    assert sum(int(count.strip("[]")) for count in counts) == 3
    assert len(mails(house)) == len(set(mails(house))) == 3


def test_a_coat_whose_writing_was_cut_off_leaves_neither_coat_nor_reminder(house):
    code, _ = end(begin(house, PAINTER, timezone.now().isoformat()))
    assert code == 9
    assert house.count("schedule_reminder") == 3
    assert house.count("jobs_sitting") == 4, "the tap before it was committed"
    assert house.count("jobs_sitting", "finishes_coat") == 3
