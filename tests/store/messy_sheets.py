"""Sheets as growers have them, one difficulty each, and what must come of them: made up for these tests.

Every sheet of stems tells the same six readings, every sheet of picks the same three, every sheet of air the same
three days, so that a reading that is silently wrong shows. ``asks`` names the flag that the program must ask for;
``tells`` are flags with which it is then read.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, Literal

Kind = Literal["measurements", "picks", "air"]
STEMS = {("1", 0): 120, ("2", 0): 110, ("1", 1): 150, ("2", 1): 138, ("1", 2): 175, ("2", 2): 165}
"""Whole length in cm of plants 1 and 2 at three weekly visits from Mon 6 Jul 2026."""
VISITS = (date(2026, 7, 6), date(2026, 7, 13), date(2026, 7, 20))
PICKS = (
    (date(2026, 8, 3), "cherry 1", 2.5),
    (date(2026, 8, 6), "cherry 1", 1.25),
    (date(2026, 8, 6), "beef 3", 4.0),
)
AIR = {date(2026, 8, 3): (9.0, 25.0), date(2026, 8, 4): (10.5, 28.5), date(2026, 8, 5): (8.0, 21.0)}
"""Least and most of three days, degC."""


@dataclass(frozen=True)
class Sheet:
    name: str
    kind: Kind
    data: bytes
    asks: str = ""
    """The flag that answers what is open; '' where nothing is."""
    tells: Mapping[str, Any] = field(default_factory=dict)
    """What the grower then says."""
    refuses: str = ""
    """A part of the sentence with which it is refused for good."""
    file: str = "sheet.csv"


def stems(
    head: str = "Date,Plant,Stem length (cm)",
    row: Callable[[date, str, int], str] = lambda day, label, cm: f"{day},{label},{cm}",
    *,
    above: str = "",
    below: str = "",
    end: str = "\n",
) -> str:
    lines = [row(VISITS[visit], label, cm) for (label, visit), cm in STEMS.items()]
    return above + end.join([head, *lines]) + end + below


def picks(
    head: str = "Date,Cultivar,kg",
    row: Callable[[date, str, float], str] = lambda day, name, kg: f"{day},{name},{kg:g}",
) -> str:
    return "\n".join([head, *(row(*pick) for pick in PICKS)]) + "\n"


def air(
    head: str = "Date,min,max",
    row: Callable[[date, float, float], str] = lambda day, low, high: f"{day},{low:g},{high:g}",
) -> str:
    return "\n".join([head, *(row(day, *ends) for day, ends in AIR.items())]) + "\n"


def logger(head: str, row: Callable[[date, int, float], str]) -> str:
    """Hourly readings between each day's ends, the least at 5 h and the most at 15 h."""
    lines = [
        row(day, hour, low if hour == 5 else high if hour == 15 else round((low + high) / 2, 2))
        for day, (low, high) in AIR.items()
        for hour in range(24)
    ]
    return "\n".join([head, *lines]) + "\n"


def book(*sheets: tuple[str, list[Any]]) -> bytes:
    """A spreadsheet made by another library than the one that reads it."""
    from openpyxl import Workbook

    made = Workbook()
    made.remove(made.active)
    for title, rows in sheets:
        page = made.create_sheet(title)
        for row in rows:
            page.append(row)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def old_book(rows: list[list[Any]]) -> bytes:
    import xlwt

    made = xlwt.Workbook()
    page = made.add_sheet("stems")
    for n, row in enumerate(rows):
        for place, cell in enumerate(row):
            page.write(n, place, cell)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def open_book(rows: list[list[str]]) -> bytes:
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    made = OpenDocumentSpreadsheet()
    page = Table(name="stems")
    for row in rows:
        line = TableRow()
        for cell in row:
            one = TableCell(valuetype="string")
            one.addElement(P(text=cell))
            line.addElement(one)
        page.addElement(line)
    made.spreadsheet.addElement(page)
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def stem_rows(head: tuple[str, ...] = ("Date", "Plant", "Stem length (cm)")) -> list[list[Any]]:
    return [list(head), *([VISITS[visit], int(label), cm] for (label, visit), cm in STEMS.items())]


