"""What headings of growers' sheets say, in six languages: traits, units, months, totals.

A heading is compared by its plain words: without capitals, accents, signs, bracketed notes and its unit. A phrase
stands here because sheets of that language use it (common practice, no source); one that two meanings could claim
stands under neither, so that it is asked about.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from functools import lru_cache
from typing import Literal

Kind = Literal["measurements", "picks", "air"]

_DAY = """date; day; date measured; date of measurement; measured on; measuring date; recording date; sampling date;
observation date; visit; visit date; week of; datum; meetdatum; dag; tag; messdatum; messtag; erhebungsdatum; jour;
date de mesure; date du releve; date releve; fecha; fecha de medicion; dia; data; giorno; data misura; data rilievo;
data di misurazione"""
_CLOCK = """time; hour; clock; time of day; local time; hh mm; tijd; uur; tijdstip; zeit; uhrzeit; stunde; uhr; heure;
hora; ora; orario"""
_WEEK = """week; wk; week no; week nr; week number; iso week; calendar week; weeknummer; weeknr; kw; kalenderwoche; woche;
semaine; sem; no semaine; numero de semaine; semana; numero de semana; settimana; numero settimana"""
_YEAR = "year; jaar; jahr; annee; ano; anno"

_MEASUREMENTS: dict[str, str] = {
    "day": _DAY + "; time; timestamp; date time; datetime",
    "clock": _CLOCK,
    "week": _WEEK,
    "year": _YEAR,
    "label": """label; plant; plants; stem; leader; plant id; plant no; plant nr; plant number; plant code; plant name;
        plant label; plantid; plantno; stem no; stem number; stem id; head; no; nr; number; id; place; sample; sample no;
        tag no; marked plant; plantnummer; plant nummer; stengel; stengelnummer; plaats; kop; nummer; pflanze; pflanzen nr;
        pflanze nr; pflanzennummer; pflanzen nummer; trieb; trieb nr; triebnummer; stamm; platz; plante; no plante;
        numero plante; numero de plante; plante no; tige; numero de tige; planta; no planta; numero de planta; tallo;
        numero de tallo; pianta; n pianta; numero pianta; numero di pianta; fusto; stelo; pianta n""",
    "cultivar": """cultivar; variety; var; line; cultivar name; variety name; ras; rassen; soort; sorte; sortenname; variete;
        cultivar variete; variedad; cultivar variedad; varieta; varieta cultivar""",
    "row": """row; row no; row number; block; bed; bay; plot; rep; replicate; rij; rijnummer; blok; bed nr; reihe;
        reihen nr; reihennummer; beet; rang; rangee; bloc; ligne; fila; hilera; bloque; linea; fila no; blocco; aiuola; filare""",
    "length": """stem length; stem growth; stem elong; stem elongation; growth; weekly growth; growth per week; length growth;
        growth since last; increase; stem increase; length increase; increment; elongation; length; vine length; shoot length;
        new growth; stengellengte; lengte; lengtegroei; groei; groei per week; weekgroei; scheutlengte; lengtetoename;
        triebzuwachs; zuwachs; laengenzuwachs; langenzuwachs; langenwachstum; wochenzuwachs; trieblange; trieblaenge; lange; laenge;
        stangellange; stengellange; stammlange; sprosslange; wachstum; croissance; accroissement; allongement; longueur;
        longueur de tige; longueur tige; longueur de la tige; croissance hebdomadaire; pousse; crecimiento; longitud;
        longitud del tallo; longitud de tallo; longitud tallo; crecimiento semanal; incremento; crescita; accrescimento;
        lunghezza; lunghezza fusto; lunghezza del fusto; lunghezza stelo; lunghezza dello stelo; crescita settimanale""",
    "total": """crop height; total length; total stem length; height; plant height; stem height; whole length; cumulative length;
        cum length; cumulative stem length; cumulative growth; length so far; planthoogte; gewashoogte; hoogte; totale lengte;
        pflanzenhohe; pflanzenhoehe; hohe; hoehe; wuchshohe; gesamtlange; gesamtlaenge; hauteur; hauteur de plante;
        hauteur plante; hauteur de la plante; longueur totale; altura; altura de planta; altura planta; longitud total; altezza;
        altezza pianta; altezza della pianta; lunghezza totale""",
    "diameter": """stem diameter; stem thick; stem thickness; head thickness; diameter; thickness; stengeldikte; kopdikte;
        dikte; diktemaat; stengeldiameter; stangeldurchmesser; stengeldurchmesser; stammdurchmesser; triebdurchmesser;
        durchmesser; stengeldicke; diametre; diametre de tige; diametre tige; diametre de la tige; epaisseur; diametro;
        diametro del tallo; diametro tallo; grosor; grosor del tallo; diametro fusto; diametro del fusto; diametro stelo; spessore""",
    "flowering": """number of flowering trusses; flowering truss; flowering trusses; flowering truss no; flowering truss number;
        truss in flower; trusses in flower; highest flowering truss; open truss; cum trusses; cumulative trusses; cum truss;
        trusses; truss; truss number; truss no; trusses set; new trusses; bloeiende tros; bloeiende trossen; tros; trossen;
        bloeitros; trosnummer; bluhende traube; bluhende rispe; bluehende rispe; bluhende trauben; bluhende rispen; rispe; rispen;
        traube; trauben; rispennummer; bouquet; bouquets; bouquet en fleur; bouquet fleuri; bouquets fleuris; grappe en fleur;
        racimo; racimos; racimo en flor; racimos en flor; ramillete; ramillete en flor; grappolo; grappoli; grappolo in fiore;
        grappoli in fiore; palco in fiore; palco; palchi; palchi fiorali""",
    "lowest": """lowest truss; lowest unpicked truss; lowest truss not picked; harvest truss; truss in harvest; picking truss;
        oogsttros; onderste tros; tros in oogst; unterste rispe; unterste traube; ernterispe; erntetraube;
        bouquet en recolte; premier bouquet; racimo en cosecha; racimo mas bajo; grappolo in raccolta; grappolo piu basso""",
    "leaves": """remaining leaves; leaves left; leaves on stem; leaves; leaf number; number of leaves; leaf count; bladeren;
        aantal bladeren; blad; blatter; blaetter; blattzahl; anzahl blatter; feuilles; nombre de feuilles; hojas;
        numero de hojas; foglie; numero foglie; numero di foglie""",
    "tip": """tip under wire; tip below wire; head under wire; head below wire; top under wire; kop onder draad;
        kop onder de draad; kopf unter draht; kopf unter dem draht; tete sous le fil; apice bajo el alambre; apice sotto filo""",
}
_PICKS: dict[str, str] = {
    "day": _DAY + "; picked on; pick date; picking date; harvest date; harvested; harvest day; time; oogstdatum; plukdatum; "
    "erntedatum; erntetag; date de recolte; date recolte; fecha de cosecha; fecha cosecha; data raccolta; data di raccolta",
    "clock": _CLOCK,
    "week": _WEEK,
    "year": _YEAR,
    "cultivar": _MEASUREMENTS["cultivar"] + "; kind; crop; type; gewas; kultur; culture; cultivo; tipo; coltura; product",
    "row": _MEASUREMENTS["row"] + "; about; where; tunnel; place; house; compartment; location; label; plant; tunnel no; kas; "
    "afdeling; plaats; haus; abteil; ort; serre; lieu; invernadero; tunel; lugar; serra; luogo",
    "kg": """kg; weight; weight kg; total weight; total yield; yield; mass; harvest; harvest weight; picked; picked weight;
        harvested weight; yield weight; fruit weight total; net weight; gewicht; oogst; oogstgewicht; opbrengst; kilo; kilos; ernte; ertrag;
        erntemenge; erntegewicht; poids; recolte; rendement; poids total; peso; cosecha; rendimiento; peso total; produccion;
        raccolto; resa; peso totale; produzione; raccolta; total""",
    "count": """count; fruits; number of fruits; fruit count; no of fruits; pieces; number of fruit; fruit number; aantal;
        aantal vruchten; stuks; vruchten; anzahl; anzahl fruchte; fruchte; stuck; stueck; fruchtzahl; nombre; nombre de fruits;
        pieces fruits; numero de frutos; frutos; piezas; numero frutti; frutti; numero di frutti; pezzi""",
    "grade": """grade; class; quality; klasse; kwaliteit; sortering; qualitat; qualitaet; handelsklasse; gute; categorie; classe;
        qualite; calibre; categoria; clase; calidad; qualita; classe qualita""",
}
_AIR: dict[str, str] = {
    "time": _DAY + "; time; timestamp; date time; datetime; date and time; recorded; logged at; time stamp; datum tijd; "
    "datum en tijd; datum zeit; datum uhrzeit; zeitstempel; zeitpunkt; date heure; date et heure; horodatage; fecha hora; fecha y hora; "
    "marca de tiempo; data ora; data e ora",
    "clock": _CLOCK,
    "temp": """t air; temperature; temp; air temperature; air temp; t; tair; celsius; inside temperature; temperature inside;
        greenhouse temperature; tunnel temperature; ambient temperature; temperatuur; luchttemperatuur; kastemperatuur; ruimtetemperatuur;
        temperatur; lufttemperatur; innentemperatur; temp innen; raumtemperatur; temperature air; temperature de l air;
        temperature interieure; temperatura; temperatura aire; temperatura del aire; temperatura interior; temperatura aria;
        temperatura dell aria; temperatura interna""",
    "rh": """rh; relative humidity; humidity; rh air; hum; relative hum; luchtvochtigheid; rv; vochtigheid;
        relatieve vochtigheid; relatieve luchtvochtigheid; luftfeuchte; luftfeuchtigkeit; feuchte; rel feuchte; relative feuchte;
        relative luftfeuchtigkeit; rel luftfeuchtigkeit; rf; humidite; humidite relative; hr; humedad; humedad relativa; umidita;
        umidita relativa; ur""",
    "min": """min; t min; tmin; min temp; temp min; minimum; minimum temperature; lowest temperature; temperature min;
        min temperature; low; minimumtemperatuur; min temperatuur; mindesttemperatur; minimaltemperatur; tiefsttemperatur; tiefstwert;
        min temperatur; temperature minimale; t mini; mini; temperatura minima; minima; temp minima; minimo; minimale""",
    "max": """max; t max; tmax; max temp; temp max; maximum; maximum temperature; highest temperature; temperature max;
        max temperature; high; maximumtemperatuur; max temperatuur; hochsttemperatur; hoechsttemperatur; maximaltemperatur; hochstwert;
        max temperatur; temperature maximale; t maxi; maxi; temperatura maxima; maxima; temp maxima; massima; temperatura massima;
        massimo; maximo; maximale""",
    "mean": """mean; t mean; tmean; average; avg; mean temp; mean temperature; average temperature; avg temp; slab mean; temp avg;
        gemiddelde; gemiddelde temperatuur; etmaaltemperatuur; etmaal; mittel; mittelwert; mitteltemperatur; tagesmittel;
        durchschnitt; durchschnittstemperatur; moyenne; temperature moyenne; t moy; media; temperatura media; temp media;
        promedio; temperatura promedio""",
}
_PHRASES: dict[Kind, dict[str, str]] = {"measurements": _MEASUREMENTS, "picks": _PICKS, "air": _AIR}

UNITS: dict[str, tuple[str, ...]] = {
    "mm": ("mm", "millimeter", "millimetre", "millimeters", "millimetres"),
    "cm": ("cm", "cms", "centimeter", "centimetre", "centimeters", "centimetres", "zentimeter", "centimetros", "centimetri"),
    "m": ("m", "meter", "metre", "meters", "metres", "metros", "metri"),
    "in": ("in", "inch", "inches", "ins", '"', "″", "zoll", "pulgadas", "pollici", "pouces"),
    "ft": ("ft", "foot", "feet", "fuss"),
    "kg": ("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramm", "kilogrammes", "kilogramos"),
    "g": ("g", "gr", "gram", "grams", "gramm", "grammes", "gramos", "grammi", "gramme"),
    "lb": ("lb", "lbs", "pound", "pounds"),
    "oz": ("oz", "ounce", "ounces"),
    "C": ("°c", "ºc", "c", "degc", "deg c", "celsius", "℃", "° c", "grad c", "grad celsius", "degrees celsius"),
    "F": ("°f", "ºf", "f", "degf", "deg f", "fahrenheit", "℉", "° f", "degrees fahrenheit"),
    "%": ("%", "percent", "procent", "prozent", "pct", "% rh", "%rh", "rh%"),
}
"""Each unit by its usual sign, and how sheets write it."""
_UNIT_OF = {word: unit for unit, words in UNITS.items() for word in words}
IN_BASE: dict[str, float] = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": 0.0254, "ft": 0.3048} | {
    "kg": 1.0,
    "g": 0.001,
    "lb": 0.45359237,
    "oz": 0.45359237 / 16,
}
"""In metres and kilograms. Inch, foot and pound by the international yard and pound agreement of 1959 (NIST SP 811,
appendix B.8)."""
LENGTHS, WEIGHTS = ("mm", "cm", "m", "in", "ft"), ("kg", "g", "lb", "oz")

_MONTHS = """jan january januar janvier enero gennaio januari janv gen ene; feb february februar fevrier febrero febbraio februari fev
fevr; mar march marz maerz mars marzo maart mrt mrz; apr april avril abril aprile avr abr; may mai mayo maggio mei mag;
jun june juni juin junio giugno giu; jul july juli juillet julio luglio juil lug; aug august aout agosto augustus ago;
sep sept september septembre septiembre settembre set; oct october oktober octobre octubre ottobre okt ott;
nov november novembre noviembre; dec december dezember decembre diciembre dicembre dez dic"""
MONTHS = {word: number for number, words in enumerate(_MONTHS.split(";"), 1) for word in words.split()}
"""Number of a month by its name or short name, accents taken off."""

_TOTALS = """total totals totaal totalen summe gesamt gesamtsumme total. totaux totales totale totali somme somma suma sum
average averages avg mean means gemiddelde gemiddeld gem mittel mittelwert durchschnitt moyenne promedio media subtotal
subtotaal zwischensumme sous-total sd stdev se min max minimum maximum"""
TOTALS = frozenset(_TOTALS.split())
"""A row that begins with one of these sums up the rows above it."""
PLANT_WORDS = frozenset("p pl plant plants stem leader head no nr n kop stengel pflanze trieb plante tige planta tallo pianta fusto".split())
"""Words beside the number of a plant in a heading, in all six languages."""


@lru_cache(maxsize=4096)
def plain(text: str) -> str:
    """Words without capitals, accents, signs and what stands in brackets: ``T Air (°C)`` is ``t air``."""
    bare = re.sub(r"[(\[{].*?[)\]}]", " ", text.casefold().replace("ß", "ss"))
    bare = "".join(c for c in unicodedata.normalize("NFKD", bare) if not unicodedata.combining(c))
    bare = re.sub(r"(?<=[a-z])#|#(?=\s*[a-z])|[º°]\s*[cf]?\b", " ", bare)
    return re.sub(r"[^0-9a-z\u0370-\uffff]+", " ", bare).strip()


@lru_cache(maxsize=4096)
def unit_in(heading: str) -> str:
    """The unit a heading names, in brackets or as its last word; '' where it names none."""
    folded = heading.casefold().strip()
    for inside in re.findall(r"[(\[{](.*?)[)\]}]", folded):
        for word in (inside.strip(), *re.split(r"[\s,;/]+", inside.strip())):
            if word in _UNIT_OF:
                return _UNIT_OF[word]
    last = re.search(r"(?:^|[\s_,./:-])([^\s_,./:()\[\]-]+)$", folded)
    if last and last[1] in _UNIT_OF and (last[0] != last[1] or len(last[1]) > 1 or last[1] in '%"'):
        return _UNIT_OF[last[1]]
    return ""


def unit_of(word: str) -> str:
    """The unit that a word by itself names, as in a row of units; '' where it is none."""
    return _UNIT_OF.get(word.casefold().strip().strip("()[]{}.").strip(), "")


def without_unit(heading: str) -> str:
    """The heading's plain words, and no unit behind them."""
    words = plain(heading)
    unit = unit_in(heading)
    if unit:
        for spelled in sorted(UNITS[unit], key=len, reverse=True):
            bare = plain(spelled)
            if bare and words.endswith(f" {bare}"):
                return words[: -len(bare)].strip()
    return words


