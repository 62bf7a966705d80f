"""Which herbs fall under a row of the cautions table, and which only look like one.

The table is `data/cautions.csv`; plants named here that are in no table are real ones, from
memory.
"""

import pytest

from tests.core.herbs.published import rows
from tracker.core.herbs.poisons import match, matches

CAUTIONS = rows("cautions.csv")
MORE = [row for row in rows("cautions_more.csv") if "(family)" not in row["latin"]]
PLANTS = rows("plants.csv")


def alarm(herb: str, part: str | None = None, common: str | None = None) -> tuple[str, str] | None:
    """How surely a herb is which row."""
    found = match(herb, part, common)
    return (found.surely, found.row.latin) if found else None


def species_of(latin: str) -> list[str]:
    """The names a row gives, each genus written out; one species where it says spp."""
    bare = latin.replace(")", "").replace(" and allied species", "").split(" whole")[0]
    found: list[str] = []
    for one in bare.replace(" (", " / ").split(" / "):
        genus, *rest = one.split()
        if genus in ("bark", "berry", "seed", "herb", "root") or not one:
            continue
        if not rest:
            rest = [found[0].split()[1]]
        if genus.endswith("."):
            genus = found[0].split()[0]
        found.append(f"{genus} {'communis' if rest[0] == 'spp.' else rest[0]}")
    return found


NAMED = [(name, row) for row in CAUTIONS for name in species_of(row["latin_name"])]


@pytest.mark.parametrize(("name", "row"), NAMED, ids=[name for name, _ in NAMED])
def test_every_listed_species_is_known_by_its_latin_names(name, row):
    for typed in (name, name.upper(), name.lower(), f"{name} L."):
        assert alarm(typed) == ("named", row["latin_name"])


@pytest.mark.parametrize("row", CAUTIONS, ids=lambda row: row["common_name"])
def test_every_listed_plant_is_known_by_its_common_names(row):
    for common in row["common_name"].partition(" (")[0].split("/"):
        surely, latin = alarm(f"dried {common.strip()}")
        same = [one["latin_name"] for one in CAUTIONS if one["common_name"] == row["common_name"]]
        same += ["Lobelia spp."]  # the genus has its row as well

        assert surely == "named"
        assert latin in same


LONG = [(name, row) for name, row in NAMED if min(map(len, name.split())) > 4]


@pytest.mark.parametrize(("name", "row"), LONG, ids=[name for name, _ in LONG])
def test_a_letter_too_few_or_two_swapped_still_alarm(name, row):
    genus, epithet = name.split()
    slips = [f"{genus} {epithet[:2]}{epithet[3:]}", f"{genus[:-3]}{genus[-2:]} {epithet}"]
    slips += [f"{genus} {epithet[:-3]}{epithet[-2]}{epithet[-3]}{epithet[-1]}"]

    for typed in slips:
        assert alarm(typed) is not None, typed


@pytest.mark.parametrize(
    ("typed", "latin"),
    [
        ("Digitalis pupurea", "Digitalis purpurea / D. lanata"),
        ("Dijitalis purpurea", "Digitalis purpurea / D. lanata"),
        ("Digitallis", "Digitalis purpurea / D. lanata"),
        ("D. purpurea", "Digitalis purpurea / D. lanata"),
        ("Digitalis", "Digitalis purpurea / D. lanata"),
        ("digitalis leaf", "Digitalis purpurea / D. lanata"),
        ("Atropa beladonna", "Atropa belladonna"),
        ("belladonna leaf", "Atropa belladonna"),
        ("deadly nightshde", "Atropa belladonna"),
        ("Aconitum napelus", "Aconitum napellus"),
        ("Hyosciamus niger", "Hyoscyamus niger"),
        ("Symphytum officinalis", "Symphytum officinale (root and herb)"),
        ("Russian comfrey", "Symphytum officinale (root and herb)"),
        ("Tanacetum vulgaris", "Tanacetum vulgare"),
        ("Rauwolfia serpentina", "Rauvolfia serpentina"),
        ("Aristolocia clematitis", "Aristolochia spp."),
        ("English yew", "Taxus baccata"),
    ],
)
def test_a_slip_or_half_a_name_may_be_the_poisonous_plant(typed, latin):
    assert alarm(typed) == ("perhaps", latin)