def wide(head: str, visits: Callable[[int], str], sep: str = ",", above: str = "") -> str:
    lines = [sep.join([visits(n), str(STEMS["1", n]), str(STEMS["2", n])]) for n in range(3)]
    return above + "\n".join([head, *lines]) + "\n"


def serial(day: date) -> int:
    return (day - date(1899, 12, 30)).days


def uk(day: date) -> str:
    return f"{day:%d/%m/%Y}"


def us(day: date) -> str:
    return f"{day:%m/%d/%Y}"


def _headings() -> list[Sheet]:
    heads = {
        "dutch": "Datum,Plantnummer,Stengellengte (cm)",
        "german": "Datum,Pflanzen-Nr.,Trieblänge [cm]",
        "french": "Date,N° plante,Longueur de la tige (cm)",
        "spanish": "Fecha,Número de planta,Longitud del tallo (cm)",
        "italian": "Data,Numero pianta,Lunghezza del fusto (cm)",
        "underscores": "DATE_MEASURED,plant_no,STEM_LENGTH_CM",
        "plant number": "Date,Plant number,Stem length (cm)",
        "camel and blanks": " date , Plant ID , StemLength cm ",
    }
    return [Sheet(f"heading {name}", "measurements", stems(head).encode()) for name, head in heads.items()]


def _units() -> list[Sheet]:
    inch = stems("Date,Plant,Stem length (in)", lambda day, label, cm: f"{day},{label},{cm / 2.54:.4f}")
    feet = stems("Date,Plant,Height (ft)", lambda day, label, cm: f"{day},{label},{cm / 30.48:.5f}")
    metres = stems("Date,Plant,Stem length (m)", lambda day, label, cm: f"{day},{label},{cm / 100:.2f}")
    in_cells = stems("Date,Plant,Stem length", lambda day, label, cm: f"{day},{label},{cm} cm")
    mm = stems("Date,Plant,Stem length [mm]", lambda day, label, cm: f'{day},{label},"{cm * 10:,}"')
    unit_row = stems("Date,Plant,Stem length\nyyyy-mm-dd,-,cm")
    german_mm = stems(
        "Datum;Pflanze;Trieblänge (mm)", lambda day, label, cm: f"{day};{label};{cm * 10:,}".replace(",", ".")
    )
    return [
        Sheet("inches in the heading", "measurements", inch.encode()),
        Sheet("feet in the heading", "measurements", feet.encode()),
        Sheet("metres in the heading", "measurements", metres.encode()),
        Sheet("unit in each cell", "measurements", in_cells.encode()),
        Sheet("a row of units", "measurements", unit_row.encode()),
        Sheet(
            "1,200 without a unit",
            "measurements",
            stems("Date,Plant,Stem length", lambda day, label, cm: f'{day},{label},"{cm * 10:,}"').encode(),
            "decimal",
        ),
        Sheet("thousands grouped by commas", "measurements", mm.encode()),
        Sheet("thousands grouped by points", "measurements", german_mm.encode()),
    ]


