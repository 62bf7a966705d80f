"""The id of an event: a UUID of version 7, which begins with the time (RFC 9562, 5.7)."""

import os

from tracker import clock

# Two bits less than there are for chance, so that there is room to count on.
_CHANCE_BYTES = 9
_STEP_BITS = 32


class EventIds:
    """Ids that nobody else has given; those of one moment are in the order they were asked for."""

    def __init__(self) -> None:
        self._unix_ms, self._chance = 0, 0

    def __call__(self) -> str:
        """The next id, for what is written down now."""
        clock.must_be_sound()  # there is no such id of before 1970
        unix_ms = clock.nanoseconds() // 1_000_000
        chance = int.from_bytes(os.urandom(_CHANCE_BYTES), "big")
        if unix_ms == self._unix_ms:
            chance = self._chance + 1 + chance % (1 << _STEP_BITS)
        self._unix_ms, self._chance = unix_ms, chance
        return uuid7(unix_ms, chance)


def uuid7(unix_ms: int, chance: int) -> str:
    """The id of a moment, of 74 bits of chance.

    Source:
        RFC 9562 (2024), section 5.7: 48 bits of time, version 7, 12 bits, variant 2, 62 bits; and
        6.2, method 2, for those of one moment.
    """
    high, low = divmod(chance, 1 << 62)
    text = f"{unix_ms << 80 | 0x7 << 76 | high << 64 | 0x2 << 62 | low:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


new_id = EventIds()
