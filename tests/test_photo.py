import io
import os
import signal
import struct
import sys
import threading
import tracemalloc
import warnings
import zlib
from pathlib import Path

import cv2
import hostile
import numpy as np
import pillow_heif
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from catalog.errors import PhotoError
from catalog.models import Photo
from catalog.photo import decoding, photo_reading
from catalog.photo.formats.jpeg import jpeg_end
from catalog.photo.interruptible import heeding
from catalog.photo.photo_reading import read_photo
from catalog.system.silence import ERROR, silent

BLOCKS = np.array(
    [
        [[200, 60, 50], [40, 120, 70], [230, 190, 60]],
        [[60, 80, 160], [150, 150, 150], [240, 230, 215]],
    ],
    np.uint8,
)
"""Two rows of three colours, no two alike, so that every turn shows."""


def scene(scale=16):
    return BLOCKS.repeat(scale, 0).repeat(scale, 1)


def encoded(pixels, kind, **options):
    buffer = io.BytesIO()
    if kind == "HEIF":
        pillow_heif.from_pillow(Image.fromarray(pixels)).save(buffer, quality=95, **options)
    else:
        if kind in {"JPEG", "WEBP"}:
            options = {"quality": 95, **options}
        Image.fromarray(pixels).save(buffer, kind, **options)
    return buffer.getvalue()


def read(tmp_path, data, name="photo"):
    path = tmp_path / name
    path.write_bytes(data)
    return read_photo(path).pixels


def middles(pixels, scale=16):
    """The colour in the middle of each block, out of reach of the codec's ringing."""
    half = scale // 2
    return pixels[half::scale, half::scale].astype(int)


KINDS = {"JPEG": 4, "PNG": 0, "WEBP": 6, "TIFF": 0, "HEIF": 6}
"""Levels by which each codec may be off in the middle of a flat block."""

# Exif 2.32, tag 274: what was done to the picture that a viewer must undo.
TURNS = {
    1: lambda p: p,
    2: lambda p: p[:, ::-1],
    3: lambda p: p[::-1, ::-1],
    4: lambda p: p[::-1],
    5: lambda p: p.swapaxes(0, 1),
    6: lambda p: np.rot90(p, 1),
    7: lambda p: p[::-1, ::-1].swapaxes(0, 1),
    8: lambda p: np.rot90(p, -1),
}


# ---------------------------------------------------------------- the same photo in other dress


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_gives_the_same_pixels(tmp_path, kind):
    pixels = read(tmp_path, encoded(scene(), kind))
    assert pixels.shape == (32, 48, 3)
    assert pixels.dtype == np.uint8
    assert np.abs(middles(pixels) - BLOCKS).max() <= KINDS[kind]


