"""What is known of paint on its pages, and the values a studio puts in place of the tables'."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from jobs.domain.gates import current_gate
from jobs.domain.own_values import keep_own_row, own_row, own_values, put_back
from jobs.domain.paint_tables import rows
from jobs.models import Mix, MixPart, OwnValue, Panel, Supply
from jobs.paint.binders import binder, binders
from jobs.paint.pigments import pigments
from jobs.paint.sources import sourced, tally
from jobs.paint.words import rows_of, tables, told
from studio.domain.records import keep_record
from studio.models import Studio
from studio.refusal import Refused, Stale
from studio.signals import hold_changes, work_changed
from tests.cast import agreed_panel, painted

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
GATES = ("touch-dry", "recoat", "through-dry", "cured")


def words(page) -> str:
    """Return the text of a page as she reads it, without its tags."""
    return " ".join(re.sub(r"<[^>]+>", " ", page.content.decode()).split())


def edit(at_desk, row: str, *, table: str = "binders", **typed):
    """Send the form of her own values as the page shows it, with what she typed."""
    address = reverse("own-values-edit", args=[table, row])
    form = at_desk.get(address).context["form"]
    shown = {name: form[name].value() or "" for name in form.fields}
    shown = {name: form.fields[name].prepare_value(value) for name, value in shown.items()}
    return at_desk.post(address, {**shown, **{k.replace("_", "-"): v for k, v in typed.items()}})


def hers(anna) -> dict[tuple[str, str], str]:
    return {(each.row, each.column): each.value for each in OwnValue.objects.of(anna.studio)}


def gate_of(panel: Panel):
    return current_gate(Panel.objects.for_bench().get(pk=panel.pk))


def coated(anna, binder_key: str, *, gate: str = "touch-dry", pigment: str = "") -> Panel:
    """Return a panel with one coat finished at NOON, of one pigment where it is named."""
    with hold_changes():
        panel = agreed_panel(anna.studio, steps=(("first-oil", binder_key, 1, gate),))
        if pigment:
            mix = keep_record(Mix(studio=anna.studio, name="A mix", colour="#c9a24b"))
            MixPart.objects.create(mix=mix, pigment=pigment, parts=3)
            panel.stages.update(mix=mix)
        painted(panel.stages.get(), by=anna, end=NOON)
    return panel


def test_every_table_is_listed_with_its_rows_and_how_many_were_read_in_publications(at_desk):
    page = at_desk.get(reverse("paint"))
    listed = {shown.words.key for part in ("tables", "apart") for shown in page.context[part]}
    assert listed == {row.file.removesuffix(".toml") for row in sourced()}
    assert tally(sourced()).words in words(page)
    limits = len(rows_of("limits"))
    assert f"Published limits {tables()['limits'].about} {limits} rows · all read" in words(page)


@pytest.mark.parametrize("table", tables())
def test_every_table_has_its_page_in_words_with_a_source_for_every_row(table, at_desk):
    page = at_desk.get(reverse("paint-table", args=[table]))
    text = words(page)
    assert tables()[table].about.replace("'", "&#x27;") in text
    for row in page.context["rows"]:
        assert row.told.statements
        assert all(said.fact.label and said.fact.text for said in row.said)
    # Keys, placeholders and marks of the data files are no words of a page.
    assert not re.search(r"{\w+}|`|\b[a-z]+_[a-z]+\b|&#x27;[\w-]+&#x27;", text)


def test_a_table_there_is_not_is_not_found(at_desk):
    for table in ("gold", "binders.toml", "..", "columns"):
        assert at_desk.get(f"/paint/{table}/").status_code == 404


def test_pigments_stand_by_hue_with_what_a_painter_asks_of_them(at_desk):
    page = at_desk.get(reverse("paint-table", args=["pigments"]))
    groups = list(dict.fromkeys(row.told.group for row in page.context["rows"]))
    assert groups[:3] == ["Whites", "Yellows", "Oranges"]
    assert groups[-2:] == ["Browns", "Blacks"]
    assert len(page.context["rows"]) == len(pigments())
    cadmium = next(row for row in page.context["rows"] if row.told.key == "PY35")
    facts = {said.fact.label: said.fact.text for said in cadmium.said}
    assert facts["Hides"] == "opaque"
    assert facts["In oil"].startswith("middling")
    assert facts["Lightfastness"].startswith("I,")
    assert facts["Mind"] == "Cadmium pigment"
    assert cadmium.told.colour == pigments()["PY35"].masstone


@pytest.mark.parametrize(
    ("wanted", "found"),
    [("pb29", {"PB29"}), ("MARS black", {"PBk11"}), ("lead white", {"PW1"})],
)
def test_the_filter_finds_rows_by_every_word_typed(wanted, found, at_desk):
    page = at_desk.get(reverse("paint-table", args=["pigments"]), {"q": wanted})
    assert {row.told.key for row in page.context["rows"]} >= found
    assert len(page.context["rows"]) < 5
    assert f'value="{wanted}"' in page.content.decode()


@pytest.mark.parametrize("wanted", ["zzz", "<b>", "%00", "x" * 5000, "'; drop table"])
def test_a_filter_that_finds_nothing_says_so_and_keeps_what_was_typed(wanted, at_desk):
    page = at_desk.get(reverse("paint-table", args=["pigments"]), {"q": wanted})
    assert page.status_code == 200
    assert page.context["rows"] == []
    assert "Nothing speaks of it" in words(page)
    assert page.context["wanted"] == wanted[:100]


def test_numbers_are_written_as_in_the_studios_country(at_desk, anna):
    Studio.objects.update(locale="de_DE")
    text = words(at_desk.get(reverse("paint-table", args=["binders"])))
    assert "9,3 m² a coat" in text
    assert "9.3 m²" not in text


def test_her_hours_stand_beside_the_tables_with_her_reason(at_desk, anna):
    answer = edit(at_desk, "oil-alkyd", touch_dry="20.5", reason="Thin, by the stove")
    assert answer.url == reverse("paint-table", args=["binders"]) + "#row-oil-alkyd"
    assert hers(anna) == {("oil-alkyd", "touch-dry"): "20.5"}
    text = words(at_desk.get(reverse("paint-table", args=["binders"])))
    assert "yours: 20.5 h ; the table says 28 h" in text
    assert "Why yours: Thin, by the stove" in text
    assert "1 with your own" in words(at_desk.get(reverse("paint")))


def test_hours_typed_with_a_comma_are_kept_with_a_point_and_shown_with_a_comma(at_desk, anna):
    Studio.objects.update(locale="de_DE")
    edit(at_desk, "oil-alkyd", touch_dry="20,5")
    assert hers(anna) == {("oil-alkyd", "touch-dry"): "20.5"}
    form = at_desk.get(reverse("own-values-edit", args=["binders", "oil-alkyd"])).content.decode()
    assert 'value="20,5"' in form
    # Saved again unread, it stays what it was.
    edit(at_desk, "oil-alkyd")
    assert hers(anna) == {("oil-alkyd", "touch-dry"): "20.5"}


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("touch-dry", "a while", "not a number"),
        ("touch-dry", "0", "more than nothing"),
        ("recoat", "-5", "more than nothing"),
        ("cured", "1000000000", "far too much"),
        ("cured", "30000", "at most 20 000 hours, which is two years and a quarter"),
        ("cured", "20001", "at most 20 000 hours"),
        ("cured", "1e3", "not a number"),
        ("cured", "NaN", "not a number"),
        ("touch-dry", "0.001", "figures stand after the point"),
        (
            "touch-dry",
            "121",
            "before it is touch-dry, which is 121 h (5 days) here. The table says",
        ),
        ("recoat", "100", "before it is touch-dry, which is 120 h (5 days) here"),
        ("cured", "400", "before it is dry all through"),
    ],
)
def test_hours_that_cannot_be_are_refused_beside_their_field(field, typed, sentence, at_desk, anna):
    answer = edit(at_desk, "oil", **{field: typed, "reason": "A whim"})
    assert answer.status_code == 422
    form = answer.context["form"]
    assert list(form.errors) == [field]
    assert sentence in form.errors[field][0]
    assert (form[field].value(), form["reason"].value()) == (typed, "A whim")
    assert hers(anna) == {}


def test_all_gates_may_move_at_once(at_desk, anna):
    slow = {"touch-dry": "500", "recoat": "600", "through-dry": "700", "cured": "9000"}
    assert edit(at_desk, "oil", **slow).status_code == 302
    assert hers(anna) == {("oil", gate): hours for gate, hours in slow.items()}


def test_an_own_class_is_chosen_from_the_list(at_desk, anna):
    answer = edit(at_desk, "PW6", table="pigments", drying="sticky")
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["drying"]
    assert edit(at_desk, "PW6", table="pigments", drying="fast").status_code == 302
    assert hers(anna) == {("PW6", "drying"): "fast"}
    text = words(at_desk.get(reverse("paint-table", args=["pigments"])))
    assert "yours: quick, about 2 days ; the table says slow, over 5 days" in text


@pytest.mark.parametrize(
    "place",
    [
        ("binders", "gold"), ("binders", "pencil"), ("pigments", "PX1"), ("pigments", "oil"),
        ("substrates", "metal"), ("gold", "gold"), ("binders", "PW6"),
    ],
)  # fmt: skip
def test_there_is_no_own_value_where_nobody_waits_or_no_row_is(place, at_desk, anna):
    for name in ("own-values-edit", "own-values-remove"):
        address = reverse(name, args=place)
        assert at_desk.get(address).status_code == at_desk.post(address, {}).status_code == 404
    with pytest.raises(Refused, match="hold no such value"):
        keep_own_row(anna.studio, table=place[0], row=place[1], values={"drying": "fast"})
    assert hers(anna) == {}


def test_a_pigment_told_apart_by_its_variety_has_a_class_of_its_own(at_desk, anna):
    assert edit(at_desk, "PBr7 raw umber", table="pigments", drying="slow").status_code == 302
    assert own_values(anna.studio).classes == {"PBr7 raw umber": "slow"}


def test_a_pigments_own_opacity_is_kept_and_shown(at_desk, anna):
    answer = edit(at_desk, "PY43", table="pigments", drying="", opacity="transparent")
    assert answer.status_code == 302
    assert own_values(anna.studio).opacities == {"PY43": "transparent"}
    assert "yours: transparent" in words(at_desk.get(reverse("paint-table", args=["pigments"])))


def test_a_reason_for_nothing_is_asked_about(at_desk):
    answer = edit(at_desk, "oil", reason="Because")
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == ["reason"]


def test_an_emptied_field_is_the_tables_again(at_desk, anna):
    edit(at_desk, "oil", touch_dry="100", recoat="130", reason="Thin")
    edit(at_desk, "oil", touch_dry="")
    assert hers(anna) == {("oil", "recoat"): "130"}


def test_putting_back_asks_first_and_then_the_table_counts(at_desk, anna):
    edit(at_desk, "oil", touch_dry="100", recoat="110")
    address = reverse("own-values-remove", args=["binders", "oil"])
    assert "touch-dry 100 h" in words(at_desk.get(address))
    assert len(hers(anna)) == 2
    assert at_desk.post(address).status_code == 302
    assert hers(anna) == {}
    assert "yours: 100 h" not in words(at_desk.get(reverse("paint-table", args=["binders"])))


def test_what_another_tab_changed_meanwhile_is_shown_and_nothing_is_lost(at_desk, anna):
    address = reverse("own-values-edit", args=["binders", "oil"])
    old = {"seen": at_desk.get(address).context["form"]["seen"].value() or ""}
    edit(at_desk, "oil", touch_dry="90")
    answer = at_desk.post(address, {**old, "touch-dry": "80"})
    assert answer.status_code == 422
    assert answer.context["form"]["touch-dry"].value() == "80"
    assert "It now reads ‘90’." in answer.context["form"].errors["touch-dry"]
    assert hers(anna) == {("oil", "touch-dry"): "90"}
    again = {"seen": answer.context["form"]["seen"].value(), "touch-dry": "80"}
    assert at_desk.post(address, again).status_code == 302
    assert hers(anna) == {("oil", "touch-dry"): "80"}


def test_the_verb_itself_refuses_a_form_drawn_from_other_values(anna):
    place = {"table": "binders", "row": "oil"}
    keep_own_row(anna.studio, **place, values={"touch-dry": "90"}, seen="")
    with pytest.raises(Stale):
        keep_own_row(anna.studio, **place, values={"touch-dry": "80"}, seen="")
    assert own_row(anna.studio, **place)["touch-dry"].value == "90"


def test_a_strangers_values_are_hers_alone(at_desk, anna, stranger):
    keep_own_row(stranger.studio, table="binders", row="oil", values={"touch-dry": "90"})
    keep_own_row(anna.studio, table="binders", row="oil", values={"touch-dry": "100"})
    put_back(anna.studio, table="binders", row="oil")
    assert "yours:" not in words(at_desk.get(reverse("paint-table", args=["binders"])))
    assert own_values(stranger.studio).hours == {"oil": {"touch-dry": 90}}


@pytest.mark.parametrize("gate", GATES)
def test_her_own_wait_moves_the_gate_of_a_coat_on_the_bench(gate, anna):
    panel = coated(anna, "resin-varnish", gate=gate)
    before = gate_of(panel)
    table = binder("resin-varnish").waits
    doubled = {each: str(table[each].hours * 2) for each in GATES}
    keep_own_row(anna.studio, table="binders", row="resin-varnish", values=doubled)
    after = gate_of(panel)
    assert after.likely - NOON == pytest.approx(
        2 * (before.likely - NOON), abs=timedelta(minutes=1)
    )
    put_back(anna.studio, table="binders", row="resin-varnish")
    assert gate_of(panel) == before


def test_a_medium_lends_a_colour_her_own_wait_and_not_the_tables(anna):
    panel = coated(anna, "oil")
    panel.stages.update(medium="alkyd")
    before = gate_of(panel)
    keep_own_row(anna.studio, table="binders", row="oil-alkyd", values={"touch-dry": "14"})
    after = gate_of(panel)
    assert after.likely - NOON == pytest.approx(
        (before.likely - NOON) / 2, abs=timedelta(minutes=1)
    )


def test_own_values_outlive_a_mended_table(anna, at_desk):
    """The tables change with a release: what she kept may then no longer fit them."""
    panel = coated(anna, "oil", gate="recoat", pigment="PW6")
    for place in (
        ("binders", "oil", "touch-dry", "480"), ("binders", "gold-size", "recoat", "5"),
        ("binders", "oil", "tack-free", "5"), ("pigments", "PX9", "drying", "fast"),
        ("pigments", "PW6", "drying", "sticky"),
    ):  # fmt: skip
        table, row, column, value = place
        OwnValue.objects.create(
            studio=anna.studio, table=table, row=row, column=column, value=value
        )
    own = own_values(anna.studio)
    waits = own.binder("oil").waits
    assert [waits[gate].hours for gate in GATES[:2]] == [480, 480]
    assert waits["through-dry"].hours == 480
    assert waits["cured"] == binder("oil").waits["cured"]
    assert own.classes == {}
    assert gate_of(panel).likely > NOON + timedelta(days=20)
    for table in ("binders", "pigments"):
        assert at_desk.get(reverse("paint-table", args=[table])).status_code == 200


def test_her_own_class_of_a_pigment_moves_an_oil_gate_and_no_water_borne_one(anna):
    oil, water = coated(anna, "oil", pigment="PW6"), coated(anna, "acrylic", pigment="PW6")
    before = [gate_of(panel).opens for panel in (oil, water)]
    keep_own_row(anna.studio, table="pigments", row="PW6", values={"drying": "fast"})
    after = [gate_of(panel).opens for panel in (oil, water)]
    assert after[0] - NOON < 0.5 * (before[0] - NOON)
    assert after[1] == before[1]


def test_the_programme_is_planned_anew_with_her_own_wait(at_desk, anna, clock):
    clock.now = NOON + HOUR
    with hold_changes():
        panel = agreed_panel(
            anna.studio,
            steps=(("first-oil", "oil-alkyd", 1, "touch-dry"), ("details", "oil", 1, "touch-dry")),
        )
        painted(panel.stages.first(), by=anna, end=NOON)

    def begins():
        return panel.stages.last().planned_sittings.earliest("start").start

    edit(at_desk, "oil-alkyd", touch_dry="28")
    before = begins()
    edit(at_desk, "oil-alkyd", touch_dry="300", recoat="300")
    assert begins() > before + timedelta(days=7)


def test_the_programme_hears_of_several_values_once(anna):
    heard = []

    def listen(studio, **_):
        heard.append(studio)

    work_changed.connect(listen)
    try:
        slow = {"touch-dry": "500", "recoat": "600"}
        keep_own_row(anna.studio, table="binders", row="oil", values=slow | {"through-dry": "700"})
        keep_own_row(anna.studio, table="binders", row="oil", values=slow | {"through-dry": "700"})
    finally:
        work_changed.disconnect(listen)
    assert heard == [anna.studio]


def test_her_rate_is_seen_beside_the_tables_on_both_pages(at_desk, anna):
    supply = Supply.objects.of(anna.studio).get(binder="gesso")
    assert "the table says" not in words(at_desk.get(reverse("supplies")))
    supply.spread_rate = 7
    keep_record(supply)
    assert "7 the table says 9.3" in words(at_desk.get(reverse("supplies")))
    page = at_desk.get(reverse("paint-table", args=["binders"]))
    assert "yours: 7 m² a coat ; the table says 9.3 m² a coat" in words(page)
    assert reverse("supply-edit", args=[supply.pk]) in page.content.decode()


def test_a_studio_without_materials_still_reads_the_tables(at_desk, anna):
    Supply.objects.all().delete()
    assert len(rows(anna.studio, "binders")) == len(binders()) - 1
    assert at_desk.get(reverse("paint-table", args=["binders"])).status_code == 200


def test_the_way_to_the_tables_is_where_a_painter_looks(at_desk, anna):
    panel = agreed_panel(anna.studio)
    for name, args in (("business", []), ("supplies", []), ("mixes", []), ("panel", [panel.pk])):
        page = at_desk.get(reverse(name, args=args)).content.decode()
        main = page.partition("<main")[2].partition("</main>")[0]
        assert 'href="/paint/' in main, name


def test_a_pigment_is_told_whether_or_not_numbers_are_written_otherwise():
    first, other = told("pigments", str), told("pigments", lambda number: f"<{number}>")
    assert [row.key for row in first] == [row.key for row in other]
