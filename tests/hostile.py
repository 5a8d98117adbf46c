"""Files that ask for far more work or memory than their size, made by code."""

from __future__ import annotations

import functools
import io
import struct
import zipfile
import zlib

from PIL import Image

PLAIN = (64, 48)


def encoded(kind, size=PLAIN, mode="RGB", **options):
    stream = io.BytesIO()
    Image.new(mode, size, 150).save(stream, kind, **options)
    return stream.getvalue()


# ---------------------------------------------------------------- JPEG (ITU-T T.81)


def segment(marker, body):
    return bytes([0xFF, marker]) + struct.pack(">H", len(body) + 2) + body


ONE_CODE = bytes([1] + [0] * 15)
"""Lengths of a table with one code, of one bit."""
BANDS_DONE = segment(0xC4, b"\x10" + ONE_CODE + b"\xe0")
"""The one code says that all that follows, up to 32,767 blocks, is zero."""


def scans(number, side=14_000, parts=1):
    """A progressive picture whose scans hold nothing."""
    components = b"".join(bytes([part, 0x11, 0]) for part in range(1, parts + 1))
    frame = struct.pack(">BHHB", 8, side, side, parts) + components
    tables = segment(0xDB, b"\0" + b"\1" * 64) + segment(0xC4, b"\0" + ONE_CODE + b"\0")
    selectors = b"".join(bytes([part, 0]) for part in range(1, parts + 1))
    first = segment(0xDA, bytes([parts]) + selectors + b"\0\0\0")
    more = segment(0xDA, b"\1\1\0\1\x3f\0") * (number - 1)
    return b"\xff\xd8" + tables + segment(0xC2, frame) + BANDS_DONE + first + more + b"\xff\xd9"


def in_header(flood):
    whole = encoded("JPEG")
    return whole[:2] + flood + whole[2:]


def before_scan(flood):
    whole = encoded("JPEG")
    at = whole.index(b"\xff\xda")
    return whole[:at] + flood + whole[at:]


EXIF_START = b"Exif\0\0II*\0\x08\0\0\0"

# ---------------------------------------------------------------- PNG (ISO/IEC 15948)


def chunk(name, body=b""):
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def after_head(flood):
    whole = encoded("PNG")
    return whole[:33] + flood + whole[33:]


def before_end(flood):
    whole = encoded("PNG")
    return whole[:-12] + flood + whole[-12:]


