"""What the first cautions table and the handling notes lack: level, groups, corrections, names.

Source: levels and groups from memory; corrections as said beside each. `Annex 1b` is that of the
German AMVerkRV, read in the copy with amendments to 2011.
"""

from typing import Final

from tracker.core.herbs.tables.more_cautions_table import Group, Level

# Rows of the first table that are no poison in the sense of the levels.
RESTRICTED: Final = frozenset(
    {
        "Areca catechu", "Catha edulis", "Embelia ribes / E. robusta",
        "Holarrhena antidysenterica", "Mallotus philippinensis", "Pausinystalia yohimbe",
        "Punica granatum (bark)", "Ulmus rubra (U. fulva) whole/unpowdered bark",
        "Viscum album (berry)", "Piper methysticum", "Ephedra spp.", "Chelidonium majus",
        "Cinchona spp.", "Lobelia inflata", "Borago officinalis (herb)",
    }
)  # fmt: skip
HAZARDS: Final = frozenset({"Cucurbita maxima"})

# Groups of rows of the first table, beside `law` where the basis is one.
_HEART: Final[tuple[Group, ...]] = ("heart", "medicines", "pregnancy")
_LIVER: Final[tuple[Group, ...]] = ("liver", "pregnancy")
_PREGNANCY: Final[tuple[Group, ...]] = ("pregnancy",)
_ALLERGY: Final[tuple[Group, ...]] = ("allergy",)
GROUPS: Final[dict[str, tuple[Group, ...]]] = (
    dict.fromkeys(
        (
            "Apocynum cannabinum", "Erysimum canescens", "Strophanthus kombe and allied species",
            "Adonis vernalis", "Convallaria majalis", "Digitalis purpurea / D. lanata",
            "Taxus baccata", "Nerium oleander", "Aconitum napellus",
            "Veratrum viride / V. album", "Rauvolfia serpentina", "Ephedra spp.",
            "Pausinystalia yohimbe",
        ),
        _HEART,
    )
    | dict.fromkeys(
        (
            "Crotalaria berberoana", "Crotalaria spectabilis", "Senecio spp. (Jacobaea)",
            "Symphytum officinale (root and herb)", "Tussilago farfara", "Petasites hybridus",
            "Borago officinalis (herb)", "Heliotropium spp.",
            "Eupatorium cannabinum / Eutrochium spp.", "Teucrium chamaedrys",
            "Larrea tridentata", "Chelidonium majus", "Piper methysticum", "Mentha pulegium",
        ),
        _LIVER,
    )
    | dict.fromkeys(
        (
            "Atropa belladonna", "Datura stramonium", "Hyoscyamus niger",
            "Scopolia carniolica / S. japonica", "Duboisia leichardtii / D. myoporoides",
            "Lobelia inflata", "Cinchona spp.",
        ),
        _HEART,
    )
    | dict.fromkeys(
        (
            "Juniperus sabina", "Tanacetum vulgare", "Podophyllum peltatum",
            "Colchicum autumnale", "Bryonia dioica / B. alba", "Phytolacca americana",
            "Ulmus rubra (U. fulva) whole/unpowdered bark",
        ),
        _PREGNANCY,
    )
    | {"Toxicodendron pubescens (Rhus toxicodendron)": _ALLERGY}
    | {"Rhus radicans (Toxicodendron radicans)": _ALLERGY}
)  # fmt: skip

# Rows of the first table that Annex 1b names as well (pharmacy only): read.
ON_ANNEX_1B: Final = frozenset(
    {
        "Nerium oleander", "Laburnum anagyroides", "Cicuta virosa / C. maculata",
        "Helleborus niger", "Strychnos nux-vomica", "Rauvolfia serpentina", "Tanacetum vulgare",
        "Podophyllum peltatum", "Colchicum autumnale", "Adonis vernalis",
    }
)  # fmt: skip

# Of these it says so with limits of the alkaloids.
ON_ANNEX_1B_WITH_LIMITS: Final = frozenset(
    {"Symphytum officinale (root and herb)", "Tussilago farfara", "Petasites hybridus"}
)

