"""Photographs: drawn anew without their location, never larger than needed, shown only to who may see the piece."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from inventory.models import Photo
from inventory.services import photos
from inventory.services.photos import PhotoRefused, add_photo
from people.roles import Role

GPS_IFD, ORIENTATION = 0x8825, 0x0112  # Exif 2.32, tags of the location and of the turning


@pytest.fixture(autouse=True)
def _files_aside(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def picture(kind="JPEG", size=(2400, 1200), mode="RGB", **more):
    file = io.BytesIO()
    Image.new(mode, size, "red").save(file, kind, **more)
    return file.getvalue()


def located():
    exif = Image.Exif()
    exif[ORIENTATION] = 6  # held upright: turn a quarter to the right
    exif[0x010F] = "Maker of the phone"
    exif.get_ifd(GPS_IFD).update({1: "N", 2: (40.0, 26.0, 46.0), 3: "W", 4: (79.0, 58.0, 56.0)})
    return picture(exif=exif, comment=b"secret")


def send(client, piece, data, name="x.jpg"):
    url = reverse("piece-photo-add", args=[piece.ministry.slug, piece.uid])
    return client.post(url, {"file": SimpleUploadedFile(name, data), "shows": "front"})


def test_location_and_all_else_beside_the_picture_is_left_out(cast, make):
    sent = located()
    assert Image.open(io.BytesIO(sent)).getexif().get_ifd(GPS_IFD)  # the picture as sent says where it was taken
    assert send(cast.client(Role.CREW), make.piece(), sent).status_code == 302
    photo = Photo.objects.get()
    for stored in (photo.file, photo.small):
        kept = Image.open(stored.open("rb"))
        assert kept.format == "WEBP"
        assert not dict(kept.getexif()) and "exif" not in kept.info and "xmp" not in kept.info
        assert kept.height > kept.width  # turned upright before the turning was forgotten
    assert b"Maker of the phone" not in photo.file.open("rb").read()


def test_it_is_scaled_to_a_large_and_a_small_one_and_never_enlarged(cast, make):
    send(cast.client(), make.piece(), picture())
    photo = Photo.objects.get()
    assert (photo.width, photo.height) == (1600, 800)
    assert Image.open(photo.small.open("rb")).size == (320, 160)
    send(cast.client(), make.piece(), picture(size=(200, 100)))
    assert Photo.objects.latest("pk").width == 200


@pytest.mark.parametrize(
    ("kind", "mode"), [("PNG", "RGBA"), ("PNG", "P"), ("WEBP", "RGB"), ("JPEG", "CMYK"), ("JPEG", "L")]
)
def test_the_usual_kinds_are_taken(cast, make, kind, mode):
    assert send(cast.client(), make.piece(), picture(kind, (40, 30), mode)).status_code == 302


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"not a picture",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        picture("GIF", (9, 9)),
        picture()[:3000],
        b"%PDF-1.7",
    ],
    ids=["empty", "text", "svg", "gif", "cut off", "pdf"],
)
def test_other_files_are_refused_with_a_sentence_and_nothing_is_kept(cast, make, data):
    answer = send(cast.client(), make.piece(), data)
    assert answer.status_code == 422
    assert not Photo.objects.exists()


def test_a_small_file_that_opens_into_a_giant_is_refused(cast, make):
    file = io.BytesIO(picture("PNG", (9000, 9000), "1"))
    with pytest.raises(PhotoRefused) as refused:
        add_photo(piece=make.piece(), by=cast.lead, file=file, size=1000, shows="front")
    assert refused.value.code == "pixels"


def test_a_file_that_is_too_large_is_refused(cast, make, monkeypatch):
    monkeypatch.setattr(photos, "MOST_BYTES", 100)
    with pytest.raises(PhotoRefused) as refused:
        add_photo(piece=make.piece(), by=cast.lead, file=io.BytesIO(picture()), size=101, shows="front")
    assert refused.value.code == "large"


def test_it_is_sent_to_members_only_and_kept_by_their_own_browser(cast, make):
    send(cast.client(), make.piece(), picture())
    url = reverse("photo", args=[cast.ministry.slug, Photo.objects.get().uid, "small"])
    answer = cast.client(Role.READER).get(url)
    assert (answer.status_code, answer["Content-Type"]) == (200, "image/webp")
    assert "private" in answer["Cache-Control"] and "immutable" in answer["Cache-Control"]
    assert cast.client(Role.READER).get(url, headers={"If-None-Match": answer["ETag"]}).status_code == 304
    assert cast.client(cast.stranger).get(url).status_code == 404
    assert cast.client(None).get(url).status_code == 302
    elsewhere = url.replace(cast.ministry.slug, cast.elsewhere.slug)
    assert cast.client(cast.stranger).get(elsewhere).status_code == 404


def test_only_the_lead_takes_one_off(cast, make):
    send(cast.client(), make.piece(), picture())
    url = reverse("photo-remove", args=[cast.ministry.slug, Photo.objects.get().uid])
    assert cast.client(Role.CREW).post(url).status_code == 403
    assert cast.client().post(url).status_code == 302
    assert not Photo.objects.exists()
