"""Pictures as clients mail them: damaged, huge, odd. Each function makes the bytes of one file."""
import io
import pathlib
import struct
import zlib

from PIL import Image, ImageDraw

SEEDS = pathlib.Path(__file__).resolve().parent.parent / "fuzz" / "seeds" / "picture"


def drawing(mode="RGB", size=(48, 36)):
    """A pale ground with a dark bird-like blob and a warm stripe."""
    picture = Image.new("RGB", size, (236, 232, 220))
    draw = ImageDraw.Draw(picture)
    w, h = size
    draw.ellipse([w // 6, h // 6, w // 2, 5 * h // 6], fill=(40, 52, 60))
    draw.rectangle([0, 4 * h // 5, w, h], fill=(196, 160, 72))
    return picture.convert(mode)


def saved(picture, kind, **how):
    out = io.BytesIO()
    picture.save(out, kind, **how)
    return out.getvalue()


# PNG by hand (third edition of its specification): chunks with length, name, data and CRC.


def chunk(name, data=b"", crc=None):
    return struct.pack(">I", len(data)) + name + data + struct.pack(
        ">I", zlib.crc32(name + data) if crc is None else crc)


def header(width, height, bits=8, kind=2):
    return chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, kind, 0, 0, 0))


def png(width, height, rows, bits=8, kind=2, before=b"", after=b""):
    """`rows` are the bytes of all rows, each with its filter byte."""
    return (b"\x89PNG\r\n\x1a\n" + header(width, height, bits, kind) + before
            + chunk(b"IDAT", zlib.compress(rows)) + after + chunk(b"IEND"))


def png_with(name, data, crc=None):
    """The drawing with one more chunk behind its header."""
    good = saved(drawing(), "PNG")
    return good[:33] + chunk(name, data, crc) + good[33:]


def zeros_deflated(count):
    """`count` zero bytes as a zlib stream, without making them: a flushed block can stand in it again and again."""
    piece = 1 << 20
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    flushed = packer.compress(bytes(piece)) + packer.flush(zlib.Z_FULL_FLUSH)
    last = zlib.compressobj(9, zlib.DEFLATED, -15)
    rest = last.compress(bytes(count % piece)) + last.flush()
    return b"\x78\xda" + flushed * (count // piece) + rest + struct.pack(">I", (count % 65521) << 16 | 1)


def png_of_zeros(width, height, bits, kind, channels):
    row = 1 + (width * bits * channels + 7) // 8
    return (b"\x89PNG\r\n\x1a\n" + header(width, height, bits, kind)
            + chunk(b"IDAT", zeros_deflated(row * height)) + chunk(b"IEND"))


def empty():
    return b""


def letter():
    return "Dear client,\nthe picture is attached.\n".encode()


def png_cut():
    good = saved(drawing(), "PNG")
    return good[:len(good) // 2]


def png_cut_in_header():
    return saved(drawing(), "PNG")[:20]


def png_without_end():
    return saved(drawing(), "PNG")[:-12]


def png_bad_crc():
    good = bytearray(saved(drawing(), "PNG"))
    good[29] ^= 1  # of its header
    return bytes(good)


def png_bad_pixels():
    return (b"\x89PNG\r\n\x1a\n" + header(8, 8) + chunk(b"IDAT", b"\x78\x9c" + b"\xff" * 40) + chunk(b"IEND"))


def png_too_few_rows():
    return png(8, 8, (b"\0" + bytes(24)) * 3)


def png_without_header():
    return saved(drawing(), "PNG").replace(b"IHDR", b"IHDX")


def png_odd_depth():
    return png(8, 8, bytes(8 * 25), bits=3)


def png_palette_missing():
    return png(8, 8, (b"\0" + bytes(8)) * 8, kind=3)


def png_palette_index_outside():
    return png(8, 8, (b"\0" + b"\x09" * 8) * 8, kind=3, before=chunk(b"PLTE", bytes(6)))


def png_huge():
    return png(64250, 64250, b"\0")


def png_no_width():
    return png(0, 8, b"\0")


def png_very_long():
    return png(1048577, 1, b"\0")


def png_bomb():
    """14000 x 14000 grey, just below the cap, in less than 200 kB."""
    return png_of_zeros(14000, 14000, 8, 0, 1)


def png_bomb_of_words():
    """Within a raised cap, and 16 GB."""
    return png_of_zeros(44000, 44000, 16, 6, 4)


def png_one_pixel():
    return png(1, 1, b"\0\xc8\xa0\x40")


def png_thin():
    return png(1, 60000, b"\0\xc8\xa0\x40" * 60000)


def png_long():
    return png(60000, 1, b"\0" + b"\xc8\xa0\x40" * 60000)


def png_strip():
    """A frieze: 2400 x 48."""
    return saved(drawing(size=(2400, 48)), "PNG")


def png_standing_strip():
    return saved(drawing(size=(48, 2400)), "PNG")


def png_16_bits():
    colours = drawing().tobytes()
    rows = b"".join(b"\0" + bytes(v for c in colours[y * 144:y * 144 + 144] for v in (c, c)) for y in range(36))
    return png(48, 36, rows, bits=16)


def png_palette():
    return saved(drawing().quantize(8), "PNG")


def png_palette_with_transparency():
    return saved(drawing().quantize(8), "PNG", transparency=0)


def png_grey_alpha():
    picture = drawing("LA")
    picture.putalpha(drawing("L").point(lambda v: 255 if v < 200 else 90))
    return saved(picture, "PNG")


def png_transparent():
    picture = drawing("RGBA")
    picture.putalpha(0)
    return saved(picture, "PNG")


def png_one_bit():
    return saved(drawing("L").point(lambda v: 255 if v > 128 else 0).convert("1"), "PNG")


def png_animated():
    """Two frames are announced; the still picture comes first."""
    return png_with(b"acTL", struct.pack(">II", 2, 0))


# Colour profiles (ICC.1): the size at byte 0, the class at 12, the colours at 16, "acsp" at 36.


def profile(kind=b"mntr", colours=b"RGB ", size=None):
    good = bytearray((SEEDS.parent / "profile" / "srgb.icc").read_bytes())
    good[12:16] = kind
    good[16:20] = colours
    if size is not None:
        good[0:4] = struct.pack(">I", size)
    return bytes(good)


def grey_profile():
    """A grey profile with one curve, made by hand: header, three tags."""
    curve = b"curv" + bytes(4) + struct.pack(">IHH", 1, 0x0200, 0)
    white = b"XYZ " + bytes(4) + struct.pack(">iii", 0xf6d6, 0x10000, 0xd32d)
    words = b"desc" + bytes(4) + struct.pack(">I", 5) + b"grey\0" + bytes(78) + bytes(1)
    tags, data, at = b"", b"", 128 + 4 + 3 * 12
    for name, body in ((b"kTRC", curve), (b"wtpt", white), (b"desc", words)):
        body += bytes(-len(body) % 4)
        tags += name + struct.pack(">II", at + len(data), len(body))
        data += body
    head = bytearray(128)
    head[0:4] = struct.pack(">I", at + len(data))
    head[8:12] = b"\x02\x40\0\0"
    head[12:24] = b"mntrGRAYXYZ "
    head[36:40] = b"acsp"
    head[68:80] = struct.pack(">iii", 0xf6d6, 0x10000, 0xd32d)
    return bytes(head) + struct.pack(">I", 3) + tags + data


def png_with_profile(bytes_of_profile, crc=None):
    return png_with(b"iCCP", b"p\0\0" + zlib.compress(bytes_of_profile), crc)


def png_profile_good():
    return png_with_profile(profile())


def png_profile_cut():
    return png_with_profile(profile()[:200])


def png_profile_no_profile():
    return png_with_profile(b"not a profile at all" * 20)


def png_profile_bad_crc():
    return png_with_profile(profile(), crc=1)


def png_profile_not_packed():
    return png_with(b"iCCP", b"p\0\0" + b"\xff" * 50)


def png_profile_bomb():
    return png_with(b"iCCP", b"p\0\0" + zeros_deflated(400_000_000))


def png_profile_link():
    return png_with_profile(profile(kind=b"link"))


def png_profile_abstract():
    return png_with_profile(profile(kind=b"abst", colours=b"Lab "))


def png_profile_grey():
    return png_with_profile(grey_profile())


def png_profile_lab():
    return png_with_profile((SEEDS.parent / "profile" / "lab.icc").read_bytes())


def png_profile_says_huge():
    return png_with_profile(profile(size=0xfffffff0))


def png_grey_with_rgb_profile():
    good = saved(drawing("L"), "PNG")
    return good[:33] + chunk(b"iCCP", b"p\0\0" + zlib.compress(profile())) + good[33:]


def jpeg_profile_grey():
    return saved(drawing(), "JPEG", icc_profile=grey_profile())


def jpeg_profile_cut():
    return saved(drawing(), "JPEG", icc_profile=profile()[:300])


# EXIF: a TIFF header with one entry, tag 0x0112.


def exif(orientation):
    return b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0" + struct.pack("<HH", orientation, 0) + bytes(4)


def png_exif_99():
    return png_with(b"eXIf", exif(99))


def jpeg_exif_99():
    return saved(drawing(), "JPEG", exif=b"Exif\0\0" + exif(99))


def jpeg_exif_sideways():
    return saved(drawing(), "JPEG", exif=b"Exif\0\0" + exif(6))


def jpeg_exif_damaged():
    return saved(drawing(), "JPEG", exif=b"Exif\0\0II*\0\xff\xff\xff\xff\x09\0")


def tiff_turned_by_99():
    return saved(drawing(), "TIFF", tiffinfo={274: 99})


def webp_exif_99():
    return saved(drawing(), "WEBP", exif=b"Exif\0\0" + exif(99))


# JPEG (ITU-T T.81): the frame header begins with ff c0.


def jpeg():
    return saved(drawing(), "JPEG")


def jpeg_frame(at, new):
    """The drawing with bytes of its frame header changed, counted from its marker."""
    good = bytearray(jpeg())
    frame = good.index(b"\xff\xc0")
    good[frame + at:frame + at + len(new)] = new
    return bytes(good)


def jpeg_cut():
    good = jpeg()
    return good[:2 * len(good) // 3]


def jpeg_cut_in_header():
    return jpeg()[:120]


def jpeg_cut_and_closed():
    good = saved(drawing(size=(200, 150)), "JPEG")
    return good[:2 * len(good) // 3] + b"\xff\xd9"


def jpeg_bad_tables():
    good = bytearray(jpeg())
    at = good.index(b"\xff\xc4")
    good[at + 5:at + 21] = b"\xff" * 16
    return bytes(good)


def jpeg_12_bits():
    return jpeg_frame(4, b"\x0c")


def jpeg_lossless():
    return jpeg_frame(1, b"\xc3")


def jpeg_no_height():
    return jpeg_frame(5, b"\0\0")


def jpeg_huge():
    return jpeg_frame(5, struct.pack(">HH", 64250, 64250))


def jpeg_cmyk():
    return saved(drawing("CMYK"), "JPEG")


def jpeg_cmyk_with_rgb_profile():
    return saved(drawing("CMYK"), "JPEG", icc_profile=profile())


def jpeg_progressive_cut():
    good = saved(drawing(size=(200, 150)), "JPEG", progressive=True)
    return good[:len(good) // 2]


# TIFF


def tiff_cut():
    good = saved(drawing(), "TIFF")
    return good[:len(good) // 2]


def tiff_cut_in_pixels():
    """Its directory stands first, and half of its pixels are missing."""
    entries = [(256, 4, 48), (257, 4, 36), (258, 3, 8), (259, 3, 1), (262, 3, 1), (273, 4, 200), (277, 3, 1),
               (278, 4, 36), (279, 4, 48 * 36)]
    return tiff_of(entries, bytes(48 * 18))


def tiff_of(entries, pixels):
    directory = struct.pack("<H", len(entries))
    for tag, kind, value in entries:
        directory += struct.pack("<HHII", tag, kind, 1, value)
    head = b"II*\0" + struct.pack("<I", 8) + directory + bytes(4)
    return head + bytes(200 - len(head)) + pixels


def tiff_bad_packing():
    entries = [(256, 4, 48), (257, 4, 36), (258, 3, 8), (259, 3, 5), (262, 3, 1), (273, 4, 200), (277, 3, 1),
               (278, 4, 36), (279, 4, 400)]
    return tiff_of(entries, b"\xff" * 400)


def tiff_huge():
    entries = [(256, 4, 64250), (257, 4, 64250), (258, 3, 8), (259, 3, 1), (262, 3, 1), (273, 4, 200), (277, 3, 1),
               (278, 4, 36), (279, 4, 400)]
    return tiff_of(entries, bytes(400))


def tiff_no_directory():
    return b"II*\0" + struct.pack("<I", 8)


def tiff_directory_far_away():
    return b"II*\0" + struct.pack("<I", 0x7fffffff) + bytes(64)


def tiff_three_bits():
    entries = [(256, 4, 48), (257, 4, 36), (258, 3, 3), (259, 3, 1), (262, 3, 1), (273, 4, 200), (277, 3, 1),
               (278, 4, 36), (279, 4, 18 * 36)]
    return tiff_of(entries, bytes(18 * 36))


def tiff_preview_only():
    entries = [(254, 4, 1), (256, 4, 48), (257, 4, 36), (258, 3, 8), (259, 3, 1), (262, 3, 1), (273, 4, 200),
               (277, 3, 1), (278, 4, 36), (279, 4, 48 * 36)]
    return tiff_of(entries, bytes(48 * 36))


def tiff_not_numbers():
    picture = Image.new("F", (16, 12), float("nan"))
    return saved(picture, "TIFF")


def tiff_two_pages():
    return saved(drawing(), "TIFF", save_all=True, append_images=[drawing("RGB", (48, 36))])


def tiff_cmyk():
    return saved(drawing("CMYK"), "TIFF")


# WebP and the rest


def webp():
    return saved(drawing(), "WEBP")


def webp_cut():
    good = webp()
    return good[:len(good) // 2]


def webp_bad_header():
    good = bytearray(webp())
    good[12:16] = b"VPXX"
    return bytes(good)


def webp_bad_pixels():
    good = bytearray(saved(drawing(size=(200, 150)), "WEBP", lossless=True))
    good[30:] = b"\xff" * (len(good) - 30)
    return bytes(good)


def webp_animated():
    return saved(drawing(), "WEBP", save_all=True, append_images=[drawing().rotate(180)], duration=100)


def webp_huge():
    """16383 x 16383, without loss: its head says so."""
    body = b"\x2f" + struct.pack("<I", 16382 | 16382 << 14) + bytes(40)
    data = b"WEBPVP8L" + struct.pack("<I", len(body)) + body + bytes(len(body) % 2)
    return b"RIFF" + struct.pack("<I", len(data)) + data


def bmp_cut():
    good = saved(drawing(), "BMP")
    return good[:len(good) // 2]


def bmp_field(at, value):
    good = bytearray(saved(drawing(), "BMP"))
    good[at:at + 4] = struct.pack("<i", value)
    return bytes(good)


def bmp_huge():
    good = bytearray(saved(drawing(), "BMP"))
    good[18:26] = struct.pack("<ii", 64250, 64250)
    return bytes(good)


def bmp_negative_width():
    return bmp_field(18, -48)


def bmp_unusual_packing():
    return bmp_field(30, 7)


def bmp_palette_index_outside():
    good = bytearray(saved(drawing().quantize(8), "BMP"))
    good[46:50] = struct.pack("<I", 2)
    return bytes(good)


def pnm_cut():
    return b"P6 48 36 255\n" + bytes(300)


def pnm_no_number():
    return b"P3 48 wide 255\n0 0 0\n"


def pnm_huge():
    return b"P6 64250 64250 255\n" + bytes(300)


def pnm_odd_largest():
    return b"P5 4 4 70000\n" + bytes(64)


def pam_without_depth():
    return b"P7\nWIDTH 4\nHEIGHT 4\nMAXVAL 255\nENDHDR\n" + bytes(64)


def pfm_not_numbers():
    return b"PF\n2 2\n-1.0\n" + struct.pack("<f", float("nan")) * 12


def pfm_scale_of_nothing():
    return b"PF\n2 2\n0\n" + bytes(48)


def seed_cut(name):
    good = (SEEDS / name).read_bytes()
    return good[:2 * len(good) // 3]


def sun_raster_cut():
    return seed_cut("rgb.ras")


def jpeg2000_cut():
    return seed_cut("rgb.jp2")


def radiance_cut():
    return seed_cut("rgb.hdr")


def openexr_cut():
    return b"\x76\x2f\x31\x01\x02\0\0\0channels\0chlist\0"


def gif():
    return saved(drawing().quantize(8), "GIF")


def heic():
    return b"\0\0\0\x18ftypheic" + bytes(40)


def pdf():
    return b"%PDF-1.4\n" + bytes(40)


def archive():
    return b"PK\3\4" + bytes(40)


def noise():
    """Bytes that begin like nothing that is known."""
    return bytes((i * 73 + 41) % 256 for i in range(400))


def good_png():
    return saved(drawing(), "PNG")


def good_jpeg():
    return jpeg()
