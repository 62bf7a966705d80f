"""Numbers with as many digits as a person can use."""


def few_digits(value: float) -> str:
    """Three digits where they are needed, never a nought behind the point: `118`, `12.5`, `0.75`.

    What is whole stays whole: `1405`.
    """
    size = abs(value)
    digits = 0 if size >= 99.95 else 1 if size >= 9.995 else 2
    return trimmed(value, digits)


def trimmed(value: float, digits: int = 1) -> str:
    """A number to so many digits behind the point, without noughts at its end."""
    text = f"{round(value, digits) + 0.0:.{digits}f}"
    return text.rstrip("0").rstrip(".") if digits else text
