"""A small FIT file as the protocol describes it: header, one definition, records, checksum."""

import struct

from garage.calc.track.track import Track
from tests.logs.made import START

_EPOCH = 631065600
_CRC = (
    0x0000, 0xCC01, 0xD801, 0x1400, 0xF001, 0x3C00, 0x2800, 0xE401,
    0xA001, 0x6C00, 0x7800, 0xB401, 0x5000, 0x9C01, 0x8801, 0x4400,
)  # fmt: skip


def _crc(content: bytes) -> int:
    total = 0
    for byte in content:
        for half in (byte & 0xF, byte >> 4):
            total = ((total >> 4) & 0x0FFF) ^ _CRC[total & 0xF] ^ _CRC[half]
    return total


def fit_file(track: Track) -> bytes:
    """Records with timestamp (253), place (0, 1) and enhanced speed (73)."""
    fields = ((253, 4, 0x86), (0, 4, 0x85), (1, 4, 0x85), (73, 4, 0x86))
    body = struct.pack("<BBBHB", 0x40, 0, 0, 20, len(fields)) + b"".join(struct.pack("BBB", *one) for one in fields)
    for index in range(len(track)):
        body += struct.pack(
            "<BIiiI",
            0,
            int(START + track.time_s[index]) - _EPOCH,
            round(track.lat_deg[index] * 2**31 / 180),
            round(track.lon_deg[index] * 2**31 / 180),
            round(track.speed_ms[index] * 1000),
        )
    head = struct.pack("<BBHI4s", 14, 0x20, 2132, len(body), b".FIT")
    head += struct.pack("<H", _crc(head))
    return head + body + struct.pack("<H", _crc(head + body))
