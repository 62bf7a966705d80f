"""Handling notes of plants that are widely used and not poisonous in the usual sense.

Columns: Latin binomial, note.

Source: standard herbals and monographs, from memory. General information and no advice; to be
checked by a licensed practitioner.
"""

from typing import Final

# fmt: off
CARE: Final[tuple[tuple[str, str], ...]] = (
    ("Hypericum perforatum",
     ("speeds the breakdown of many medicines (contraceptives; anticoagulants; "
     "transplant and HIV medicines): ask a pharmacist; light sensitivity")),
    ("Glycyrrhiza glabra", "long use can raise blood pressure and lower potassium"),
    ("Verbascum thapsus",
     ("fine leaf and flower hairs irritate the throat: filter twice through a fine "
     "filter; seeds are not used")),
    ("Urtica dioica", "stinging hairs when fresh: gloves"),
    ("Artemisia absinthium", "thujone: short use; not in pregnancy"),
    ("Salvia officinalis", "thujone in strong spirit extracts: short use; not in pregnancy"),
    ("Tanacetum parthenium", "Asteraceae allergy; not in pregnancy"),
    ("Achillea millefolium", "Asteraceae allergy"),
    ("Matricaria chamomilla", "Asteraceae allergy"),
    ("Calendula officinalis", "Asteraceae allergy"),
    ("Echinacea purpurea", "Asteraceae allergy; autoimmune conditions: ask first"),
    ("Arnica montana", "external use only; not on broken skin"),
    ("Actaea racemosa", "rare liver injury reported: stop at signs of it"),
    ("Valeriana officinalis", "drowsiness: no driving"),
    ("Passiflora incarnata", "drowsiness: no driving"),
    ("Humulus lupulus", "drowsiness: no driving"),
    ("Ginkgo biloba", "bleeding risk with blood thinners; seeds are poisonous"),
    ("Allium sativum", "bleeding risk with blood thinners"),
    ("Crataegus monogyna", "with heart medicines: ask first"),
    ("Panax ginseng", "with blood thinners or diabetes medicines: ask first"),
    ("Withania somnifera", "thyroid; pregnancy; rare liver injury reported"),
    ("Curcuma longa", "gallstones; rare liver injury with concentrated extracts"),
    ("Juniperus communis", "kidney disease; not in pregnancy"),
    ("Sambucus nigra", "raw or unripe berries and leaves cause vomiting"),
    ("Salix alba", "aspirin allergy; children with fever"),
    ("Filipendula ulmaria", "aspirin allergy"),
    ("Cinnamomum verum", "skin irritation from the concentrated extract"),
    ("Zanthoxylum americanum", "not in pregnancy"),
    ("Hydrastis canadensis", "not in pregnancy; threatened in the wild: cultivated source"),
    ("Serenoa repens", "gut upset; see a doctor for prostate symptoms first"),
    ("Vitex agnus-castus", "with hormonal medicines: ask first"),
    ("Harpagophytum procumbens", "stomach ulcer; gallstones"),
    ("Usnea barbata", "usnic acid: liver; external or short use only"),
)
# fmt: on
