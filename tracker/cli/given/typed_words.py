"""The words given to a recording verb, without what a copied page leaves unseen in them."""

from collections.abc import Mapping

import msgspec

from tracker.core.values.text import is_plain, shown, without_strays

# They name what is in the book, which may come from elsewhere: found to the letter or not at all.
_IN_THE_BOOK = {"code", "codes", "like", "lot", "source", "parts", "event", "other"}
_MOST_LETTERS = 60


class TypedWords(msgspec.Struct):
    """Reads what was typed, and keeps a remark for each word it read in another way."""

    remarks: list[str] = []

    def text(self, typed: str) -> str:
        """The text without soft hyphens and the like, where nothing else in it is unseen.

        With anything else unseen in it, it stays as it is, for the gate to refuse by name.
        """
        if is_plain(typed):
            return typed
        read = without_strays(typed)
        if not is_plain(read) or not read.strip():
            return typed
        self.remarks.append(left_out(read))
        return read

    def arguments(self, given: Mapping[str, object]) -> dict[str, object]:
        """The arguments of a verb, each read so, but for those that name what is in the book."""
        return {
            name: value if name in _IN_THE_BOOK else self._argument(value)
            for name, value in given.items()
        }

    def _argument(self, value: object) -> object:
        if isinstance(value, list):
            return [self._argument(one) for one in value]
        return self.text(value) if isinstance(value, str) else value


def left_out(read: str) -> str:
    """What a person is told of a word that was read without its unseen signs."""
    start = read if len(read) <= _MOST_LETTERS else f"{read[:_MOST_LETTERS]}…"
    return f"{shown(start)}: what cannot be seen in it, such as soft hyphens, is left out."