# Reasons that were slips or are incomplete. From memory.
REASONS: Final = {
    "Viscum album (berry)": "listed by law; viscotoxins and lectins are chiefly in leaf and stem",
    "Helleborus niger": "saponins and irritant sap; heart glycosides mainly in other species",
    "Catha edulis": "amphetamine-like alkaloids; a controlled drug in the UK since 2014",
}

# Bases that are firmer now: all read.
BASES: Final = {
    "Senecio spp. (Jacobaea)": "UK SI 2008/548 art. 2 (in force 1 April 2008): sale, supply and "
    "import prohibited; art. 3 excepts external use",
    "Teucrium chamaedrys": "withdrawn in France 1992; Regulation (EC) 1334/2008 Annex IV Part B "
    "(as flavour, alcoholic drinks only)",
}

# What was read of rows of the first table since: part 1 of the schedule, and what `BASES` names.
HMR_PART_1_READ: Final = "listing read in the text of 1 January 2022; reason from memory"
READ: Final = frozenset({"Senecio spp. (Jacobaea)", "Aristolochia spp."})

# The right epithet is johimbe; Kew accepts Corynanthe johimbe K.Schum., with Pausinystalia
# johimbe (K.Schum.) Pierre as a synonym. The British list prints yohimbe, the German yohimba.
# Atropa is written with and without the hyphen; Kew has it with one (from memory).
MORE_SPECIES: Final[dict[str, tuple[str, ...]]] = {
    "Atropa belladonna": ("Atropa bella-donna",),
    "Pausinystalia yohimbe": (
        "Pausinystalia johimbe",
        "Corynanthe johimbe",
        "Corynanthe yohimbe",
        "Pausinystalia yohimba",
        "Corynanthe yohimba",
    ),
}

# What handling notes of widely used plants lack: from memory, but for the legal listing of
# Hypericum (Annex 1b, read).
CARE_MORE: Final = {
    "Arnica montana": "Asteraceae allergy",
    "Artemisia absinthium": "Asteraceae allergy",
    "Hypericum perforatum": "pharmacy only in Germany",
}
CARE_LEVELS: Final[dict[str, Level]] = {
    "Arnica montana": "caution",
    "Hypericum perforatum": "caution",
}
CARE_GROUPS: Final[dict[str, tuple[Group, ...]]] = {
    "Hypericum perforatum": ("medicines", "light", "law"),
    "Glycyrrhiza glabra": ("heart",),
    "Artemisia absinthium": ("pregnancy", "allergy"),
    "Salvia officinalis": ("pregnancy",),
    "Tanacetum parthenium": ("allergy", "pregnancy"),
    "Achillea millefolium": ("allergy",),
    "Matricaria chamomilla": ("allergy",),
    "Calendula officinalis": ("allergy",),
    "Echinacea purpurea": ("allergy", "medicines"),
    "Arnica montana": ("external-only", "allergy"),
    "Actaea racemosa": ("liver",),
    "Valeriana officinalis": ("drowsy",),
    "Passiflora incarnata": ("drowsy",),
    "Humulus lupulus": ("drowsy",),
    "Ginkgo biloba": ("medicines",),
    "Allium sativum": ("medicines",),
    "Crataegus monogyna": ("heart", "medicines"),
    "Panax ginseng": ("medicines",),
    "Withania somnifera": ("pregnancy", "liver"),
    "Curcuma longa": ("liver",),
    "Juniperus communis": ("pregnancy",),
    "Salix alba": ("allergy",),
    "Filipendula ulmaria": ("allergy",),
    "Zanthoxylum americanum": ("pregnancy",),
    "Hydrastis canadensis": ("pregnancy",),
    "Vitex agnus-castus": ("medicines",),
    "Usnea barbata": ("liver",),
}

