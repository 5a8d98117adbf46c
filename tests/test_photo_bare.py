"""A photo's file loses what it says of place, time and camera, and not one bit of its pixels."""

import io
import random
import struct

import numpy as np
import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo
from PIL.TiffImagePlugin import ImageFileDirectory_v2

from catalog.photo import decode_photo
from catalog.photo.metadata.removal import MetadataRemovalError, without_metadata

SECRET = "SeCrEt"
"""Stands in every text that a file may carry."""
XMP = f'<x:xmpmeta xmlns:x="adobe:ns:meta/">{SECRET} 52.5 N 13.4 E</x:xmpmeta>'.encode()
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
TURNS = (1, 3, 6, 7)


def picture(mode="RGB"):
    """Return a picture that tells its sides apart, with some noise."""
    chance = np.random.default_rng(5)
    shade = np.linspace(20, 220, 48 * 64).reshape(48, 64, 1) + chance.integers(0, 30, (48, 64, 3))
    return Image.fromarray(shade.astype(np.uint8), "RGB").convert(mode)


def exif(turn):
    """Return Exif with place, camera, notes of its maker and a preview."""
    told = Image.Exif()
    told[0x0112] = turn
    for tag in (0x010F, 0x0110, 0x0131, 0x013B, 0x9286 - 0x9286 + 0x010E):
        told[tag] = f"{SECRET} {tag}"
    told[0x8825] = {1: "N", 2: (52.0, 30.0, 1.0), 3: "E", 4: (13.0, 24.0, 1.0), 29: SECRET}
    told[0x8769] = {0x927C: SECRET.encode() * 9, 0xA431: SECRET, 0x9003: "2026:01:01 00:00:00"}
    return told.tobytes()


def saved(kind, mode="RGB", **more):
    out = io.BytesIO()
    picture(mode).save(out, kind, **more)
    return out.getvalue()


def segment(marker, body):
    return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body


def jpeg(turn, **more):
    plain = saved("JPEG", exif=exif(turn), icc_profile=PROFILE, comment=SECRET, **more)
    iptc = segment(0xED, b"Photoshop 3.0\0" + SECRET.encode())
    xmp = segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP)
    several = segment(0xE2, b"MPF\0" + SECRET.encode())
    thumbnail = segment(0xE0, b"JFXX\0\x10" + SECRET.encode())
    return plain[:20] + thumbnail + xmp + iptc + several + plain[20:] + plain + XMP


def png(turn, *, late=False, **more):
    words = PngInfo()
    words.add_text("Comment", SECRET)
    words.add_text("Author", SECRET, zip=True)
    words.add_itxt("XML:com.adobe.xmp", XMP.decode())
    plain = saved("PNG", pnginfo=words, exif=exif(turn), icc_profile=PROFILE, **more)
    if late:
        at = plain.index(b"eXIf") - 4
        size = struct.unpack_from(">L", plain, at)[0] + 12
        end = plain.index(b"IEND") - 4
        plain = plain[:at] + plain[at + size : end] + plain[at : at + size] + plain[end:]
    return plain + SECRET.encode()


def webp(turn, **more):
    return saved("WEBP", exif=exif(turn), xmp=XMP, icc_profile=PROFILE, **more)


def tiff(turn, mode="RGB", *, pages=1, **more):
    fields = ImageFileDirectory_v2()
    fields[274] = turn
    for tag in (270, 271, 272, 305, 306, 315, 316, 33432):
        fields[tag] = f"{SECRET} {tag}"
    fields[700] = XMP
    fields[33723] = SECRET.encode() * 3
    fields[34377] = SECRET.encode() * 3
    if "compression" not in more:  # libtiff writes no fields within fields
        fields[34665] = {0x927C: SECRET.encode() * 9}
        fields[34853] = {1: "N", 2: (52.0, 30.0, 1.0), 29: SECRET}
    others = [picture(mode)] * (pages - 1)
    return saved(
        "TIFF", mode, tiffinfo=fields, icc_profile=PROFILE if mode == "RGB" else None,
        save_all=pages > 1, append_images=others, **more,
    )  # fmt: skip


def heif(turn, **more):
    import pillow_heif

    image = pillow_heif.from_pillow(picture())
    image.info["exif"], image.info["xmp"] = exif(turn), XMP
    image.info["icc_profile"], image.info["icc_profile_type"] = PROFILE, "prof"
    out = io.BytesIO()
    image.save(out, quality=80, save_all=False, **more)
    return out.getvalue()