@pytest.mark.parametrize(
    ("typed", "latin"),
    [
        ("Aconitum carmichaelii", "Aconitum napellus"),
        ("Datura metel", "Datura stramonium"),
        ("Taxus brevifolia", "Taxus baccata"),
        ("Symphytum × uplandicum", "Symphytum officinale (root and herb)"),
        # rows that name several species are mistrusted as a genus
        ("Digitalis lutea", "Digitalis purpurea / D. lanata"),
        ("Asarum caudatum", "Asarum europaeum / A. canadense"),
        ("Veratrum californicum", "Veratrum viride / V. album"),
    ],
)
def test_another_species_of_a_poisonous_genus_is_akin(typed, latin):
    assert alarm(typed) == ("akin", latin)


@pytest.mark.parametrize(
    ("typed", "latin"),
    [
        ("Ephedra sinica", "Ephedra spp."),
        ("Senecio vulgaris", "Senecio spp. (Jacobaea)"),
        ("Jacobaea vulgaris", "Senecio spp. (Jacobaea)"),
        ("Aristolochia", "Aristolochia spp."),
        ("Strophanthus gratus", "Strophanthus kombe and allied species"),
        ("Eutrochium purpureum", "Eupatorium cannabinum / Eutrochium spp."),
        ("Phytolacca decandra", "Phytolacca americana"),
        ("aconite root", "Aconitum napellus"),
        ("fox glove", "Digitalis purpurea / D. lanata"),
        ("colt’s-foot leaves", "Tussilago farfara"),
        ("nux vomica", "Strychnos nux-vomica"),
        ("yarrow and Digitalis purpurea", "Digitalis purpurea / D. lanata"),
    ],
)
def test_a_genus_listed_whole_and_other_names_are_known(typed, latin):
    assert alarm(typed) == ("named", latin)


@pytest.mark.parametrize(
    ("herb", "part", "is_listed"),
    [
        ("Punica granatum", "bark", True),
        ("Punica granatum", "root bark", True),
        ("Punica granatum", None, True),
        ("Punica granatum", "rind", False),
        ("Punica granatum fruit", None, False),
        ("pomegranate seed", None, False),
        ("Viscum album", "berry", True),
        ("Viscum album", "herb", True),
        ("Viscum album", "root", False),
        ("mistletoe", None, True),
        ("Ricinus communis", "seed", True),
        ("Ricinus communis", "leaf", False),
        ("Borago officinalis", "leaf", True),
        ("Borago officinalis", "flower", True),
        ("borage seed", None, False),
        ("Symphytum officinale", "leaf", True),
        ("Symphytum officinale", "root", True),
        ("Viscum alba", "berry", True),
        ("Viscum alba", "herb", True),
        ("Viscum alba", "root", False),
        ("Rheum palmatum", "root", True),
        ("Cannabis sativa", "seed", False),
        ("Sassafras albidum", "leaf", False),
        ("bitter almond kernel", None, True),
        ("Digitalis purpurea", "seed", True),
    ],
)
def test_a_row_limited_to_a_part_holds_for_it_and_where_the_part_is_unknown(herb, part, is_listed):
    assert (alarm(herb, part) is not None) is is_listed


@pytest.mark.parametrize("row", PLANTS, ids=lambda row: row["latin_binomial"])
def test_a_plant_of_the_names_table_alarms_only_if_it_is_listed_itself(row):
    """A false alarm teaches to pass over the true one."""
    latin = row["latin_binomial"]
    names = [latin, row["common_name"].partition(" (")[0]]
    names += [row["common_synonym"]] if row["common_synonym"] else []
    grave = {name for one in MORE if one["level"] != "care" for name in species_of(one["latin"])}

    assert latin not in {name for name, _ in NAMED}
    for name in names:
        for part in (None, *row["parts_used"].split(", ")):
            assert (alarm(name, part) is not None) is (latin in grave), (name, part)
            assert latin in grave or alarm("unknown herb", part, common=name) is None


@pytest.mark.parametrize(
    ("genus", "latin"),
    [
        ("Artemisia", "Artemisia cina"),  # before mugwort and wormwood, which are milder
        ("Juniperus", "Juniperus sabina"),
        ("Mentha leaf", "Mentha pulegium"),
        ("Tanacetum", "Tanacetum vulgare"),
        ("Rhamnus", "Frangula purshiana (Rhamnus purshiana)"),
        ("Datura", "Datura stramonium"),
        ("Calendula", None),
        ("Rosa", None),
    ],
)
def test_a_genus_alone_may_be_the_gravest_of_its_species(genus, latin):
    assert alarm(genus) == (latin and ("perhaps", latin))