def _days() -> list[Sheet]:
    def by(form: Callable[[date], str]) -> str:
        return stems(row=lambda day, label, cm: f'"{form(day)}",{label},{cm}')

    swapped = stems(row=lambda day, label, cm: f"{day:%Y-%d-%m},{label},{cm}")
    week = stems("Week,Plant,Stem length (cm)", lambda day, label, cm: f"{day.isocalendar().week},{label},{cm}")
    iso_week = stems("Week,Plant,Stem length (cm)", lambda day, label, cm: f"{day:%G-W%V},{label},{cm}")
    year_week = stems(
        "Year,Week,Plant,Stem length (cm)",
        lambda day, label, cm: f"{day:%G},{day.isocalendar().week},{label},{cm}",
    )
    german_week = stems(
        "KW,Pflanze,Trieblänge (cm)", lambda day, label, cm: f"KW {day.isocalendar().week},{label},{cm}"
    )
    return [
        Sheet("day first with slashes", "measurements", by(uk).encode()),
        Sheet("month first with slashes", "measurements", by(us).encode()),
        Sheet("points", "measurements", by(lambda d: f"{d.day}.{d.month}.{d.year}").encode()),
        Sheet("1-Jun-26", "measurements", by(lambda d: f"{d.day}-{d:%b-%y}").encode()),
        Sheet("month names", "measurements", by(lambda d: f"{d:%B} {d.day}, {d.year}").encode()),
        Sheet("weekday before the day", "measurements", by(lambda d: f"{d:%a} {d:%d.%m.%Y}").encode()),
        Sheet("french months", "measurements", by(lambda d: f"{d.day} juillet {d.year}").encode()),
        Sheet("serial days", "measurements", by(lambda d: str(serial(d))).encode()),
        Sheet("digits only", "measurements", by(lambda d: f"{d:%Y%m%d}").encode()),
        Sheet("no year", "measurements", by(lambda d: f"{d.day} {d:%b}").encode(), "year", {"year": 2026}),
        Sheet("week numbers", "measurements", week.encode(), "year", {"year": 2026}),
        Sheet("iso weeks", "measurements", iso_week.encode()),
        Sheet("year and week", "measurements", year_week.encode()),
        Sheet("german weeks", "measurements", german_week.encode(), "year", {"year": 2026}),
        Sheet(
            "year, day, month that are no days",
            "measurements",
            swapped.encode(),
            "dates",
            {"dates": "year day month"},
        ),
    ]


def _frames() -> list[Sheet]:
    title = "Weekly plant registration\nGrower: nobody\n\n"
    return [
        Sheet("title lines", "measurements", stems(above=title).encode()),
        Sheet(
            "notes with separators above",
            "measurements",
            stems(above="House,north,,\nNote,all by one hand,,\n").encode(),
        ),
        Sheet("a total below", "measurements", stems(below="Total,,858\n").encode()),
        Sheet("a mean and blanks below", "measurements", stems(below=",,\n\nGemiddelde,,143\n").encode()),
        Sheet("a note below", "measurements", stems(below="\nread with a steel rule\n").encode()),
        Sheet("sep= line", "measurements", ("sep=;\n" + stems().replace(",", ";")).encode()),
        Sheet(
            "semicolons, cp1252",
            "measurements",
            stems("Datum;Pflanze;Länge (cm)", lambda d, p, c: f"{d};{p};{c}").encode("cp1252"),
        ),
        Sheet("tabs, utf-16", "measurements", stems().replace(",", "\t").encode("utf-16")),
        Sheet("old line ends", "measurements", stems(end="\r").encode()),
        Sheet("bars", "measurements", stems().replace(",", "|").encode()),
        Sheet(
            "skip told",
            "measurements",
            stems(above="Date,Plant,Stem length (cm)\nwhen,which,how long\n").encode(),
            tells={"skip": 2},
        ),
        Sheet("xlsx", "measurements", book(("stems", stem_rows())), file="sheet.xlsx"),
        Sheet(
            "xlsx with a title",
            "measurements",
            book(("stems", [["Stems 2026"], [], *stem_rows()])),
            file="sheet.xlsx",
        ),
        Sheet(
            "xlsx of two sheets",
            "measurements",
            book(("stems", stem_rows()), ("notes", [["a note"], ["another"]])),
            "sheet",
            {"sheet": "stems"},
            file="sheet.xlsx",
        ),
        Sheet(
            "xls", "measurements", old_book([[str(cell) for cell in row] for row in stem_rows()]), file="sheet.xls"
        ),
        Sheet(
            "ods",
            "measurements",
            open_book([[str(cell) for cell in row] for row in stem_rows()]),
            file="sheet.ods",
        ),
        Sheet(
            "a locked or broken book",
            "measurements",
            b"PK\x03\x04 not a book",
            refuses="spreadsheet",
            file="sheet.xlsx",
        ),
    ]


