"""The ways through the pages: the same at the desk and by the thumb, each named as its page."""

import re

import pytest
from django.urls import reverse

from studio.templatetags.ways import WAYS


@pytest.mark.parametrize("nav", ["Pages", "Pages, by the thumb"])
def test_every_way_stands_in_the_bar_at_the_desk_and_under_the_thumb(at_desk, nav):
    page = at_desk.get(reverse("clients")).content.decode()
    bar = re.search(f'<nav [^>]*aria-label="{nav}">(.*?)</nav>', page, re.DOTALL).group(1)
    for name, label in WAYS:
        assert re.search(f'<a href="{reverse(name)}"[^>]*>.*?{label}</a>', bar, re.DOTALL), label


@pytest.mark.parametrize(("name", "label"), [way for way in WAYS if way[0] != "business"])
def test_a_page_is_headed_by_the_name_it_has_in_the_menu(at_desk, name, label):
    assert f"<h1>{label}</h1>" in at_desk.get(reverse(name)).content.decode()