@pytest.mark.parametrize("orientation", TURNS)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_orientation_is_undone(tmp_path, kind, orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored = np.ascontiguousarray(TURNS[orientation](scene()))
    pixels = read(tmp_path, encoded(stored, kind, exif=exif))
    assert pixels.shape == (32, 48, 3)
    assert np.abs(middles(pixels) - BLOCKS).max() <= KINDS[kind]
    assert pixels.flags.c_contiguous


@pytest.mark.parametrize("orientation", [3, 6, 8])
def test_orientation_of_heic_is_undone_once(tmp_path, orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    stored = np.ascontiguousarray(TURNS[orientation](scene()))
    pixels = read(tmp_path, encoded(stored, "HEIF", exif=exif.tobytes()))
    assert pixels.shape == (32, 48, 3)
    assert np.abs(middles(pixels) - BLOCKS).max() <= KINDS["HEIF"]


@pytest.mark.parametrize("orientation", [0, 9, 200])
def test_senseless_orientation_is_passed_over(tmp_path, orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    assert read(tmp_path, encoded(scene(), "JPEG", exif=exif)).shape == (32, 48, 3)


def test_progressive_and_restarting_jpegs(tmp_path):
    plain = read(tmp_path, encoded(scene(), "JPEG"))
    for options in ({"progressive": True}, {"restart_marker_rows": 1}, {"optimize": True}):
        pixels = read(tmp_path, encoded(scene(), "JPEG", **options))
        np.testing.assert_array_equal(pixels, plain)


def test_what_follows_a_jpeg_is_not_the_photo(tmp_path):
    data = encoded(scene(), "JPEG")
    other = encoded(scene()[::-1].copy(), "JPEG")
    np.testing.assert_array_equal(read(tmp_path, data + other), read(tmp_path, data))


def test_a_preview_inside_a_jpeg_is_not_its_end(tmp_path):
    preview = b"Exif\0\0" + encoded(scene(4), "JPEG")
    data = encoded(scene(), "JPEG")
    segment = b"\xff\xe1" + struct.pack(">H", len(preview) + 2) + preview
    pixels = read(tmp_path, data[:2] + segment + data[2:])
    assert pixels.shape == (32, 48, 3)


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF"])
def test_of_several_pictures_the_first(tmp_path, kind):
    more = [Image.fromarray(np.zeros_like(scene()))]
    options = {"save_all": True, "append_images": more}
    if kind == "WEBP":
        options["lossless"] = True
    np.testing.assert_array_equal(
        middles(read(tmp_path, encoded(scene(), kind, **options))), BLOCKS
    )


def test_grey_palette_and_bilevel(tmp_path):
    grey = scene()[..., 0].copy()
    for kind in ("PNG", "TIFF", "JPEG"):
        pixels = read(tmp_path, encoded(grey, kind))
        assert np.abs(pixels[8::16, 8::16] - BLOCKS[..., :1].astype(int)).max() <= 4
    buffer = io.BytesIO()
    Image.fromarray(scene()).quantize(6).save(buffer, "PNG")
    assert np.abs(middles(read(tmp_path, buffer.getvalue())) - BLOCKS).max() <= 4
    buffer = io.BytesIO()
    Image.fromarray(grey > 100).save(buffer, "TIFF", compression="group4")
    assert set(np.unique(read(tmp_path, buffer.getvalue()))) == {0, 255}


def test_see_through_is_laid_on_white(tmp_path):
    alpha = np.full((32, 48, 1), 255, np.uint8)
    alpha[:16] = 0
    alpha[16:, 16:32] = 51
    pixels = np.concatenate([scene(), alpha], axis=2)
    for kind in ("PNG", "WEBP", "TIFF"):
        options = {"lossless": True, "exact": True} if kind == "WEBP" else {}
        got = middles(read(tmp_path, encoded(pixels, kind, **options)))
        assert (got[0] == 255).all()
        np.testing.assert_array_equal(got[1, 0], BLOCKS[1, 0])
        # A fifth of 150 on four fifths of white.
        np.testing.assert_array_equal(got[1, 1], [234, 234, 234])


def test_transparent_palette_colour(tmp_path):
    image = Image.fromarray(scene()).quantize(6)
    image.info["transparency"] = image.getpixel((8, 8))
    buffer = io.BytesIO()
    image.save(buffer, "PNG", transparency=image.getpixel((8, 8)))
    got = middles(read(tmp_path, buffer.getvalue()))
    np.testing.assert_array_equal(got[0, 0], [255, 255, 255])
    assert np.abs(got[1] - BLOCKS[1]).max() <= 4


@pytest.mark.parametrize("suffix", [".png", ".tiff"])
def test_16_bit(tmp_path, suffix):
    wide = scene().astype(np.uint16) * 257
    for pixels, want in ((wide[..., ::-1], BLOCKS), (wide[..., 0], BLOCKS[..., :1])):
        done, data = cv2.imencode(suffix, pixels)
        assert done
        got = read(tmp_path, data.tobytes())
        np.testing.assert_array_equal(middles(got), np.broadcast_to(want, (2, 3, 3)))


def test_16_bit_with_alpha(tmp_path):
    wide = np.full((32, 48, 4), 65535, np.uint16)
    wide[..., :3] = scene()[..., ::-1].astype(np.uint16) * 257
    wide[:16, :, 3] = 0
    got = middles(read(tmp_path, cv2.imencode(".png", wide)[1].tobytes()))
    assert (got[0] == 255).all()
    np.testing.assert_array_equal(got[1], BLOCKS[1])


def test_cmyk_jpeg(tmp_path):
    buffer = io.BytesIO()
    Image.fromarray(scene()).convert("CMYK").save(buffer, "JPEG", quality=95)
    assert np.abs(middles(read(tmp_path, buffer.getvalue())) - BLOCKS).max() <= 6


# ---------------------------------------------------------------- profiles


def matrix_profile(red, green, blue, gamma):
    """A display profile of ICC.1:2001-04 (version 2.4): three columns of XYZ D50 and a gamma."""

    def fixed(values):
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    text = b"desc" + bytes(4) + struct.pack(">I", 5) + b"test\0" + bytes(78)
    curve = b"curv" + bytes(4) + struct.pack(">IH", 1, round(gamma * 256)) + bytes(2)
    white = (0.9642, 1.0, 0.8249)
    parts = {b"desc": text + bytes(-len(text) % 4), b"wtpt": b"XYZ " + bytes(4) + fixed(white)}
    parts[b"cprt"] = b"text" + bytes(4) + b"none" + bytes(4)
    for letter, column in ((b"r", red), (b"g", green), (b"b", blue)):
        parts[letter + b"XYZ"] = b"XYZ " + bytes(4) + fixed(column)
        parts[letter + b"TRC"] = curve
    table, body, at = b"", b"", 128 + 4 + 12 * len(parts)
    for signature, part in parts.items():
        table += signature + struct.pack(">II", at + len(body), len(part))
        body += part
    head = bytearray(128)
    struct.pack_into(">I", head, 0, at + len(body))
    head[8:12] = b"\x02\x40\0\0"
    head[12:24] = b"mntrRGB XYZ "
    head[36:40] = b"acsp"
    head[68:80] = fixed(white)
    return bytes(head) + struct.pack(">I", len(parts)) + table + body


# Display P3 (SMPTE EG 432-1 primaries, D65 white), columns adapted to D50 by Bradford as
# computed from those chromaticities.
P3 = (
    (0.51512, 0.24120, -0.00105),
    (0.29198, 0.69225, 0.04189),
    (0.15710, 0.06657, 0.78407),
)
SRGB = (
    (0.43607, 0.22249, 0.01392),
    (0.38515, 0.71687, 0.09708),
    (0.14307, 0.06061, 0.71410),
)


def p3_to_srgb(pixels, gamma):
    """The same by the published primaries, in float."""
    from catalog.colour.lab import linear_to_srgb

    to_xyz, back = np.array(P3).T, np.linalg.inv(np.array(SRGB).T)
    linear = (pixels / 255.0) ** gamma @ to_xyz.T @ back.T
    return np.rint(linear_to_srgb(linear) * 255.0)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF", "HEIF"])
def test_display_p3_does_not_come_out_dull(tmp_path, kind):
    profile = matrix_profile(*P3, 2.2)
    pixels = read(tmp_path, encoded(scene(), kind, icc_profile=profile))
    want = p3_to_srgb(BLOCKS, 2.2)
    assert np.abs(middles(pixels) - want).max() <= KINDS[kind] + 4
    red, taken_as_srgb = middles(pixels)[0, 0], BLOCKS[0, 0]
    assert red[0] - red[2] > int(taken_as_srgb[0]) - int(taken_as_srgb[2]) + 10


def test_profile_of_a_photo_with_alpha(tmp_path):
    alpha = np.full((32, 48, 1), 255, np.uint8)
    alpha[:16] = 0
    data = encoded(
        np.concatenate([scene(), alpha], axis=2), "PNG", icc_profile=matrix_profile(*P3, 2.2)
    )
    got = middles(read(tmp_path, data))
    assert (got[0] == 255).all()
    assert np.abs(got[1] - p3_to_srgb(BLOCKS, 2.2)[1]).max() <= 3


def test_an_srgb_profile_changes_nothing(tmp_path):
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    with_profile = read(tmp_path, encoded(scene(), "JPEG", icc_profile=profile))
    np.testing.assert_array_equal(with_profile, read(tmp_path, encoded(scene(), "JPEG")))


@pytest.mark.parametrize(
    "profile",
    [b"not a profile", matrix_profile(*P3, 2.2)[:200], bytes(400)],
    ids=["words", "cut", "zeros"],
)
def test_a_broken_profile_is_passed_over(tmp_path, profile):
    pixels = read(tmp_path, encoded(scene(), "PNG", icc_profile=profile))
    np.testing.assert_array_equal(middles(pixels), BLOCKS)


def test_a_grey_photo_with_a_colour_profile(tmp_path):
    data = encoded(scene()[..., 0].copy(), "PNG", icc_profile=matrix_profile(*P3, 2.2))
    pixels = middles(read(tmp_path, data))
    assert np.ptp(pixels, axis=-1).max() <= 1


# ---------------------------------------------------------------- refusals


def refusal(path):
    with pytest.raises(PhotoError) as caught:
        read_photo(path)
    sentence = str(caught.value)
    assert "\n" not in sentence
    assert sentence.endswith(".")
    assert caught.value.exit_code == 2
    return sentence


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "'odd.jpg' is empty"),
        (b"A list of fabrics, not a photo.", "'odd.jpg' is not a photo"),
        (b"GIF89a" + bytes(50), "'odd.jpg' is not a photo"),
        (b"%PDF-1.7 " + bytes(50), "'odd.jpg' is not a photo"),
        (b"\xff\xd8\xff", "'odd.jpg' is broken or cut off"),
        (b"\xff\xd8\xff\xe0" + bytes(50), "'odd.jpg' is broken or cut off"),
        (b"RIFF\x20\0\0\0WEBP" + bytes(40), "'odd.jpg' is broken or cut off"),
        (b"\0\0\0\x18ftypheic" + bytes(40), "'odd.jpg' is broken or cut off"),
    ],
)
def test_what_is_no_photo(tmp_path, data, words):
    path = tmp_path / "odd.jpg"
    path.write_bytes(data)
    assert words in refusal(path)


