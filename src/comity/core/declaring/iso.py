"""Codes of ISO 3166, ISO 4217 and ISO 639-1 as small tables, read without any library.

Proved equal to the registries' published copies in tests/published/iso.
"""

from __future__ import annotations

from typing import Final

# ISO 3166-1: alpha-2 and alpha-3 in one word.
_COUNTRIES: Final = """
ADAND AEARE AFAFG AGATG AIAIA ALALB AMARM AOAGO AQATA ARARG ASASM ATAUT AUAUS AWABW AXALA AZAZE
BABIH BBBRB BDBGD BEBEL BFBFA BGBGR BHBHR BIBDI BJBEN BLBLM BMBMU BNBRN BOBOL BQBES BRBRA BSBHS
BTBTN BVBVT BWBWA BYBLR BZBLZ CACAN CCCCK CDCOD CFCAF CGCOG CHCHE CICIV CKCOK CLCHL CMCMR CNCHN
COCOL CRCRI CUCUB CVCPV CWCUW CXCXR CYCYP CZCZE DEDEU DJDJI DKDNK DMDMA DODOM DZDZA ECECU EEEST
EGEGY EHESH ERERI ESESP ETETH FIFIN FJFJI FKFLK FMFSM FOFRO FRFRA GAGAB GBGBR GDGRD GEGEO GFGUF
GGGGY GHGHA GIGIB GLGRL GMGMB GNGIN GPGLP GQGNQ GRGRC GSSGS GTGTM GUGUM GWGNB GYGUY HKHKG HMHMD
HNHND HRHRV HTHTI HUHUN IDIDN IEIRL ILISR IMIMN ININD IOIOT IQIRQ IRIRN ISISL ITITA JEJEY JMJAM
JOJOR JPJPN KEKEN KGKGZ KHKHM KIKIR KMCOM KNKNA KPPRK KRKOR KWKWT KYCYM KZKAZ LALAO LBLBN LCLCA
LILIE LKLKA LRLBR LSLSO LTLTU LULUX LVLVA LYLBY MAMAR MCMCO MDMDA MEMNE MFMAF MGMDG MHMHL MKMKD
MLMLI MMMMR MNMNG MOMAC MPMNP MQMTQ MRMRT MSMSR MTMLT MUMUS MVMDV MWMWI MXMEX MYMYS MZMOZ NANAM
NCNCL NENER NFNFK NGNGA NINIC NLNLD NONOR NPNPL NRNRU NUNIU NZNZL OMOMN PAPAN PEPER PFPYF PGPNG
PHPHL PKPAK PLPOL PMSPM PNPCN PRPRI PSPSE PTPRT PWPLW PYPRY QAQAT REREU ROROU RSSRB RURUS RWRWA
SASAU SBSLB SCSYC SDSDN SESWE SGSGP SHSHN SISVN SJSJM SKSVK SLSLE SMSMR SNSEN SOSOM SRSUR SSSSD
STSTP SVSLV SXSXM SYSYR SZSWZ TCTCA TDTCD TFATF TGTGO THTHA TJTJK TKTKL TLTLS TMTKM TNTUN TOTON
TRTUR TTTTO TVTUV TWTWN TZTZA UAUKR UGUGA UMUMI USUSA UYURY UZUZB VAVAT VCVCT VEVEN VGVGB VIVIR
VNVNM VUVUT WFWLF WSWSM YEYEM YTMYT ZAZAF ZMZMB ZWZWE
"""

# ISO 3166-3: formerly used names of countries; a diploma may bear one.
_WITHDRAWN: Final = """
AIDJ ANHH BQAQ BUMM BYAA CSHH CSXX CTKI DDDE DYBJ FQHH FXFR GEHH HVBF JTUM MIUM NHVU NQAQ NTHH
PCHH PUUM PZPA RHZW SKIN SUHH TPTL VDVN WKUM YDYE YUCS ZRCD
"""

# ISO 639-1.
_LANGUAGES: Final = """
aa ab ae af ak am an ar as av ay az ba be bg bi bm bn bo br bs ca ce ch co cr cs cu cv cy da de
dv dz ee el en eo es et eu fa ff fi fj fo fr fy ga gd gl gn gu gv ha he hi ho hr ht hu hy hz ia
id ie ig ii ik io is it iu ja jv ka kg ki kj kk kl km kn ko kr ks ku kv kw ky la lb lg li ln lo
lt lu lv mg mh mi mk ml mn mr ms mt my na nb nd ne ng nl nn no nr nv ny oc oj om or os pa pi pl
ps pt qu rm rn ro ru rw sa sc sd se sg sh si sk sl sm sn so sq sr ss st su sv sw ta te tg th ti
tk tl tn to tr ts tt tw ty ug uk ur uz ve vi vo wa wo xh yi yo za zh zu
"""

# ISO 4217 by number of decimal places; metals, funds and test codes that have none are left out.
_CURRENCIES: Final = {
    0: """
BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF
""",
    2: """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF
CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD
GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL
MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR
PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP
TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG YER ZAR ZMW ZWG
""",
    3: """
BHD IQD JOD KWD LYD OMR TND
""",
    4: """
CLF UYW
""",
}

COUNTRY_BY_ALPHA_3: Final = {word[2:]: word[:2] for word in _COUNTRIES.split()}
COUNTRIES: Final = frozenset(COUNTRY_BY_ALPHA_3.values())
WITHDRAWN_COUNTRIES: Final = frozenset(_WITHDRAWN.split())
LANGUAGES: Final = frozenset(_LANGUAGES.split())
CURRENCY_DECIMALS: Final = {
    code: decimals for decimals, codes in _CURRENCIES.items() for code in codes.split()
}

_USER_ASSIGNED: Final = frozenset(
    ["AA", "ZZ"]
    + [f"Q{letter}" for letter in "MNOPQRSTUVWXYZ"]
    + [f"X{letter}" for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
)


def is_country(code: str) -> bool:
    """Tell whether a code names a country of today, of the past, or one a user assigned."""
    return code in COUNTRIES or code in WITHDRAWN_COUNTRIES or code in _USER_ASSIGNED


def withdrawn_from(alpha_2: str) -> tuple[str, ...]:
    """Return the four-letter codes of countries that once had these two letters.

    Examples
    --------
    >>> withdrawn_from("CS")
    ('CSHH', 'CSXX')
    """
    return tuple(sorted(code for code in WITHDRAWN_COUNTRIES if code[:2] == alpha_2))
