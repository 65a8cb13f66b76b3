"""Whoever guesses at a password is held back, and nobody else with them."""

from datetime import timedelta

import pytest
from axes.models import AccessAttempt
from django.conf import settings
from django.db.models import F
from django.urls import reverse

from tests.cast import PASSWORD

HERE, THERE = "192.0.2.7", "198.51.100.9"
REST = timedelta(minutes=15)


def try_in(client, email: str, password: str, address: str = HERE, browser: str = "One"):
    return client.post(
        reverse("sign-in"), {"username": email, "password": password},
        REMOTE_ADDR=address, HTTP_USER_AGENT=browser,
    )  # fmt: skip


def guess(client, email: str, times: int, **more) -> None:
    for number in range(times):
        last = try_in(client, email, f"wrong {number}", **more)
        assert last.status_code == (200 if number < 9 else 429)


def let_pass(minutes: int) -> None:
    earlier = F("attempt_time") - timedelta(minutes=minutes)
    AccessAttempt.objects.update(attempt_time=earlier)


@pytest.fixture
def held(client, anna):
    """A browser that has guessed ten times at Anna's password."""
    guess(client, anna.email, 10)
    return client


def test_after_ten_wrong_passwords_not_even_the_right_one_opens(held, anna):
    answer = try_in(held, anna.email, PASSWORD)
    assert answer.status_code == 429
    assert "_auth_user_id" not in held.session


def test_the_refusal_says_why_and_how_long_and_keeps_the_email_but_no_password(held, anna):
    page = try_in(held, anna.email, PASSWORD).content.decode()
    assert "To keep strangers out, it has to rest for 15 minutes" in page
    assert f'value="{anna.email}"' in page
    assert PASSWORD not in page


def test_nine_wrong_passwords_keep_nobody_out_and_the_right_one_forgets_them(client, anna):
    guess(client, anna.email, 9)
    assert try_in(client, anna.email, PASSWORD).status_code == 302
    client.logout()
    guess(client, anna.email, 9)
    assert try_in(client, anna.email, PASSWORD).status_code == 302


def test_it_opens_again_after_the_rest_and_trying_meanwhile_makes_it_no_longer(held, anna):
    let_pass(minutes=14)
    assert try_in(held, anna.email, PASSWORD).status_code == 429
    let_pass(minutes=2)
    assert try_in(held, anna.email, PASSWORD).status_code == 302


def test_a_team_mate_behind_the_same_address_signs_in(held, berit):
    assert try_in(held, berit.email, PASSWORD).status_code == 302


def test_she_signs_in_from_another_address_while_a_stranger_guesses(held, anna):
    assert try_in(held, anna.email, PASSWORD, address=THERE).status_code == 302


@pytest.mark.parametrize(
    ("email", "browser"), [("ANNA@Example.org", "One"), ("anna@example.org", "Another")]
)
def test_another_case_or_another_browser_gives_no_more_tries(email, browser, held):
    assert try_in(held, email, PASSWORD, browser=browser).status_code == 429


def test_who_is_at_work_is_not_sent_out(held, anna, at_desk):
    assert at_desk.get(reverse("bench"), REMOTE_ADDR=HERE).status_code == 200


def test_the_limits_are_those_the_tests_tell_of():
    assert (settings.AXES_FAILURE_LIMIT, settings.AXES_COOLOFF_TIME) == (10, REST)