def _shapes() -> list[Sheet]:
    plants = wide("Date,Plant 1,Plant 2", lambda n: str(VISITS[n]))
    titled = wide("Date,1,2", lambda n: str(VISITS[n]), above="Stem length (cm)\n")
    traits = "Date,Length P1 (cm),Length P2 (cm)\n" + "".join(
        f"{day},{STEMS['1', n]},{STEMS['2', n]}\n" for n, day in enumerate(VISITS)
    )
    blocks = "Date,Plant 1,,Plant 2,\n,Stem length (cm),Leaves,Stem length (cm),Leaves\n" + "".join(
        f"{day},{STEMS['1', n]},15,{STEMS['2', n]},16\n" for n, day in enumerate(VISITS)
    )
    by_trait = "Date,Stem length (cm),,Leaves,\n,1,2,1,2\n" + "".join(
        f"{day},{STEMS['1', n]},{STEMS['2', n]},15,16\n" for n, day in enumerate(VISITS)
    )
    days = (
        "Plant,"
        + ",".join(map(str, VISITS))
        + "\n"
        + "".join(f"{label}," + ",".join(str(STEMS[label, n]) for n in range(3)) + "\n" for label in "12")
    )
    week_days = (
        "Stem length (cm)\nPlant,"
        + ",".join(f"{day:%G-W%V}" for day in VISITS)
        + "\n"
        + "".join(f"{label}," + ",".join(str(STEMS[label, n]) for n in range(3)) + "\n" for label in "12")
    )
    turned = [
        ["Stem length (cm)"],
        ["Plant", *VISITS],
        *([int(x), *(STEMS[x, n] for n in range(3))] for x in "12"),
    ]
    sorted_by_plant = "Date,Plant,Stem length (cm)\n" + "".join(
        f"{VISITS[n]},{label},{STEMS[label, n]}\n" for label in "12" for n in range(3)
    )
    newest_first = "Date,Plant,Stem length (cm)\n" + "".join(
        f"{uk(VISITS[n])},{label},{STEMS[label, n]}\n" for n in (2, 1, 0) for label in "12"
    )
    stacked = (
        wide("Date,1,2", lambda n: str(VISITS[n]), above="Stem length (cm)\n")
        + "\nLeaves\nDate,1,2\n"
        + "".join(f"{day},15,16\n" for day in VISITS)
    )
    pages = stems().splitlines()
    printed = "\n".join([*pages[:4], pages[0], *pages[4:]]) + "\n"
    no_plants = stems("Date,Stem length (cm)", lambda day, _, cm: f"{day},{cm}")
    return [
        Sheet("a column a plant", "measurements", plants.encode(), "map", {"mapped": {"length": "*"}}),
        Sheet("a column a plant, titled", "measurements", titled.encode()),
        Sheet("trait and plant in one heading", "measurements", traits.encode()),
        Sheet("blocks by plant", "measurements", blocks.encode()),
        Sheet("blocks by trait", "measurements", by_trait.encode()),
        Sheet("a column a day", "measurements", days.encode(), "map", {"mapped": {"length": "*"}}),
        Sheet("a column a week, titled", "measurements", week_days.encode()),
        Sheet("a column a day, xlsx", "measurements", book(("stems", turned)), file="sheet.xlsx"),
        Sheet("traits one below the other", "measurements", stacked.encode()),
        Sheet("the heading again on each page", "measurements", printed.encode()),
        Sheet("plant after plant", "measurements", sorted_by_plant.encode()),
        Sheet("newest first", "measurements", newest_first.encode()),
        Sheet("several rows a day and no plants", "measurements", no_plants.encode(), "map"),
        Sheet(
            "a running number beside the plant",
            "measurements",
            stems("No,Date,Plant,Stem length (cm)", lambda d, p, c: f"{c},{d},{p},{c}").encode(),
        ),
    ]


