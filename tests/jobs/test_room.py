"""What is said where the room is too cold for the paints on hand."""

from django.urls import reverse

from jobs.models import Supply
from studio.models import Studio


def word(browser, **more) -> str:
    return browser.get(reverse("room-warmth"), **more).content.decode()


def test_a_room_too_cold_for_paints_on_hand_is_told_under_the_temperature(at_desk, anna):
    # Acrylic forms no film under 10 °C: a maker's reply on the MITRA forum.
    Studio.objects.update(room_temperature=8)
    page = word(at_desk)
    assert "not worked under 10 °C" in page
    assert "Acrylic gesso" in page
    assert "Casein" not in page, "casein is worked from 5 °C on"
    Supply.objects.exclude(binder="casein").delete()
    assert "warm enough for all your materials" in word(at_desk)
    assert reverse("room-warmth") in at_desk.get(reverse("business")).content.decode()


def test_a_warm_room_puts_no_word_on_the_page(at_desk):
    assert "notice" not in word(at_desk, headers={"hx-request": "true"})
