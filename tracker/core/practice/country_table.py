"""Countries and territories with their money.

Columns: code of ISO 3166-1 alpha-2; code of ISO 4217; name.

Source: codes and English names as in iso3166.tab of the tz database, some of them shorter; money
from memory of ISO 4217 as it stood in 2025. Where nobody lives for good is left out.
"""

from typing import Final

# Unicode CLDR, territory data: paper sizes (from memory).
LETTER: Final = """
AS BZ CA CL CO CR GT GU MP MX NI PA PH PR SV US VE VI
"""

# The United States and what belongs to them: kitchens weigh in ounces and pour in fluid ounces, and
# a date in numbers has its month first (from memory).
AMERICAN: Final = "AS GU MP PR US VI"

# Where a date in numbers may have its day first or its month, or begins with the year, or is of
# another calendar (from memory); nearly everywhere else the day comes first.
UNSETTLED_DATES: Final = """
AF BZ CA CN ET FM GH HU IR JP KE KP KR KY LR LT MH MN NP PA PH PW TG TW ZA
"""

# Where a pint was 20 fluid ounces as long as there was one: the United Kingdom, Ireland and what
# is or was of the Commonwealth. From memory; everywhere else a pint is most likely American.
BRITISH: Final = """
AG AI AU BB BM BS BW BZ CA CK CY DM FJ FK GB GD GG GH GI GM GY HK IE IM IN JE JM KE KI KN KY LC
LK LS MS MT MW MY NA NG NR NU NZ PG PK PN SB SC SG SH SL SZ TC TO TT TV TZ UG VC VG VU WS ZA ZM ZW
"""

# South of the equator, or where most people live there (from memory).
SOUTH: Final = """
AO AR AU BI BO BR BW CC CD CG CK CL CX EC FJ FK ID KE KM LS MG MU MW MZ NA NC NF NR NU NZ PE PF PG
PN PY RE RW AS SB SC SH SZ TK TL TO TV TZ UY VU WF WS YT ZA ZM ZW
"""

