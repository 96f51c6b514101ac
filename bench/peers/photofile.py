"""Writing photos: PNG of 8 or 16 bits, JPEG with EXIF (by ImageMagick)."""

from __future__ import annotations

import shutil
import struct
import subprocess
import zlib
from fractions import Fraction
from pathlib import Path

import numpy as np


def encode_srgb(linear: np.ndarray) -> np.ndarray:
    """Linear light 0 to 1 to sRGB values 0 to 1 (IEC 61966-2-1)."""
    return np.where(linear <= 0.0031308, 12.92 * linear,
                    1.055 * np.maximum(linear, 0.0031308) ** (1 / 2.4) - 0.055)


def write_png(path: Path, pixels: np.ndarray) -> None:
    """Rows x columns x 3 of uint8 or uint16 to a PNG."""
    height, width, _ = pixels.shape
    bits = pixels.dtype.itemsize * 8
    rows = pixels.astype(pixels.dtype.newbyteorder(">")).reshape(height, -1)
    lines = np.zeros((height, 1 + rows.view(np.uint8).shape[1]), np.uint8)
    lines[:, 1:] = rows.view(np.uint8)
    header = struct.pack(">IIBBBBB", width, height, bits, 2, 0, 0, 0)
    with open(path, "wb") as file:
        file.write(b"\x89PNG\r\n\x1a\n")
        for name, body in ((b"IHDR", header),
                           (b"IDAT", zlib.compress(lines.tobytes(), 4)),
                           (b"IEND", b"")):
            file.write(struct.pack(">I", len(body)) + name + body
                       + struct.pack(">I", zlib.crc32(name + body)))


def write_jpeg(path: Path, pixels: np.ndarray, quality: int, chroma: str,
               exif: bytes) -> None:
    """Rows x columns x 3 of uint8 to a JPEG; exif is a whole APP1 segment."""
    program = shutil.which("convert")
    if program is None:
        raise RuntimeError("JPEG needs ImageMagick's convert (Debian: imagemagick)")
    height, width, _ = pixels.shape
    done = subprocess.run(
        [program, "ppm:-", "-quality", str(quality), "-sampling-factor", chroma, "jpg:-"],
        input=b"P6\n%d %d\n255\n" % (width, height) + pixels.tobytes(),
        capture_output=True, check=True)
    jpeg = done.stdout
    path.write_bytes(jpeg[:2] + exif + jpeg[2:])


def exif_segment(exposure: Fraction, iso: int, aperture: float,
                 orientation: int) -> bytes:
    """APP1 segment with orientation, exposure time (s), f-number and ISO.

    Layout: TIFF 6.0 directories as EXIF 2.3 uses them, big-endian.
    """
    short, long, rational = 3, 4, 5
    main = [(0x0112, short, orientation), (0x8769, long, None)]
    shot = [(0x829A, rational, exposure),
            (0x829D, rational, Fraction(aperture).limit_denominator(100)),
            (0x8827, short, iso)]
    main_at = 8
    shot_at = main_at + 2 + 12 * len(main) + 4
    extra_at = shot_at + 2 + 12 * len(shot) + 4
    extra = b""
    body = b""
    for entries in (main, shot):
        body += struct.pack(">H", len(entries))
        for tag, kind, value in entries:
            body += struct.pack(">HHI", tag, kind, 1)
            if kind == rational:
                body += struct.pack(">I", extra_at + len(extra))
                extra += struct.pack(">II", value.numerator, value.denominator)
            elif kind == short:
                body += struct.pack(">HH", value, 0)
            else:
                body += struct.pack(">I", shot_at)
        body += struct.pack(">I", 0)
    tiff = b"MM\x00\x2a" + struct.pack(">I", main_at) + body + extra
    content = b"Exif\x00\x00" + tiff
    return b"\xff\xe1" + struct.pack(">H", len(content) + 2) + content


def turn_for_orientation(pixels: np.ndarray, orientation: int) -> np.ndarray:
    """The stored pixels that show upright under this EXIF orientation."""
    turns = {1: 0, 3: 2, 6: 1, 8: 3}
    if orientation not in turns:
        raise ValueError(f"orientation: 1, 3, 6 or 8, got {orientation}")
    return np.ascontiguousarray(np.rot90(pixels, turns[orientation]))