GRAVE = [
    (name, row["latin"], row["part"])
    for row in MORE
    if row["level"] != "care"
    for name in species_of(row["latin"])
]


@pytest.mark.parametrize(("name", "latin", "part"), GRAVE, ids=[one[0] for one in GRAVE])
def test_every_further_plant_is_known_by_its_latin_names(name, latin, part):
    for typed in (name, name.upper(), f"{name} L."):
        found = [(one.surely, one.row.latin) for one in matches(typed, part)]
        assert ("named", latin) in found, typed


@pytest.mark.parametrize(
    ("typed", "latin"),
    # Common names of these plants, from memory.
    [
        ("bloodroot", "Sanguinaria canadensis"),
        ("senna leaf", "Senna alexandrina (Cassia senna)"),
        ("cascara sagrada bark", "Frangula purshiana (Rhamnus purshiana)"),
        ("pasque flower", "Pulsatilla vulgaris / P. pratensis"),
        ("hound’s tongue", "Cynoglossum spp."),
        ("goldenseal root", "Hydrastis canadensis"),
        ("Cimicifuga racemosa", None),  # a note alone
        ("Corynanthe johimbe", "Pausinystalia yohimbe"),
        ("Pausinystalia johimbe", "Pausinystalia yohimbe"),
        ("yohimbe", "Pausinystalia yohimbe"),
    ],
)
def test_further_plants_are_known_by_common_and_old_names(typed, latin):
    assert alarm(typed) == (latin and ("named", latin))


def test_the_levels_are_four_and_a_poison_comes_first():
    assert {row["level"] for row in MORE} == {"poison", "restricted", "caution", "care"}
    assert [one.row.level for one in matches("Rheum palmatum")] == ["poison", "restricted"]
    assert [one.row.level for one in matches("Viscum album")] == ["restricted", "caution"]


def test_a_row_of_the_species_is_said_without_that_of_its_genus():
    assert [one.row.latin for one in matches("Lobelia inflata")] == ["Lobelia inflata"]
    assert [one.row.latin for one in matches("Lobelia siphilitica")] == ["Lobelia spp."]
    assert [one.row.latin for one in matches("Senecio aureus")] == [
        "Packera aurea (Senecio aureus)"
    ]


def test_of_the_moisture_table_borage_leaf_and_squill_alone_alarm():
    found = {
        (row["latin_name"], row["part"])
        for row in rows("moisture_fresh.csv")
        if alarm(row["latin_name"].partition(" (")[0].partition("/")[0], row["part"])
        or alarm(row["english_name"], row["part"])
    }

    assert found == {
        ("Borago officinalis", "leaf"),
        ("Drimia maritima (Urginea scilla)", "fresh bulb"),
    }


@pytest.mark.parametrize(
    "typed",
    """
    Convolvulus arvensis; Digitaria sanguinalis; Digitaria; pansy; Alnus rubra;
    Geranium maculatum; Acacia catechu; Artemisia annua; Artemisia cana; Viburnum;
    Aristotelia chilensis; Epipactis helleborine; Tamus communis; lesser celandine;
    Piper nigrum; Cucurbita pepo; Rhus coriaria; Ulmus minor; Teucrium scorodonia;
    Mentha spicata; Tagetes; ginger; bayberry; butcher's broom; meadow rue;
    ground ivy; Chenopodium album; Coriandrum sativum; Tsuga canadensis; eastern hemlock;
    garden heliotrope; betel leaf;
    Passiflora edulis; Erysimum cheiri; Sisymbrium officinale; Galega officinalis;
    Lamium album; Juglans nigra; Arum maculatum;
    Primula veris; Oenanthe javanica; goat's rue; sea buckthorn; Prunus spinosa;
    Lobularia maritima; Pimpinella anisum; Salvia sclarea; Frangipani; Illicium floridanum;
    Stellaria media; Prunella vulgaris; Asclepias tuberosa; Lomatium dissectum; Larix decidua;
    fenmint; glowing tops; Verbena hastata; Tribulus terrestris; Ligusticum porteri
    """.replace("\n", " ").split(";"),
)
def test_a_harmless_plant_of_a_like_name_does_not_alarm(typed):
    assert alarm(typed.strip()) is None


def test_the_common_name_speaks_where_the_herb_says_nothing():
    assert alarm("our old friend", common="foxglove") == (
        "perhaps", "Digitalis purpurea / D. lanata",
    )  # fmt: skip
    assert alarm("Tanacetum parthenium", common="tansy") is None
    assert alarm("", common="foxglove") is None