def test_a_folder_and_a_missing_file(tmp_path):
    assert "is a folder" in refusal(tmp_path)
    assert "there is no photo 'none.jpg'" in refusal(tmp_path / "none.jpg")
    assert "there is no photo" in refusal(tmp_path / "none" / "none.jpg")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such permission bits")
def test_an_unreadable_file(tmp_path, monkeypatch):
    path = tmp_path / "locked.jpg"
    path.write_bytes(encoded(scene(), "JPEG"))
    path.chmod(0)
    if os.geteuid() == 0:  # the system's own user reads everything

        def refuse(self, mode):
            raise PermissionError(13, "Permission denied", str(self))

        monkeypatch.setattr(Path, "open", refuse)
    assert "'locked.jpg' may not be read" in refusal(path)


@pytest.mark.parametrize("kind", [*KINDS, "progressive", "deflated"])
def test_every_truncation_is_refused(tmp_path, kind):
    noise = np.random.default_rng(1).integers(0, 256, (64, 96, 3), np.uint8)
    match kind:
        case "progressive":
            whole = encoded(noise, "JPEG", progressive=True)
        case "deflated":
            whole = encoded(noise, "TIFF", compression="tiff_adobe_deflate")
        case _:
            whole = encoded(noise, kind)
    path = tmp_path / "cut"
    cuts = {1, 2, 3, 5, 9, 13, 20, 50, *range(60, len(whole), len(whole) // 25)}
    for missing in sorted(cuts):
        path.write_bytes(whole[:-missing])
        assert "'cut'" in refusal(path), missing


def test_a_jpeg_padded_with_zeros_where_copying_stopped(tmp_path):
    whole = encoded(scene(), "JPEG")
    half = len(whole) * 3 // 4
    path = tmp_path / "padded.jpg"
    path.write_bytes(whole[:half] + bytes(len(whole) - half))
    assert "'padded.jpg'" in refusal(path)


def test_a_cut_jpeg_that_was_given_an_end_again(tmp_path):
    noise = np.random.default_rng(1).integers(0, 256, (160, 160, 3), np.uint8)
    whole = encoded(noise, "JPEG")
    path = tmp_path / "mended.jpg"
    for share in (0.3, 0.5, 0.9, 0.99):
        path.write_bytes(whole[: int(len(whole) * share)].rstrip(b"\xff") + b"\xff\xd9")
        assert "'mended.jpg' is broken or cut off" in refusal(path)


def png_header(width, height):
    def chunk(name, body):
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(bytes(999)))


@pytest.mark.parametrize("size", [(20_000, 10_001), (2**31 - 1, 2**31 - 1), (200_000_001, 1)])
def test_too_many_pixels_are_seen_in_the_header(tmp_path, size):
    path = tmp_path / "huge.png"
    path.write_bytes(png_header(*size))
    tracemalloc.start()
    sentence = refusal(path)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert "'huge.png' has" in sentence
    assert "million pixels" in sentence
    assert most < 20_000_000


def test_a_jpeg_that_says_it_is_huge(tmp_path):
    data = bytearray(encoded(scene(), "JPEG"))
    at = data.index(b"\xff\xc0") + 5
    data[at : at + 4] = struct.pack(">HH", 65_000, 65_000)
    path = tmp_path / "huge.jpg"
    path.write_bytes(data)
    assert "million pixels" in refusal(path)


def test_photos_above_the_decoding_library_s_own_limit_pass(tmp_path, monkeypatch):
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 100)
    for kind in KINDS:
        assert read(tmp_path, encoded(scene(), kind)).shape == (32, 48, 3)
    assert Image.MAX_IMAGE_PIXELS == 100