ROWS: Final = """\
AD EUR Andorra
AE AED United Arab Emirates
AF AFN Afghanistan
AG XCD Antigua and Barbuda
AI XCD Anguilla
AL ALL Albania
AM AMD Armenia
AO AOA Angola
AR ARS Argentina
AS USD American Samoa
AT EUR Austria
AU AUD Australia
AW AWG Aruba
AX EUR Åland Islands
AZ AZN Azerbaijan
BA BAM Bosnia and Herzegovina
BB BBD Barbados
BD BDT Bangladesh
BE EUR Belgium
BF XOF Burkina Faso
BG EUR Bulgaria
BH BHD Bahrain
BI BIF Burundi
BJ XOF Benin
BL EUR Saint Barthelemy
BM BMD Bermuda
BN BND Brunei
BO BOB Bolivia
BQ USD Caribbean Netherlands
BR BRL Brazil
BS BSD Bahamas
BT BTN Bhutan
BW BWP Botswana
BY BYN Belarus
BZ BZD Belize
CA CAD Canada
CC AUD Cocos (Keeling) Islands
CD CDF DR Congo
CF XAF Central African Rep.
CG XAF Congo
CH CHF Switzerland
CI XOF Côte d'Ivoire
CK NZD Cook Islands
CL CLP Chile
CM XAF Cameroon
CN CNY China
CO COP Colombia
CR CRC Costa Rica
CU CUP Cuba
CV CVE Cape Verde
CW XCG Curaçao
CX AUD Christmas Island
CY EUR Cyprus
CZ CZK Czechia
DE EUR Germany
DJ DJF Djibouti
DK DKK Denmark
DM XCD Dominica
DO DOP Dominican Republic
DZ DZD Algeria
EC USD Ecuador
EE EUR Estonia
EG EGP Egypt
EH MAD Western Sahara
ER ERN Eritrea
ES EUR Spain
ET ETB Ethiopia
FI EUR Finland
FJ FJD Fiji
FK FKP Falkland Islands
FM USD Micronesia
FO DKK Faroe Islands
FR EUR France
GA XAF Gabon
GB GBP United Kingdom
GD XCD Grenada
GE GEL Georgia
GF EUR French Guiana
GG GBP Guernsey
GH GHS Ghana
GI GIP Gibraltar
GL DKK Greenland
GM GMD Gambia
GN GNF Guinea
GP EUR Guadeloupe
GQ XAF Equatorial Guinea
GR EUR Greece
GT GTQ Guatemala
GU USD Guam
GW XOF Guinea-Bissau
GY GYD Guyana
HK HKD Hong Kong
HN HNL Honduras
HR EUR Croatia
HT HTG Haiti
HU HUF Hungary
ID IDR Indonesia
IE EUR Ireland
IL ILS Israel
IM GBP Isle of Man
IN INR India
IQ IQD Iraq
IR IRR Iran
IS ISK Iceland
IT EUR Italy
JE GBP Jersey
JM JMD Jamaica
JO JOD Jordan
JP JPY Japan
KE KES Kenya
KG KGS Kyrgyzstan
KH KHR Cambodia
KI AUD Kiribati
KM KMF Comoros
KN XCD Saint Kitts and Nevis
KP KPW North Korea
KR KRW South Korea
KW KWD Kuwait
KY KYD Cayman Islands
KZ KZT Kazakhstan
LA LAK Laos
LB LBP Lebanon
LC XCD Saint Lucia
LI CHF Liechtenstein
LK LKR Sri Lanka
LR LRD Liberia
LS LSL Lesotho
LT EUR Lithuania
LU EUR Luxembourg
LV EUR Latvia
LY LYD Libya
MA MAD Morocco
MC EUR Monaco
MD MDL Moldova
ME EUR Montenegro
MF EUR Saint Martin
MG MGA Madagascar
MH USD Marshall Islands
MK MKD North Macedonia
ML XOF Mali
MM MMK Myanmar
MN MNT Mongolia
MO MOP Macau
MP USD Northern Mariana Islands
MQ EUR Martinique
MR MRU Mauritania
MS XCD Montserrat
MT EUR Malta
MU MUR Mauritius
MV MVR Maldives
MW MWK Malawi
MX MXN Mexico
MY MYR Malaysia
MZ MZN Mozambique
NA NAD Namibia
NC XPF New Caledonia
NE XOF Niger
NF AUD Norfolk Island
NG NGN Nigeria
NI NIO Nicaragua
NL EUR Netherlands
NO NOK Norway
NP NPR Nepal
NR AUD Nauru
NU NZD Niue
NZ NZD New Zealand
OM OMR Oman
PA PAB Panama
PE PEN Peru
PF XPF French Polynesia
PG PGK Papua New Guinea
PH PHP Philippines
PK PKR Pakistan
PL PLN Poland
PM EUR Saint Pierre and Miquelon
PN NZD Pitcairn
PR USD Puerto Rico
PS ILS Palestine
PT EUR Portugal
PW USD Palau
PY PYG Paraguay
QA QAR Qatar
RE EUR Réunion
RO RON Romania
RS RSD Serbia
RU RUB Russia
RW RWF Rwanda
SA SAR Saudi Arabia
SB SBD Solomon Islands
SC SCR Seychelles
SD SDG Sudan
SE SEK Sweden
SG SGD Singapore
SH SHP Saint Helena
SI EUR Slovenia
SJ NOK Svalbard and Jan Mayen
SK EUR Slovakia
SL SLE Sierra Leone
SM EUR San Marino
SN XOF Senegal
SO SOS Somalia
SR SRD Suriname
SS SSP South Sudan
ST STN Sao Tome and Principe
SV USD El Salvador
SX XCG Sint Maarten
SY SYP Syria
SZ SZL Eswatini (Swaziland)
TC USD Turks and Caicos Is
TD XAF Chad
TG XOF Togo
TH THB Thailand
TJ TJS Tajikistan
TK NZD Tokelau
TL USD East Timor
TM TMT Turkmenistan
TN TND Tunisia
TO TOP Tonga
TR TRY Türkiye
TT TTD Trinidad and Tobago
TV AUD Tuvalu
TW TWD Taiwan
TZ TZS Tanzania
UA UAH Ukraine
UG UGX Uganda
US USD United States
UY UYU Uruguay
UZ UZS Uzbekistan
VA EUR Vatican City
VC XCD Saint Vincent
VE VES Venezuela
VG USD British Virgin Islands
VI USD US Virgin Islands
VN VND Vietnam
VU VUV Vanuatu
WF XPF Wallis and Futuna
WS WST Samoa
YE YER Yemen
YT EUR Mayotte
ZA ZAR South Africa
ZM ZMW Zambia
ZW ZWG Zimbabwe
"""
