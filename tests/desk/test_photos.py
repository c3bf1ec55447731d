"""Photos: read by content, cleaned, limited, shown to whoever may see the house."""

from __future__ import annotations

import io
import struct
import zlib

import pytest

pytest.importorskip("PIL")

from PIL import Image
from sqlalchemy import select

from tests.desk.test_client import begun, entries
from walltriage.desk.photos import LONGEST, PhotoError, cleaned, heic_reads
from walltriage.desk.scans import scans
from walltriage.desk.tables import Photo

pytestmark = pytest.mark.extras
LIMITS = (20 * 2**20, 64_000_000)


def photo(width=640, height=480, form="JPEG", **more) -> bytes:
    """A picture whose left half is dark."""
    image = Image.new("RGB", (width, height), (200, 180, 150))
    image.paste((40, 40, 60), (0, 0, width // 2, height))
    out = io.BytesIO()
    image.save(out, form, **more)
    return out.getvalue()


def with_place() -> bytes:
    """A JPEG that says where and by what it was taken, and that it lies on its side."""
    exif = Image.Exif()
    exif[0x0112] = 6  # to be turned by a quarter
    exif[0x010F] = "A maker of cameras"
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2], gps[3], gps[4] = "N", (47.0, 36.0, 0.0), "W", (122.0, 19.0, 0.0)
    return photo(exif=exif, comment=b"home of the client", icc_profile=b"profile" * 20)


def test_nothing_is_kept_but_the_pixels():
    """Position, camera, comments and profiles go; the picture stands upright."""
    sent = with_place()
    assert b"A maker of cameras" in sent
    kept = cleaned(sent, *LIMITS)
    for data in (kept.data, kept.small):
        for gone in (b"A maker of cameras", b"home of the client", b"Exif", b"profileprofile"):
            assert gone not in data
        image = Image.open(io.BytesIO(data))
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert (kept.width, kept.height) == (480, 640)
    top, bottom = (Image.open(io.BytesIO(kept.data)).getpixel((240, y)) for y in (40, 600))
    assert sum(top) < sum(bottom)  # the dark half, which was on the left, is up


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_large_pictures_become_smaller(form):
    """The longer side is cut down to what a screen shows."""
    kept = cleaned(photo(4000, 3000, form), *LIMITS)
    assert (kept.width, kept.height) == (LONGEST, LONGEST * 3 // 4)
    assert Image.open(io.BytesIO(kept.data)).format == "JPEG"


def test_holes_become_white():
    """A see-through picture is laid on white."""
    out = io.BytesIO()
    Image.new("RGBA", (100, 100), (10, 10, 10, 0)).save(out, "PNG")
    kept = cleaned(out.getvalue(), *LIMITS)
    assert Image.open(io.BytesIO(kept.data)).getpixel((50, 50)) == (255, 255, 255)


def test_photos_as_phones_keep_them():
    """HEIC is read where its library is installed."""
    pytest.importorskip("pillow_heif")
    assert heic_reads()
    out = io.BytesIO()
    Image.new("RGB", (64, 48), (120, 60, 30)).save(out, "HEIF")
    assert cleaned(out.getvalue(), *LIMITS).width == 64


def huge_png() -> bytes:
    """A small file that says it is 60,000 by 60,000."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(bytes(10_000))) + chunk(b"IEND", b"")
    )  # fmt: skip


def many_scans() -> bytes:
    """A progressive JPEG whose last scan is told a thousand times: each goes over all of it."""
    data = photo(2000, 2000, progressive=True)
    last = data.rindex(b"\xff\xda")
    return data[:-2] + data[last:-2] * 1000 + data[-2:]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"%PDF-1.7 not a picture", "not a photo that can be read"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", "not a photo"),
        (b"GIF89a" + bytes(60), "not a photo that can be read"),
        (b"", "not a photo"),
        (photo()[:900], "damaged or incomplete"),
        (photo(8, 8), "too small"),
        (huge_png(), "damaged|million pixels"),
        (photo(9000, 9000, quality=5), "64 million pixels"),
        (bytes(20 * 2**20 + 1), "larger than 20 megabytes"),
        (many_scans(), "takes too long to read"),
    ],
    ids=["pdf", "svg", "gif", "empty", "cut", "tiny", "bomb", "pixels", "bytes", "scans"],
)  # fmt: skip
def test_what_is_no_photo_is_refused(data, says):
    """Told in plain words; nothing is kept."""
    with pytest.raises(PhotoError, match=says):
        cleaned(data, *LIMITS)


@pytest.mark.parametrize("progressive", [False, True])
def test_the_scans_of_a_jpeg_are_counted(progressive):
    """One for a plain one and about ten for a progressive one, whatever else is in the file."""
    data = photo(progressive=progressive)
    count = scans(data)
    assert count == (10 if progressive else 1)
    inside = b"\xff\xe1" + struct.pack(">H", 402) + b"\xff\xda" * 200  # as in a thumbnail
    assert scans(data[:2] + inside + data[2:]) == count
    assert scans(data + data * 3) == count  # phones put a film behind the picture
    assert scans(data[:2] + b"rubbish" + data[2:]) == count
    for cut in range(0, len(data), 97):
        assert scans(data[:cut]) <= count
    assert scans(photo(form="PNG")) == 0


def photos(desk):
    """All photos of a desk."""
    with desk.store.read() as db:
        return list(db.scalars(select(Photo)))


def test_a_photo_goes_with_its_look(desk):
    """Kept by its own button with the pick still there, then shown to client and engineer."""
    browser = begun(desk)
    look = browser.path
    picked = browser.options("answer")[1]
    files = {"photo_new": ("IMG_1.jpg", with_place(), "image/jpeg")}
    browser.submit({"do": "photo", "answer": picked}, files=files)
    assert "The photo is saved" in browser.text
    assert browser.path == look
    assert browser.fields()["answer"] == picked
    assert entries(desk) == []
    (kept,) = photos(desk)
    assert f"/look/{kept.subject}/{kept.question}" in look
    token = look.split("/")[2]
    assert browser.client.get(f"/c/{token}/photo/{kept.key}/large").content[:2] == b"\xff\xd8"


def test_a_photo_sent_with_the_answer(desk):
    """Both are kept; sent twice, both are there once."""
    browser = begun(desk)
    first = browser.page
    for _ in range(2):
        browser.page = first
        files = {"photo_old": ("x.png", photo(form="PNG"), "image/png")}
        browser.submit({"answer": browser.options("answer")[0]}, files=files)
        assert browser.status == 200
    assert len(photos(desk)) == 1
    assert entries(desk)


def test_a_false_photo_loses_no_answer(desk):
    """The answer is kept, the page says what is wrong with the file."""
    browser = begun(desk)
    files = {"photo_new": ("wall.jpg", b"MZ this is a program", "image/jpeg")}
    browser.submit({"answer": browser.options("answer")[0]}, files=files)
    assert browser.status == 400
    assert "Your answer is saved, the photo is not" in browser.text
    assert entries(desk)
    assert photos(desk) == []


def test_a_client_takes_a_photo_away(desk):
    """Their own, from the look's page."""
    browser = begun(desk)
    files = {"photo_new": ("a.jpg", photo(), "image/jpeg")}
    browser.submit({"do": "photo"}, files=files)
    browser.submit(number=1)
    assert photos(desk) == []
    assert browser.status == 200


def test_a_house_has_only_so_many_photos(desks):
    """The limit is told."""
    desk = desks.make(photos_per_house=1)
    browser = begun(desk)
    for shade, says in ((10, "The photo is saved"), (90, "that is the limit")):
        data = photo(200 + shade, 200)
        browser.submit({"do": "photo"}, files={"photo_new": ("a.jpg", data, "image/jpeg")})
        assert says in browser.text


def test_photos_of_another_house_stay_shut(desk):
    """A link shows the photos of its own house only; nobody sees them without a link."""
    browser = begun(desk)
    browser.submit({"do": "photo"}, files={"photo_new": ("a.jpg", photo(), "image/jpeg")})
    (kept,) = photos(desk)
    other_key, other = desk.house(name="2 Elm Court")
    assert browser.client.get(f"/c/{other}/photo/{kept.key}/large").status_code == 404
    engineer = desk.engineer()
    assert engineer.get(f"/desk/house/{other_key}/photo/{kept.key}/small").status_code == 404
    stranger = desk.browser()
    stranger.get(f"/desk/house/{other_key}/photo/{kept.key}/small")
    assert stranger.path == "/desk/sign-in"


def test_far_too_large_uploads_are_stopped(desk):
    """More than a request may hold: refused while it comes in, told plainly, nothing lost."""
    browser = begun(desk)
    files = {"photo_new": ("a.jpg", bytes(25 * 2**20), "image/jpeg")}
    browser.client.post(browser.path, data={"do": "photo"}, files=files)
    answer = browser.client.post(browser.path, data={"do": "photo"}, files=files)
    assert answer.status_code == 413
    assert "Nothing you sent before is lost" in answer.text