def pixel_bomb(side):
    """A picture of few bytes and many pixels; the data go on after the last of them."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    packed = zlib.compress(bytes(200_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", packed) + chunk(b"IEND")


# ---------------------------------------------------------------- TIFF 6.0

SIDE = 1000
PIXELS = bytes(SIDE * SIDE * 3)
SHORT, LONG = 3, 4


def tiff(fields, loops=False):
    """A file of one directory, or of the same without end; fields are tag, type and values."""
    size = {1: "B", 2: "B", SHORT: "H", LONG: "L", 5: "Q", 7: "B"}
    at = 8 + len(PIXELS)
    start, directory, values = at + 2 + 12 * len(fields) + 4, b"", b""
    for tag, kind, several in sorted(fields):
        body = struct.pack(f"<{len(several)}{size[kind]}", *several)
        place = body.ljust(4, b"\0") if len(body) <= 4 else struct.pack("<L", start + len(values))
        directory += struct.pack("<HHL", tag, kind, len(several)) + place
        values += body if len(body) > 4 else b""
    head = b"II*\0" + struct.pack("<L", at) + PIXELS + struct.pack("<H", len(fields))
    return head + directory + struct.pack("<L", at if loops else 0) + values


def picture(*more, rows=SIDE, offsets=(8,), counts=(3 * SIDE * SIDE,)):
    head = [(256, SHORT, [SIDE]), (257, SHORT, [SIDE]), (258, SHORT, [8, 8, 8]), (259, SHORT, [1])]
    body = [(262, SHORT, [2]), (277, SHORT, [3]), (278, SHORT, [rows])]
    strips = [(273, LONG, list(offsets)), (279, LONG, list(counts))]
    return [*head, *body, *strips, *more]


# ---------------------------------------------------------------- WebP (RFC 9649)


def webp(flood):
    body = encoded("WEBP", exif=EXIF_START)[8:] + flood
    return b"RIFF" + struct.pack("<I", len(body)) + body


# ---------------------------------------------------------------- HEIF (ISO/IEC 23008-12)


def box(name, body):
    return struct.pack(">I", len(body) + 8) + name + body


def flat(name, body, version=0):
    return box(name, bytes([version, 0, 0, 0]) + body)


def boxes(data, start=0):
    """Bodies by name; of each name the last."""
    found = {}
    while start < len(data):
        size, name = struct.unpack_from(">I4s", data, start)
        found[name] = data[start + 8 : start + size]
        start += size
    return found


def grid(rows, side=1024, kind=b"grid"):
    """A picture made of as many rows and columns of one tile, each as large as the picture."""
    import pillow_heif

    stream = io.BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (side, side), 150)).save(stream, quality=50)
    top = boxes(stream.getvalue())
    old = boxes(top[b"meta"], 4)
    properties = boxes(old[b"iprp"])
    tiles = struct.pack(">BBBBHH", 0, 0, rows - 1, rows - 1, side, side)
    number = rows * rows

    def item(number, what):
        return flat(b"infe", struct.pack(">HH", number, 0) + what + b"\0", 2)

    listed = item(1, b"hvc1") + item(2, kind)
    size = flat(b"ispe", struct.pack(">II", side, side))
    last = 1 + len(list(walked(properties[b"ipco"])))
    belongs = properties[b"ipma"][8:] + struct.pack(">HBB", 2, 1, 0x80 | last)
    refers = box(b"dimg", struct.pack(f">HH{number}H", 2, number, *[1] * number))

    def meta(at):
        places = ((1, at, len(top[b"mdat"])), (2, at + len(top[b"mdat"]), len(tiles)))
        where = b"".join(struct.pack(">HHHHII", one, 0, 0, 1, *place) for one, *place in places)
        parts = (
            box(b"hdlr", old[b"hdlr"]),
            flat(b"pitm", struct.pack(">H", 2)),
            flat(b"iloc", b"\x44\0" + struct.pack(">H", 2) + where, 1),
            flat(b"iinf", struct.pack(">H", 2) + listed),
            flat(b"iref", refers),
            box(
                b"iprp",
                box(b"ipco", properties[b"ipco"] + size)
                + flat(b"ipma", struct.pack(">I", 2) + belongs),
            ),
        )
        return flat(b"meta", b"".join(parts))

    kinds = box(b"ftyp", top[b"ftyp"])
    start = len(kinds) + len(meta(0)) + 8
    return kinds + meta(start) + box(b"mdat", top[b"mdat"] + tiles)


def walked(data, start=0):
    while start < len(data):
        yield start
        start += struct.unpack_from(">I", data, start)[0]


PHOTOS = {
    "20,000 scans.jpg": lambda: scans(20_000),
    "30,000 application segments.jpg": lambda: in_header(segment(0xE5, b"") * 30_000),
    "60,000 comments.jpg": lambda: before_scan(segment(0xFE, b"") * 60_000),
    "60,000 code tables.jpg": lambda: before_scan(BANDS_DONE * 60_000),
    "60,000 quantization tables.jpg": lambda: before_scan(
        segment(0xDB, b"\1" + b"\1" * 64) * 60_000
    ),
    "1,100 blocks of Exif.jpg": lambda: in_header(
        segment(0xE1, EXIF_START + bytes(60_000)) * 1_100
    ),
    "a million bare markers.jpg": lambda: in_header(b"\xff\x01" * 1_000_000),
    "ten million filling bytes.jpg": lambda: in_header(b"\xff" * 10_000_000),
    "progressive, three full colours.jpg": lambda: scans(9, parts=3),
    "500,000 texts.png": lambda: after_head(chunk(b"tEXt", b"a\0b") * 500_000),
    "500,000 texts at the end.png": lambda: before_end(chunk(b"tEXt", b"a\0b") * 500_000),
    "900 packed texts.png": lambda: after_head(
        chunk(b"zTXt", b"a\0\0" + zlib.compress(bytes(900_000))) * 900
    ),
    "a profile of 100 MB.png": lambda: after_head(
        chunk(b"iCCP", b"a\0\0" + zlib.compress(bytes(100_000_000)))
    ),
    "a million empty pixel chunks.png": lambda: after_head(chunk(b"IDAT") * 1_000_000),
    "strips again and again.tif": lambda: tiff(
        picture(rows=SIDE - 1, offsets=[8] * 100_000, counts=[len(PIXELS)] * 100_000)
    ),
    "3 million strips.tif": lambda: tiff(picture(offsets=[8] * 3_000_000, counts=[3] * 3_000_000)),
    "20,000 fields.tif": lambda: tiff(
        picture(*((tag, SHORT, [1]) for tag in range(40_000, 60_000)))
    ),
    "a million chunks.webp": lambda: webp((b"ABCD" + bytes(4)) * 1_000_000),
    "40,000 tiles.heic": lambda: grid(200),
    "tiles as large as the picture.heic": lambda: grid(16),
    "pictures over one another.heic": lambda: grid(2, kind=b"iovl"),
}
"""What no photo needs, by what it is; each is refused."""

HARMLESS = {
    "100 scans of 8 megapixels.jpg": lambda: scans(100, side=2_800),
    "ten million restarts.jpg": lambda: (
        encoded("JPEG")[:-2] + b"\xff\xd0" * 10_000_000 + b"\xff\xd9"
    ),
    "data after the last pixel.png": lambda: pixel_bomb(1_000),
    "four tiles.heic": lambda: grid(2, side=512),
    "a loop of directories.tif": lambda: tiff(picture(), loops=True),
    **{
        f"a field 254 of type {kind}.tif": functools.partial(tiff, picture((254, kind, values)))
        for kind, values in ((1, [1]), (2, [49, 0]), (5, [1]), (7, [1, 1]))
    },
}
"""What is read all the same, in bounded time and memory: pictures without squares."""

# ---------------------------------------------------------------- pattern files


def dotted(number):
    return ".".join("a" * number)


PATTERNS = {
    "40,000 keys in a line.toml": lambda: f"{dotted(40_000)}=1",
    "a header of 40,000 keys.toml": lambda: f"[{dotted(40_000)}]",
    "an inline table of 40,000 keys.toml": lambda: f"a = {{{dotted(40_000)} = 1}}",
    "300,000 lists in each other.toml": lambda: "a = " + "[" * 300_000,
    "100,000 tables in each other.toml": lambda: "a = " + "{a = " * 100_000,
    "a text without end.toml": lambda: 'a = "' + '\\"' * 400_000,
    "a number without end.toml": lambda: "a = " + "9" * 900_000,
    "a length without end.toml": lambda: f'a = 1\nsize = "{"9 " * 400_000}"',
    "100,000 headers.toml": lambda: "".join(f"[a{n}]\n" for n in range(90_000)),
    "ten million signs.toml": lambda: "#" * 10_000_000,
}
"""What no pattern is."""

# ---------------------------------------------------------------- exported bundles


def zipped(**files):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in files.items():
            packed.writestr(name, content)
    return stream.getvalue()


def listing(number):
    """An archive of nothing but a list of files; 52 bytes each, and their number is no matter."""
    entry = b"PK\1\2" + bytes(24) + struct.pack("<H", 6) + bytes(16) + b"a.json"
    end = b"PK\5\6" + bytes(8) + struct.pack("<LLH", number * len(entry), 0, 0)
    return entry * number + end


ARCHIVES = {
    "a million files.zip": lambda: listing(1_000_000),
    "six million lists.zip": lambda: zipped(**{"bundle.json": b"[" + b"[]," * 6_000_000 + b"1]"}),
    "20 million numbers.zip": lambda: zipped(**{"bundle.json": b"[" + b"1," * 20_000_000 + b"1]"}),
    "lists in each other.zip": lambda: zipped(**{"bundle.json": b"[" * 1_000_000}),
    "200 MB of zeros.zip": lambda: zipped(
        **{"bundle.json": b"{}", "photos/001.jpg": bytes(200_000_000)}
    ),
    "words.zip": lambda: b"A list of fabrics.",
}
"""What no exported bundle is."""