@pytest.mark.parametrize("kind", KINDS)
def test_the_limit_holds_for_every_kind(tmp_path, monkeypatch, kind):
    monkeypatch.setattr(decoding, "MAX_PIXELS", 1000)
    path = tmp_path / "large"
    path.write_bytes(encoded(scene(), kind))
    assert "million pixels" in refusal(path)


def test_a_file_too_big_to_be_a_photo_is_not_read(tmp_path, monkeypatch):
    monkeypatch.setattr(photo_reading, "MAX_BYTES", 10)
    path = tmp_path / "long.jpg"
    path.write_bytes(encoded(scene(), "JPEG"))
    assert "larger than a photo can be" in refusal(path)


def test_a_bomb_in_a_png_s_profile(tmp_path):
    profile = b"bomb\0\0" + zlib.compress(bytes(50_000_000))
    data = encoded(scene(), "PNG")
    chunk = b"iCCP" + profile
    bomb = struct.pack(">I", len(profile)) + chunk + struct.pack(">I", zlib.crc32(chunk))
    path = tmp_path / "bomb.png"
    path.write_bytes(data[:33] + bomb + data[33:])
    assert "'bomb.png'" in refusal(path)


def test_a_raw_photo_s_preview_is_not_taken_for_it(tmp_path):
    buffer = io.BytesIO()
    Image.fromarray(scene()).save(buffer, "TIFF", tiffinfo={254: 1})
    path = tmp_path / "raw.dng"
    path.write_bytes(buffer.getvalue())
    assert "'raw.dng' is a raw photo" in refusal(path)