# Common names of plants of `more_cautions_table` that the table of plants does not have, the
# usual one first. From memory.
MORE_NAMES: Final[dict[str, tuple[str, ...]]] = {
    "Sanguinaria canadensis": ("bloodroot",),
    "Caulophyllum thalictroides": ("blue cohosh",),
    "Acorus calamus": ("sweet flag", "calamus"),
    "Sassafras albidum": ("sassafras",),
    "Ruta graveolens": ("rue",),
    "Thuja occidentalis": ("thuja", "arbor vitae"),
    "Senna alexandrina (Cassia senna)": ("senna",),
    "Frangula purshiana (Rhamnus purshiana)": ("cascara", "cascara sagrada"),
    "Frangula alnus (Rhamnus frangula)": ("alder buckthorn", "frangula"),
    "Aloe vera / A. ferox": ("aloe",),
    "Rheum palmatum / R. officinale": ("rhubarb", "Turkey rhubarb", "Chinese rhubarb"),
    "Rhamnus cathartica": ("buckthorn",),
    "Drimia maritima (Urginea maritima)": ("squill",),
    "Nicotiana tabacum / N. rustica": ("tobacco",),
    "Papaver somniferum": ("opium poppy",),
    "Cannabis sativa": ("cannabis", "hemp", "marijuana"),
    "Mitragyna speciosa": ("kratom",),
    "Brugmansia spp.": ("angel's trumpet",),
    "Mandragora officinarum": ("mandrake",),
    "Cytisus scoparius": ("broom", "Scotch broom"),
    "Pulsatilla vulgaris / P. pratensis": ("pasqueflower",),
    "Catharanthus roseus": ("Madagascar periwinkle",),
    "Vinca minor": ("periwinkle", "lesser periwinkle"),
    "Carapichea ipecacuanha (Cephaelis ipecacuanha)": ("ipecac", "ipecacuanha"),
    "Reynoutria multiflora (Polygonum multiflorum)": ("fo-ti", "he shou wu"),
    "Illicium anisatum": ("Japanese star anise",),
    "Illicium verum": ("star anise",),
    "Daphne mezereum": ("mezereon",),
    "Croton tiglium": ("croton",),
    "Gloriosa superba": ("glory lily",),
    "Citrullus colocynthis": ("colocynth",),
    "Ipomoea purga / Convolvulus scammonia": ("jalap", "scammony"),
    "Solanum dulcamara": ("bittersweet", "bittersweet nightshade"),
    "Lactuca virosa": ("wild lettuce",),
    "Physostigma venenosum": ("Calabar bean",),
    "Pilocarpus spp.": ("jaborandi",),
    "Strychnos ignatii": ("St Ignatius bean",),
    "Prunus armeniaca / P. dulcis": ("apricot kernel", "bitter almond"),
    "Lobelia spp.": ("lobelia",),
    "Cynoglossum spp.": ("hound's tongue",),
    "Echium spp.": ("viper's bugloss",),
    "Lithospermum officinale": ("gromwell",),
    "Alkanna tinctoria": ("alkanet",),
    "Anchusa officinalis": ("bugloss",),
    "Pulmonaria officinalis": ("lungwort",),
    "Eupatorium perfoliatum": ("boneset",),
    "Packera aurea (Senecio aureus)": ("life root", "golden ragwort"),
    "Ageratina altissima (Eupatorium rugosum)": ("white snakeroot",),
    "Hedeoma pulegioides": ("American pennyroyal",),
    "Akebia quinata / A. trifoliata": ("akebia",),
    "Viscum album": ("mistletoe",),
    "Cinnamomum cassia (Cinnamomum aromaticum)": ("cassia", "cassia cinnamon"),
    "Angelica sinensis": ("dong quai",),
    "Salvia miltiorrhiza": ("red sage", "dan shen"),
    "Melilotus officinalis": ("melilot", "yellow sweet clover"),
    "Gaultheria procumbens": ("wintergreen",),
    "Betula lenta": ("sweet birch",),
    "Peumus boldus": ("boldo",),
    "Azadirachta indica": ("neem",),
    "Prunus serotina": ("wild cherry",),
    "Fucus vesiculosus": ("bladderwrack",),
    "Berberis aquifolium (Mahonia aquifolium)": ("Oregon grape",),
    "Coptis chinensis / C. trifolia": ("goldthread",),
    "Arctostaphylos uva-ursi": ("bearberry", "uva ursi"),
}

# Rows of the further table that hold for their part alone; of all others the part is the one in
# use, and nothing says that another part of the plant is harmless. From memory, but for
# Sassafras (21 CFR 172.510: the leaves are used safrole free).
OF_THEIR_PART: Final = frozenset(
    {
        "Rheum palmatum / R. officinale", "Viscum album", "Prunus armeniaca / P. dulcis",
        "Sassafras albidum", "Cannabis sativa",
    }
)  # fmt: skip