@lru_cache(maxsize=4)
def _meanings(kind: Kind) -> Mapping[str, str]:
    found: dict[str, str] = {}
    for meaning, phrases in _PHRASES[kind].items():
        for phrase in phrases.split(";"):
            found.setdefault(" ".join(phrase.split()), meaning)
    return found


def names(kind: Kind) -> tuple[str, ...]:
    """What is looked for in files of that kind; ``--map`` takes these names."""
    return tuple(_PHRASES[kind])


_SAY_LITTLE = frozenset("the of de het la le el il los les van von der des di du per avg average mean gem measured in a".split())


@lru_cache(maxsize=4096)
def meaning(kind: Kind, heading: str) -> str:
    """What a heading says in files of that kind; '' where it is not known."""
    known = _meanings(kind)
    words = without_unit(heading)
    for tried in (words, plain(heading), words.replace("_", " ")):
        if tried in known:
            return known[tried]
    if kind != "air":
        short = " ".join(word for word in words.split() if word not in _SAY_LITTLE)
        if short in known:
            return known[short]
    if kind == "picks" and not words and unit_in(heading) in WEIGHTS:
        return "kg"
    squeezed = words.replace(" ", "")
    return next((said for phrase, said in known.items() if phrase.replace(" ", "") == squeezed), "") if squeezed else ""


def known_anywhere(cell: str) -> bool:
    """Whether a cell is a heading of any kind of sheet."""
    return any(meaning(kind, cell) for kind in _PHRASES)


def sums_up(cell: str) -> bool:
    """Whether a row that begins with the cell sums up the rows above it."""
    words = plain(cell).split()
    return bool(words) and words[0] in TOTALS and not any(word.isdigit() for word in words)
