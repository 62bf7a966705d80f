"""Common names that name a part of the plant as well, and other common names of plants.

Columns: name, run together and in the singular; Latin name of the plant; its part, where the
name implies one.

Source: from memory; names that only one plant of the names table bears.
"""

from typing import Final

# fmt: off
ALSO_CALLED: Final[tuple[tuple[str, str, str | None], ...]] = (
    ("licorice", "Glycyrrhiza glabra", None),
    ("nettle", "Urtica dioica", None),
    ("mullein", "Verbascum thapsus", None),
    ("elderflower", "Sambucus nigra", "flower"),
    ("elderblossom", "Sambucus nigra", "flower"),
    ("elderberry", "Sambucus nigra", "berry"),
    ("rosehip", "Rosa canina", "hip"),
    ("hawthornberry", "Crataegus monogyna", "berry"),
    ("juniperberry", "Juniperus communis", "berry"),
    ("chasteberry", "Vitex agnus-castus", "fruit"),
    ("limeflower", "Tilia cordata", "flower"),
    ("limeblossom", "Tilia cordata", "flower"),
    ("lindenflower", "Tilia cordata", "flower"),
    ("lindenblossom", "Tilia cordata", "flower"),
    ("willowbark", "Salix alba", "bark"),
    ("crampbark", "Viburnum opulus", "bark"),
    ("cornsilk", "Zea mays", "silk"),
    ("maizesilk", "Zea mays", "silk"),
    ("oatstraw", "Avena sativa", "herb"),
    ("milkyoat", "Avena sativa", "milky seed"),
    ("dandelionroot", "Taraxacum officinale", "root"),
    ("nettleleaf", "Urtica dioica", "leaf"),
    ("nettleroot", "Urtica dioica", "root"),
    ("gingerroot", "Zingiber officinale", "rhizome"),
)
# fmt: on
