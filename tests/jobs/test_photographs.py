"""Photographs: kept as plain pictures, without what a camera writes into them."""

import io
import struct
import zlib

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.urls import reverse
from PIL import Image

from jobs.domain.photos import LONG_SIDE, redrawn
from jobs.models import Panel, Photo
from tests.cast import job

GPS, MAKER, OWNER, TURNED = 0x8825, 0x010F, 0xA430, 0x0112


@pytest.fixture
def panel(anna) -> Panel:
    return job(anna.studio, agreed=False)


def upload(data: bytes, name: str = "my client's house.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data, content_type="image/jpeg")


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 20), **save) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, "#35506b").save(out, kind, **save)
    return out.getvalue()


def telling_picture() -> bytes:
    """Return a JPEG that tells where and by whom it was taken, lying on its side."""
    exif = Image.Exif()
    exif[MAKER] = "Maker of cameras"
    exif[TURNED] = 6
    exif.get_ifd(GPS).update({1: "N", 2: (48.0, 12.0, 30.0), 3: "E", 4: (16.0, 22.0, 0.0)})
    return picture(exif=exif.tobytes(), comment=b"taken at the client's house")


def bomb(side: int = 20_000) -> bytes:
    """Return a small PNG file that unpacks to side x side black points."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    packer = zlib.compressobj(9)
    row = b"\0" * (side // 8 + 1)
    rows = b"".join(packer.compress(row) for _ in range(side)) + packer.flush()
    head = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


def send(desk, panel: Panel, data: bytes, **more):
    path = reverse("photo-new", args=[panel.pk])
    return desk.post(path, {"image": upload(data), **more})


def kept_bytes() -> bytes:
    with Photo.objects.get().image.open("rb") as file:
        return file.read()


def test_the_place_the_camera_and_its_comment_are_gone(at_desk, panel):
    sent = telling_picture()
    assert b"Maker of cameras" in sent
    assert Image.open(io.BytesIO(sent)).getexif().get_ifd(GPS)
    assert send(at_desk, panel, sent, caption="First oil").status_code == 302
    kept = kept_bytes()
    with Image.open(io.BytesIO(kept)) as image:
        assert dict(image.getexif()) == {}
        assert "comment" not in image.info
    assert b"Maker of cameras" not in kept
    assert b"client's house" not in kept


def test_it_is_turned_upright_as_the_camera_said(at_desk, panel):
    send(at_desk, panel, telling_picture())
    with Image.open(io.BytesIO(kept_bytes())) as image:
        assert image.size == (20, 40)


def test_its_file_name_tells_nothing(at_desk, panel, anna):
    send(at_desk, panel, picture())
    name = Photo.objects.get().image.name
    assert "client" not in name
    assert name.startswith(f"{anna.studio.pk}/")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_the_usual_kinds_are_kept_as_jpeg(kind, at_desk, panel):
    send(at_desk, panel, picture(kind))
    with Image.open(io.BytesIO(kept_bytes())) as image:
        assert image.format == "JPEG"


def test_a_large_picture_is_made_smaller(at_desk, panel):
    send(at_desk, panel, picture(size=(4000, 1000)))
    with Image.open(io.BytesIO(kept_bytes())) as image:
        assert image.size == (LONG_SIDE, LONG_SIDE // 4)


@pytest.mark.parametrize(
    "data",
    [
        b"a letter, not a picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%PDF-1.7",
        picture()[:200],
        picture("PNG")[:-30],
        picture("GIF"),
        picture("BMP"),
    ],
    ids=["letter", "svg", "pdf", "half a jpeg", "most of a png", "gif", "bmp"],
)
def test_what_is_no_picture_is_refused_beside_the_field(data, at_desk, panel):
    response = send(at_desk, panel, data, caption="First oil")
    assert response.status_code == 422
    assert list(response.context["form"].errors) == ["image"]
    assert 'value="First oil"' in response.content.decode()
    assert not Photo.objects.exists()


def test_a_small_file_that_unpacks_to_a_huge_picture_is_refused(at_desk, panel):
    data = bomb()
    assert len(data) < 200_000
    response = send(at_desk, panel, data)
    assert response.status_code == 422
    assert "too large" in response.context["form"].errors["image"][0]


@pytest.mark.django_db(transaction=True)
def test_no_lock_is_held_while_a_picture_is_redrawn(at_desk, panel, monkeypatch):
    locked = []

    def watched(upload):
        locked.append(connection.in_atomic_block)
        return redrawn(upload)

    monkeypatch.setattr("jobs.forms.log.redrawn", watched)
    assert send(at_desk, panel, picture()).status_code == 302
    assert locked == [False]


@pytest.mark.parametrize("data", [{}, {"image": ""}, {"image": "photo.jpg"}])
def test_no_file_at_all_is_asked_for(data, at_desk, panel):
    response = at_desk.post(reverse("photo-new", args=[panel.pk]), data)
    assert list(response.context["form"].errors) == ["image"]


def test_a_photograph_is_shown_to_the_studio_only(at_desk, panel, stranger):
    send(at_desk, panel, picture())
    path = reverse("photo", args=[Photo.objects.get().pk])
    shown = at_desk.get(path)
    assert shown["Content-Type"] == "image/jpeg"
    assert b"".join(shown.streaming_content) == kept_bytes()
    at_desk.force_login(stranger)
    assert at_desk.get(path).status_code == 404


def test_a_photograph_whose_file_is_gone_is_not_found(at_desk, panel):
    send(at_desk, panel, picture())
    photo = Photo.objects.get()
    photo.image.storage.delete(photo.image.name)
    assert at_desk.get(reverse("photo", args=[photo.pk])).status_code == 404


@pytest.mark.parametrize("thing", ["photo", "panel", "commission"])
def test_a_photograph_removed_takes_its_file_along(
    thing, at_desk, panel, django_capture_on_commit_callbacks
):
    send(at_desk, panel, picture())
    photo = Photo.objects.get()
    image = photo.image
    key = {"photo": photo.pk, "panel": panel.pk, "commission": panel.commission.number}[thing]
    with django_capture_on_commit_callbacks(execute=True):
        assert at_desk.post(reverse(f"{thing}-remove", args=[key])).status_code == 302
    assert not Photo.objects.exists()
    assert not image.storage.exists(image.name)


def test_the_words_under_a_photograph_may_be_changed(at_desk, panel):
    send(at_desk, panel, picture(), caption="Frist oil")
    photo = Photo.objects.get()
    data = {"caption": "First oil", "seen_version": photo.version}
    assert at_desk.post(reverse("photo-edit", args=[photo.pk]), data).status_code == 302
    photo.refresh_from_db()
    assert photo.caption == "First oil"
