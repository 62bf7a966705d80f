"""Amounts as they are said."""


def ml(volume_ml: float, written: str | None = None) -> str:
    """Millilitres, with what was written where that was another unit."""
    text = f"{volume_ml:.1f}".removesuffix(".0") + " ml"
    if written is None or "ml" in written.replace(" ", "").lower():
        return text
    return f"{text} ({written})"
