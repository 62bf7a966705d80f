"""The id of an event: a UUID of version 7, which begins with the time (RFC 9562, 5.7)."""

import os

from tracker import clock


def new_id() -> str:
    """An id that nobody else has given, for what is written down now."""
    clock.must_be_sound()  # there is no such id of before 1970
    return uuid7(clock.nanoseconds() // 1_000_000, os.urandom(10))


def uuid7(unix_ms: int, chance: bytes) -> str:
    """The id of a moment, of 80 bits of chance; six of them give way to what every UUID says.

    Source:
        RFC 9562 (2024), section 5.7: 48 bits of time, version 7, 12 bits, variant 2, 62 bits.
    """
    drawn = int.from_bytes(chance) & ~(0xF << 76 | 0x3 << 62)
    text = f"{unix_ms << 80 | 0x7 << 76 | 0x2 << 62 | drawn:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
