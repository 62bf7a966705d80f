"""Names of files that any system takes."""

import re


def slug(name: str) -> str:
    """A name as that of a file on any system; empty where nothing of it is left."""
    found = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:40]
    # Names that Windows keeps for devices, whatever follows the point.
    return f"{found}-" if re.fullmatch("con|prn|aux|nul|(com|lpt)[0-9]", found) else found