def test_nothing_is_written(tmp_path):
    path = tmp_path / "cut.jpg"
    path.write_bytes(encoded(scene(), "JPEG")[:-20])
    refusal(path)
    assert list(tmp_path.iterdir()) == [path]


# ---------------------------------------------------------------- floods


@pytest.mark.parametrize("name", hostile.PHOTOS)
def test_what_no_photo_needs_is_refused(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(hostile.PHOTOS[name]())
    assert f"'{name}' " in refusal(path)


@pytest.mark.parametrize("name", hostile.HARMLESS)
def test_odd_but_harmless_files_are_read(tmp_path, name):
    pixels = read(tmp_path, hostile.HARMLESS[name]())
    assert (pixels == pixels[0, 0]).all()


def test_as_many_scans_and_segments_as_are_allowed_are_read(tmp_path):
    assert "100 scans" in hostile_refusal(tmp_path, hostile.scans(101, side=64))
    assert read(tmp_path, hostile.scans(100, side=64)).shape == (64, 64, 3)
    several = hostile.segment(0xFE, b"x")
    assert "1,000 segments" in hostile_refusal(tmp_path, hostile.in_header(several * 1000))
    assert read(tmp_path, hostile.in_header(several * 980)).shape == (48, 64, 3)


def hostile_refusal(tmp_path, data):
    path = tmp_path / "hostile"
    path.write_bytes(data)
    return refusal(path)


@pytest.mark.parametrize(
    ("subsampling", "held"), [("4:4:4", 6.0), ("4:2:2", 4.0), ("4:2:0", 3.0), ("grey", 2.0)]
)
def test_what_a_progressive_photo_takes_is_told_by_its_header(subsampling, held):
    if subsampling == "grey":
        data = encoded(scene()[..., 0].copy(), "JPEG", progressive=True)
    else:
        data = encoded(scene(), "JPEG", progressive=True, subsampling=subsampling)
    assert jpeg_end(data).held == held
    assert jpeg_end(encoded(scene(), "JPEG")).held == 0


def test_a_photo_that_takes_too_much_memory_is_refused_by_its_header(tmp_path):
    assert "read up to 133 million pixels, and has 196" in hostile_refusal(
        tmp_path, hostile.scans(9, parts=3)
    )


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends no such signals")
def test_ctrl_c_is_heeded_while_a_decoder_works():
    done = threading.Event()

    def decode():
        signal.raise_signal(signal.SIGINT)
        done.wait()

    with pytest.raises(KeyboardInterrupt):
        heeding(decode)
    done.set()


def test_the_decoder_prints_nothing_of_its_own(tmp_path, capfd):
    """libjpeg says "premature end of data segment" on standard error."""
    read(tmp_path, hostile.scans(3, side=64))
    assert capfd.readouterr() == ("", "")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows sends no such signals")
def test_after_ctrl_c_there_is_a_voice_again(capfd):
    done, gone = threading.Event(), threading.Event()

    def decode():
        with silent(ERROR):
            signal.raise_signal(signal.SIGINT)
            done.wait()
        gone.set()

    with pytest.raises(KeyboardInterrupt):
        heeding(decode)
    os.write(2, b"stopped")
    done.set()
    gone.wait()
    assert capfd.readouterr().err == "stopped"


def test_what_goes_wrong_beside_goes_wrong_here():
    def fail():
        msg = "late"
        raise TimeoutError(msg)

    with pytest.raises(TimeoutError, match="late"):
        heeding(fail)
    assert heeding(lambda: 3) == 3


def test_a_moving_picture_gives_its_first(tmp_path):
    buffer = io.BytesIO()
    first, second = Image.fromarray(scene()), Image.fromarray(255 - scene())
    first.save(buffer, "WEBP", save_all=True, append_images=[second], duration=9, lossless=True)
    np.testing.assert_array_equal(middles(read(tmp_path, buffer.getvalue())), BLOCKS)


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF"])
def test_photos_higher_than_a_strip(tmp_path, kind):
    noise = np.random.default_rng(3).integers(0, 256, (600, 40, 4), np.uint8)
    options = {"lossless": True, "exact": True} if kind == "WEBP" else {}
    np.testing.assert_array_equal(
        read(tmp_path, encoded(noise[..., :3].copy(), kind, **options)), noise[..., :3]
    )
    share = noise[..., 3:].astype(np.float32) / 255
    laid = np.rint(noise[..., :3] * share + 255 * (1 - share))
    np.testing.assert_array_equal(read(tmp_path, encoded(noise, kind, **options)), laid)


# ---------------------------------------------------------------- names, memory, broken files


@pytest.mark.parametrize(
    "name",
    ["two words.jpg", "Stoffstücke.jpg", "🧵.jpg", "-out.jpg", "it's \u201ca\u201d.jpg", "noend"],
)
def test_odd_names(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(encoded(scene(), "JPEG"))
    assert read_photo(path).name == name
    path.write_bytes(b"x")
    assert name in refusal(path)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such names")
def test_names_with_control_characters_stay_one_plain_line(tmp_path):
    path = tmp_path / "a\nb\x1b[31m.jpg"
    path.write_bytes(b"x")
    assert "'a?b?[31m.jpg'" in refusal(path)


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has names that are no text")
def test_names_that_are_no_text(tmp_path):
    path = Path(os.fsdecode(os.fsencode(tmp_path) + b"/caf\xe9.jpg"))
    path.write_bytes(encoded(scene(), "JPEG"))
    read_photo(path).name.encode("utf-8")


def test_a_jpeg_walk_ends_where_the_picture_does():
    data = encoded(scene(), "JPEG")
    end = jpeg_end(data + b"after")
    assert end is not None
    assert data[end.at :] == b"\xff\xd9"
    assert end.one_scan
    progressive = jpeg_end(encoded(scene(), "JPEG", progressive=True))
    assert progressive is not None
    assert not progressive.one_scan


SEEDS = {
    kind: encoded(np.random.default_rng(2).integers(0, 256, (24, 32, 3), np.uint8), kind)
    for kind in KINDS
}


def only_a_photo_or_a_refusal(path, data):
    path.write_bytes(data)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            outcome = read_photo(path)
        except PhotoError as error:
            outcome = error
    assert isinstance(outcome, Photo) or "'fuzz'" in str(outcome)


FUZZ = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@FUZZ
@given(start=st.sampled_from([b"", *(seed[:12] for seed in SEEDS.values())]), rest=st.binary())
def test_random_bytes(tmp_path, start, rest):
    only_a_photo_or_a_refusal(tmp_path / "fuzz", start + rest)


@FUZZ
@given(kind=st.sampled_from(sorted(SEEDS)), data=st.data())
def test_flipped_bytes(tmp_path, kind, data):
    broken = bytearray(SEEDS[kind])
    places = st.integers(0, len(broken) - 1)
    for at, value in data.draw(st.lists(st.tuples(places, st.integers(0, 255)), max_size=12)):
        broken[at] = value
    only_a_photo_or_a_refusal(tmp_path / "fuzz", bytes(broken))


@FUZZ
@given(kind=st.sampled_from(sorted(SEEDS)), share=st.floats(0, 1, exclude_max=True))
def test_cut_anywhere(tmp_path, kind, share):
    path = tmp_path / "fuzz"
    path.write_bytes(SEEDS[kind][: int(len(SEEDS[kind]) * share)])
    assert "'fuzz'" in refusal(path)