FILES = {
    "jpeg": jpeg,
    "jpeg, progressive": lambda turn: jpeg(turn, progressive=True),
    "jpeg, restarts": lambda turn: jpeg(turn, restart_marker_rows=1),
    "jpeg, grey": lambda turn: jpeg(turn, mode="L"),
    "jpeg, cmyk": lambda turn: saved("JPEG", "CMYK", exif=exif(turn), comment=SECRET),
    "png": png,
    "png, told late": lambda turn: png(turn, late=True),
    "png, palette": lambda turn: png(turn, mode="P"),
    "png, see-through": lambda turn: png(turn, mode="RGBA"),
    "webp": webp,
    "webp, lossless": lambda turn: webp(turn, lossless=True),
    "webp, see-through": lambda turn: webp(turn, mode="RGBA"),
    "tiff": tiff,
    "tiff, packed": lambda turn: tiff(turn, compression="tiff_lzw"),
    "tiff, deflated": lambda turn: tiff(turn, compression="tiff_adobe_deflate"),
    "tiff, jpeg": lambda turn: tiff(turn, compression="jpeg"),
    "tiff, grey": lambda turn: tiff(turn, "L"),
    "tiff, cmyk": lambda turn: tiff(turn, "CMYK"),
    "tiff, palette": lambda turn: tiff(turn, "P"),
    "tiff, large": lambda turn: tiff(turn, big_tiff=True),
    "tiff, pages": lambda turn: tiff(turn, pages=3),
    "heif": heif,
}


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", FILES)
class TestEveryKind:
    def test_pixels_stay_and_words_go(self, name, turn):
        data = FILES[name](turn)
        assert SECRET.encode() in data
        stripped = without_metadata(data)
        assert SECRET.encode() not in stripped
        assert XMP not in stripped
        before, after = decode_photo(data, "x"), decode_photo(stripped, "x")
        assert np.array_equal(before.pixels, after.pixels)

    def test_nothing_more_goes_a_second_time(self, name, turn):
        stripped = without_metadata(FILES[name](turn))
        assert without_metadata(stripped) == stripped

    def test_what_is_told_is_the_orientation_and_the_profile(self, name, turn):
        data = FILES[name](turn)
        stripped = without_metadata(data)
        if name == "heif":
            assert PROFILE in stripped
            return
        assert (PROFILE[:40] in data) == (PROFILE[:40] in stripped) or "png" in name
        with Image.open(io.BytesIO(stripped)) as image:
            assert image.info.get("icc_profile") in {PROFILE, None}
            assert ("icc_profile" in image.info) == (b"iCCP" in data or PROFILE in data)
            image.load()
            told = image.getexif()
            assert told.get(0x0112, 1) in {turn, 1}
            assert not {0x010F, 0x0110, 0x8769, 0x8825, 700, 33723, 305, 315} & set(told)
            assert not told.get_ifd(0x8825)
            assert not told.get_ifd(0x8769)


def test_the_pixels_have_turned_at_all():
    shapes = {
        turn: decode_photo(without_metadata(jpeg(turn)), "x").pixels.shape[:2] for turn in (1, 6)
    }
    assert shapes == {1: (48, 64), 6: (64, 48)}


def test_photos_of_cloth(sample_photos):
    for path in sorted(sample_photos.glob("*.jpg"))[:2]:
        data = path.read_bytes()
        stripped = without_metadata(data)
        assert len(stripped) > 0.9 * len(data) or len(data) - len(stripped) < 200_000
        assert np.array_equal(decode_photo(data, "x").pixels, decode_photo(stripped, "x").pixels)


@pytest.mark.parametrize("name", FILES)
def test_broken_files_end_in_one_error_and_soon(name):
    """Whatever bytes come: taken apart, or refused."""
    data = FILES[name](6)
    chance = random.Random(name)
    for _ in range(60):
        spoilt = bytearray(data)
        for _ in range(chance.randint(1, 8)):
            spoilt[chance.randrange(len(spoilt))] = chance.randrange(256)
        cut = bytes(spoilt[: chance.choice([len(data), chance.randrange(len(data))])])
        try:
            assert len(without_metadata(cut)) <= len(cut) + 100
        except MetadataRemovalError:
            continue