def _picks() -> list[Sheet]:
    pounds = picks("Date,Cultivar,Weight (lb)", lambda d, n, kg: f"{d},{n},{kg / 0.45359237:.5f}")
    grams = picks("Date,Variety,Weight (g)", lambda d, n, kg: f"{d},{n},{kg * 1000:.0f}")
    german = picks(
        "Datum;Sorte;Erntemenge (kg)",
        lambda d, n, kg: f"{d:%d.%m.%Y};{n};{kg:.2f}".replace(".", ",").replace(f"{d:%d,%m,%Y}", f"{d:%d.%m.%Y}"),
    )
    spanish = picks("Fecha,Variedad,Peso (kg)")
    cells = picks("Date,Cultivar,Weight", lambda d, n, kg: f"{d},{n},{kg:g} kg")
    columns = "Date,cherry 1,beef 3\n2026-08-03,2.5,\n2026-08-06,1.25,4\n"
    total = picks() + "Total,,7.75\n"
    return [
        Sheet("picks plain", "picks", picks().encode()),
        Sheet("picks in pounds", "picks", pounds.encode()),
        Sheet("picks in grams", "picks", grams.encode()),
        Sheet("picks in german", "picks", german.encode()),
        Sheet("picks in spanish", "picks", spanish.encode()),
        Sheet("kg in each cell", "picks", cells.encode()),
        Sheet("a column a cultivar", "picks", columns.encode(), "map", {"mapped": {"kg": "*"}}),
        Sheet("picks with a total", "picks", total.encode()),
        Sheet("picks without a unit", "picks", picks("Date,Cultivar,Weight").encode()),
        Sheet(
            "picks, xlsx",
            "picks",
            book(("picks", [["Date", "Cultivar", "kg"], *([*pick] for pick in PICKS)])),
            file="sheet.xlsx",
        ),
    ]


def _air() -> list[Sheet]:
    fahrenheit = air("Date,Min (°F),Max (°F)", lambda d, a, b: f"{d},{a * 1.8 + 32:.2f},{b * 1.8 + 32:.2f}")
    bare = air(row=lambda d, a, b: f"{d},{a * 1.8 + 32:.2f},{b * 1.8 + 32:.2f}")
    return [
        Sheet("air, days", "air", air().encode()),
        Sheet("air in Fahrenheit", "air", fahrenheit.encode()),
        Sheet("air in Fahrenheit, unsaid", "air", bare.encode(), "unit", {"units": {"temp": "F"}}),
        Sheet("date and hour", "air", logger("Date,Hour,Temp", lambda d, h, t: f"{d},{h},{t}").encode()),
        Sheet(
            "date and time",
            "air",
            logger("Date,Time,Temperature (°C)", lambda d, h, t: f"{d},{h:02}:00,{t}").encode(),
        ),
        Sheet(
            "Datum und Uhrzeit",
            "air",
            logger(
                "Datum;Uhrzeit;Temperatur",
                lambda d, h, t: f"{d:%d.%m.%Y};{h:02}:00:00;{t}".replace(f";{t}", f";{t}".replace(".", ",")),
            ).encode(),
        ),
        Sheet(
            "half days",
            "air",
            logger(
                "Date,Time,Temp",
                lambda d, h, t: f"{d:%d %b %Y},{(h - 1) % 12 + 1}:00 {'AM' if h < 12 else 'PM'},{t}",
            ).encode(),
        ),
        Sheet(
            "one column of moments",
            "air",
            logger("Timestamp,T Air", lambda d, h, t: f"{d:%d/%m/%Y} {h:02}:00,{t}").encode(),
            "dates",
            {"dates": "day first"},
        ),
        Sheet(
            "serial moments", "air", logger("Time,Temp", lambda d, h, t: f"{serial(d) + h / 24:.6f},{t}").encode()
        ),
        Sheet(
            "a book of moments",
            "air",
            book(
                (
                    "log",
                    [
                        ["Time", "Temp"],
                        *(
                            [
                                datetime.combine(d, time(h)),
                                low if h == 5 else high if h == 15 else (low + high) / 2,
                            ]
                            for d, (low, high) in AIR.items()
                            for h in range(24)
                        ),
                    ],
                )
            ),
            file="sheet.xlsx",
        ),
        Sheet(
            "readings without their time",
            "air",
            logger("Date,Temp,Channel", lambda d, h, t: f"{d},{t},{h % 3 + 40}").encode(),
            "map",
        ),
    ]


SHEETS = tuple(one for part in (_headings, _units, _days, _frames, _shapes, _picks, _air) for one in part())


def written(folder: Path, sheet: Sheet) -> Path:
    file = folder / sheet.file
    file.write_bytes(sheet.data)
    return file
