"""Air, water, bucket, feed and stores as commands: documents, texts, and what each refuses with a sentence.

The journal is the fortnight of ``fixtures/care/june.jsonl``.
"""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.care.june import DAY, FILE
from tests.cli.door import Door

BEFORE = DAY - timedelta(days=1)
CARED_FOR = {"fleece", "vents", "water", "feed", "scout"}


@pytest.fixture
def june(tmp_path: Path) -> Door:
    return begun(tmp_path, FILE.read_text(encoding="utf-8"))


def begun(folder: Path, lines: str) -> Door:
    door = Door(folder / "home", folder / "june.db")
    (folder / "june.jsonl").write_text(lines, encoding="utf-8")
    door.says("journal", "merge", str(folder / "june.jsonl"))
    return door


def on(door: Door, *words: str, day: str = str(DAY)) -> Any:
    return door.json("--on", day, *words)


def asked(door: Door, day: str) -> set[str]:
    """What the round asks for, on that day or as the week goes on."""
    shown = on(door, "round", "--minutes", "600", day=day)
    chores = [*(chore for spot in shown["spots"] for chore in spot["chores"]), *shown["later"]]
    return {chore["kind"] for chore in chores if chore["earliest"] <= day}


def test_five_chores_of_care_are_in_the_round_on_the_day_and_none_the_day_before(june: Door) -> None:
    assert not CARED_FOR & asked(june, str(BEFORE))
    assert asked(june, str(DAY)) >= CARED_FOR


def test_half_the_light_halves_the_radiation_method_only(tmp_path: Path, june: Door) -> None:
    (tmp_path / "dark").mkdir()
    dark = begun(
        tmp_path / "dark", FILE.read_text("utf-8").replace("film_light_share = 0.65", "film_light_share = 0.325")
    )
    plain, half = (on(door, "water")["rows"][0] for door in (june, dark))
    assert half["radiation_mm"] == pytest.approx(plain["radiation_mm"] / 2, abs=0.006)
    assert half["outdoor_mm"] == plain["outdoor_mm"]
    ways = ("still_air_mm", "radiation_mm", "outdoor_mm")
    share = sum(half[way] for way in ways) / sum(plain[way] for way in ways)
    assert half["low_l"] / plain["low_l"] == pytest.approx(share, abs=0.01)


def test_three_degrees_more_raise_hargreaves_by_its_equation(tmp_path: Path, june: Door) -> None:
    """FAO-56 eq. 52: proportional to the mean + 17.8 at the same range."""
    (tmp_path / "warm").mkdir()
    warm = begun(tmp_path / "warm", "\n".join(map(_warmer, FILE.read_text("utf-8").splitlines())))
    plain, more = (on(door, "water")["rows"][0] for door in (june, warm))
    mean = ((8 + 11 + 11) / 3 - 1.3 + (20 + 20 + 34) / 3 - 4.2) / 2
    assert more["outdoor_mm"] / plain["outdoor_mm"] == pytest.approx((mean + 20.8) / (mean + 17.8), abs=0.005)
    assert more["low_l"] > plain["low_l"]


def _warmer(line: str) -> str:
    entry = json.loads(line)
    if entry["kind"] == "air":
        body = json.loads(entry["body"])
        body |= {key: body[key] + 3.0 for key in ("min_c", "mean_c", "max_c")}
        body["hours_c"] = [hour + 3.0 for hour in body["hours_c"]]
        entry["body"] = json.dumps(body)
    return json.dumps(entry)


def test_a_week_with_a_bucket_corrects_the_litres_of_its_row(june: Door) -> None:
    """Factor = (given - drained) / what was worked out for those plants and days."""
    before = on(june, "water")["rows"][0]
    first = on(june, "bucket", "--plants", "6", "--given", "60", "--drained", "5", "--about", "T1")["rows"][0]
    worked_out_l = 55 / first["bucket_test"]["factor"]
    june.says(
        "--on", str(DAY), "bucket", "--plants", "6", "--given", f"{1.25 * worked_out_l + 4:.3f}", "--drained", "4"
    )
    row = on(june, "water")["rows"][0]
    assert row["bucket_test"]["factor"] == pytest.approx(1.25, abs=0.002)
    for end in ("low_l", "high_l"):
        assert row[end] == pytest.approx(1.25 * before[end], abs=0.015)
    assert row["fortnight"]["asked_low_l"] == pytest.approx(1.25 * before["fortnight"]["asked_low_l"], rel=0.003)
    assert "times 1.25" in june.says("--on", str(DAY), "water")


def test_a_bucket_test_that_cannot_be_is_said_and_not_used(june: Door) -> None:
    before = on(june, "water")["rows"][0]
    drained = ("bucket", "--plants", "6", "--given", "5", "--drained", "8")
    assert "more must be given than drains" in june.refuses("--on", str(DAY), *drained)
    leaking = on(june, "bucket", "--plants", "6", "--given", "600")["rows"][0]
    assert leaking["bucket_test"]["factor"] == 1
    assert leaking["bucket_test"]["says"].startswith("not used")
    assert leaking["low_l"] == before["low_l"]
    assert june("bucket", "--plants", "0", "--given", "9").returncode == 2


def test_a_timer_gives_every_day_until_it_is_set_anew(june: Door) -> None:
    """30 minutes at 2 L/h for six plants are 6 L a day, from the 12th on; then 60 minutes from the 18th."""
    assert on(june, "water")["rows"][0]["fortnight"]["given_l"] == 8 * 6.0
    june.says("--on", "2026-06-18", "add", "watered", "minutes=60", "timer=true", "--about", "T1")
    past = on(june, "water")["rows"][0]["fortnight"]
    assert (past["given_l"], past["times"]) == (6 * 6.0 + 2 * 12.0, 8)


def test_air_show_says_what_every_day_rests_on(june: Door) -> None:
    (tunnel,) = on(june, "air", "show")["tunnels"]
    days = {day["day"]: day for day in tunnel["days"]}
    assert len(days) == 20
    assert days["2026-06-19"]["mark"] == "sensor"
    assert days["2026-06-19"]["says"] == ["late blight weather"]
    assert days["2026-06-21"]["mark"] == "issued"
    assert days["2026-06-21"]["says"][0].startswith("frost may come")
    assert days["2026-06-25"]["mark"] == "carried on"
    assert tunnel["degree_days"]["method"] == "sine"
    assert tunnel["heat"]["overhead_done_by_hour"] == 12


@pytest.mark.parametrize("method", ["sine", "triangle", "quarter", "clamped", "simple"])
def test_degree_days_name_their_method(june: Door, method: str) -> None:
    counted = on(june, "air", "show", "--method", method, "--above", "10")["tunnels"][0]["degree_days"]
    assert counted["method"] == method
    assert counted["above_c"] == 10
    text = june.says("--on", str(DAY), "air", "show", "--method", method, "--above", "10")
    assert "degree days (K d) over 10 degC" in " ".join(text.split())


def test_methods_differ_and_a_filled_day_counts_by_its_mean(june: Door) -> None:
    """19 June, 11 to 34 over 10: every method mean - 10 = 12.5. 6 June, 8 to 20: sine 4.1, simple 4.0."""

    def day(method: str, which: str) -> float:
        (tunnel,) = on(june, "air", "show", "--method", method, "--above", "10")["tunnels"]
        return float(next(one["degree_days"] for one in tunnel["days"] if one["day"] == which))

    assert day("simple", "2026-06-19") == day("sine", "2026-06-19") == 12.5
    assert day("simple", "2026-06-06") == 4.0
    assert day("clamped", "2026-06-06") == 5.0


def test_a_wet_and_a_dry_bulb_check_a_logger(june: Door) -> None:
    """ASHRAE 2017 chapter 1, example 1: 40 and 20 degC at sea level: 14 % humidity, 56.7 kJ/kg."""
    bulbs = on(june, "air", "show", "--dry", "40", "--wet", "20")["bulbs"]
    assert bulbs["rh_percent"] == pytest.approx(14, abs=1)
    assert bulbs["enthalpy_kj_kg"] == pytest.approx(56.7, abs=0.1)
    assert on(june, "air", "show")["bulbs"] is None
    assert "humidity 14%" in june.says("--on", str(DAY), "air", "show", "--dry", "40", "--wet", "20")


def test_feed_says_cans_and_on_request_a_label(june: Door) -> None:
    """An invented 5-2-7 at 6 mL a litre: N 300, P 52.4, K 348.7 mg/L at density 1, 360 N at 1.2 (oxides
    by atomic mass)."""
    plain = on(june, "feed")
    assert (plain["strength"], plain["ec"], plain["apart"]) == (None, None, [])
    assert plain["tunnels"][0]["last_on"] == "2026-06-13"
    label = ("feed", "--label", "5-2-7", "--ml", "6")
    expected = {"n_mg_l": 300.0, "p_mg_l": 52.4, "k_mg_l": 348.7, "ca_mg_l": 0.0, "mg_mg_l": 0.0}
    assert on(june, *label)["strength"] == expected
    assert on(june, *label, "--density", "1.2")["strength"]["n_mg_l"] == 360.0
    assert on(june, *label, "--by", "w/v", "--density", "1.2")["strength"]["n_mg_l"] == 300.0
    assert "a guess: weigh a litre" in on(june, *label)["made_up"]


def test_a_label_may_name_lime_and_magnesia(june: Door) -> None:
    """10 mL a litre of 2 % MgO and 1 % CaO at density 1: 0.6030 and 0.7147 of 200 and 100 mg/L (atomic masses)."""
    strength = on(june, "feed", "--label", "5-2-7+2MgO+1CaO", "--ml", "10", "--density", "1")["strength"]
    assert (strength["mg_mg_l"], strength["ca_mg_l"]) == (120.6, 71.5)


def test_feed_by_powder_dilution_meter_and_stocks(june: Door) -> None:
    """0.75 g/L of 20-10-20 give 150 mg/L N (Cornell's worked example); 1:200 is 5 mL a litre; 2.5 dS/m is 1250,
    1600 or 1750 ppm by the meter's scale."""
    assert on(june, "feed", "--label", "20-10-20", "--grams", "0.75")["strength"]["n_mg_l"] == 150
    diluted = on(june, "feed", "--label", "20-10-20", "--by", "w/v", "--dilution", "200")
    assert diluted["strength"]["n_mg_l"] == 1000
    assert on(june, "feed", "--ec", "2.5")["ec"]["ppm"] == {"500": 1250, "640": 1600, "700": 1750}
    assert on(june, "feed", "--ec", "2.5", "--scale", "640")["ec"]["ppm"] == {"640": 1600}
    (apart,) = on(june, "feed", "--stocks", "calcium nitrate, magnesium sulphate, potassium nitrate")["apart"]
    assert apart.startswith("Calcium nitrate and magnesium sulphate must not meet")


def test_a_label_that_reads_as_fractions_is_said_to(june: Door) -> None:
    assert "fractions of one" in on(june, "feed", "--label", "0.05-0.02-0.07")["made_up"]
    assert "fractions" not in on(june, "feed", "--label", "5-2-7")["made_up"]


def test_nitrogen_for_young_plants_is_held_against_the_published_limit(tmp_path: Path) -> None:
    """Florida HS796: 60 to 70 mg/L before the third truss."""
    young = begun(tmp_path, FILE.read_text("utf-8").replace('flowering_truss\\":5', 'flowering_truss\\":1.5'))
    said = " ".join(young.says("--on", str(DAY), "feed", "--label", "5-2-7", "--ml", "4").split())
    assert on(young, "feed")["tunnels"][0]["early"]
    assert "200 mg/L of nitrogen is over the 60 to 70" in said


def test_home_made_feeds_and_bed_dressings_are_kept_apart_from_mg(june: Door) -> None:
    june.says("--on", str(DAY), "add", "fed", "what=comfrey", "litres=20", "home_made=true", "--about", "T")
    june.says("--on", str(DAY), "add", "bed_dressed", "bed=bed", "what=compost", "kg=80", "--about", "T")
    (tunnel,) = on(june, "feed")["tunnels"]
    assert tunnel["home_made_l"] == 20
    assert tunnel["dressed"] == ["bed: compost, 80 kg on Sat 20 Jun 2026"]
    assert on(june, "feed")["strength"] is None


def test_what_a_bed_got_stands_beside_what_it_gave(june: Door) -> None:
    """Six plants on 2.4 m2 gave 3 kg: 1.25 kg/m2."""
    june.says("--on", "2026-06-10", "add", "bed_dressed", "bed=bed", "what=compost", "kg=80", "--about", "T")
    june.says("--on", str(DAY), "add", "picked", "cultivar=round", "kg=3", "--about", "T1")
    (bed,) = on(june, "review")["beds"]
    assert bed["dressings"] == [{"day": "2026-06-10", "how": "compost, 80 kg"}]
    assert bed["kg"] == 3
    assert bed["kg_per_m2"] == pytest.approx(1.25, abs=0.005)


def test_picks_are_graded_by_colour_and_size(june: Door) -> None:
    """45 % coloured is pink (7 CFR 51.1860); 6 kg of 50 fruits are 120 g each, 4.2 oz, medium (51.1903)."""
    picked = ("--on", str(DAY), "add", "--about", "T1", "picked", "cultivar=round", "kg=6", "count=50")
    june.says(*picked, "colour_percent=45")
    assert "looks like a fraction" in june.refuses(*picked, "colour_percent=0.45")
    (yielded,) = on(june, "review")["yields"]
    assert (yielded["fruit_g"], yielded["fruit_size"]) == (120, "medium")
    assert "120 g each (medium)" in " ".join(june.says("--on", str(DAY), "review").split())


def test_stores_count_in_out_hanging_and_what_is_still_asked_for(june: Door) -> None:
    for count in (300, -40):
        june.says("--on", str(DAY), "add", "stocked", "item=clip", "item_kind=plain", f"count={count}")
    stores = on(june, "stores")
    (clip,) = stores["stores"]
    assert (clip["came_in"], clip["went_out"], clip["on_plants"], clip["in_store"]) == (300, 40, 0, 260)
    needs = {need["item"]: need for need in stores["needs"]}
    assert set(needs) == {"clip", "hook", "twine", "fleece"}
    # Nothing hangs: a clip every 30 cm of six stems of 1.6 m and what they grow, a tenth spare.
    assert needs["clip"]["mid"] >= 6 * 1.6 / 0.3 * 1.1
    assert needs["clip"]["low"] <= needs["clip"]["mid"] <= needs["clip"]["high"]
    assert needs["hook"]["mid"] == 6
    assert needs["twine"]["there"] is None
    assert stores["until"] is not None


def test_where_nothing_was_stocked_the_need_is_said_all_the_same(june: Door) -> None:
    assert on(june, "stores")["stores"] == []
    text = " ".join(june.says("--on", str(DAY), "stores").split())
    assert "Nothing was stocked or hung yet" in text
    assert "hook: 6 more, unknown there" in text
    assert "no twine was stocked" in text


@pytest.mark.parametrize("words", [("air", "show"), ("water",), ("feed",), ("stores",)])
def test_documents_and_texts_are_the_same_every_time_and_fit_a_page(june: Door, words: tuple[str, ...]) -> None:
    assert june.says("--on", str(DAY), "--json", *words) == june.says(*words, "--json", "--on", str(DAY))
    text = june.says("--on", str(DAY), *words)
    assert max(map(len, text.splitlines())) <= 80
    assert "safe" not in text


# ------------------------------------------------------------------------------------------------ bad input


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("add", "air", "min_c=20", "max_c=12", "--about", "T"), "min_c 20 is above max_c 12"),
        (("add", "air", "min_c=8", "mean_c=30", "max_c=20", "--about", "T"), "mean_c 30 is above max_c 20"),
        (("add", "air", "min_c=48", "max_c=68", "--about", "T"), "this looks like degF"),
        (("add", "air", "--about", "T"), "it reads nothing"),
        (("add", "forecast", "issued=2026-06-20", "min_c=12,48", "max_c=20,68"), "on day 2 min_c is 48"),
        (("add", "bed_dressed", "bed=nope", "what=compost", "--about", "T"), "no bed 'nope'"),
        (
            ("add", "forecast", "issued=2026-06-20", "min_c=12,20", "max_c=20,14"),
            "on day 2 min_c 20 is above max_c 14",
        ),
        (("add", "forecast", "issued=2026-06-25", "min_c=12", "max_c=20"), "was past by then"),
        (("add", "forecast", "issued=soon", "min_c=12", "max_c=20"), "a day such as"),
        (("add", "forecast", "issued=2026-06-20"), "it foretells nothing"),
        (("add", "watered", "minutes=-5", "--about", "T1"), "minutes"),
        (("feed", "--label", "60-30-20"), "adds up to more than there is"),
        (("feed", "--label", "4-3"), "three figures were wanted"),
        (("feed", "--label", "5-2-7+2FeO"), "neither CaO nor MgO"),
        (("feed", "--label", "5-2-7+MgO"), "its parts are no figures"),
        (("feed", "--label", "4-3-nan"), "adds up to more than there is"),
        (("feed", "--label", "a-b-c"), "its parts are no figures"),
        (("feed", "--label", "4--3-8"), "three figures were wanted"),
        (("feed", "--stocks", "calcium nitrate"), "is one stock"),
        (("air", "show", "--dry", "20"), "read together"),
        (("air", "show", "--dry", "20", "--wet", "22"), "warmer than the dry one"),
        (("air", "show", "--cap", "4"), "not above the threshold"),
        (("air", "show", "--cap", "30", "--cutoff", "vertical", "--method", "simple"), "sine and triangle only"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(june: Door, words: tuple[str, ...], says: str) -> None:
    assert says in june.refuses("--on", str(DAY), *words)


def _hours(values: list[float]) -> str:
    return "hours_rh=" + ",".join(f"{value:g}" for value in values)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ([104.0] * 24, "hours_rh"),
        ([0.92] * 24, "percent was wanted, this looks like fractions of one"),
        ([92.0] * 22, "a local day has 23, 24 or 25"),
    ],
)
def test_hours_of_humidity_that_cannot_be(june: Door, values: list[float], says: str) -> None:
    assert says in june.refuses(
        "--on", str(DAY), "add", "air", "min_c=8", "max_c=20", _hours(values), "--about", "T"
    )


@pytest.mark.parametrize(
    ("rh", "says"),
    [(0.92, "this looks like fractions"), (130.0, "130")],
)
def test_a_logger_with_humidity_that_cannot_be(june: Door, tmp_path: Path, rh: float, says: str) -> None:
    """Nothing of it is used silently: fractions refuse the file, a humidity over 105 % its line, told."""
    rows = [f"2026-06-20 {hour:02}:00,{12 + hour % 5},{rh}" for hour in range(24)]
    (tmp_path / "log.csv").write_text("time,temperature C,humidity %\n" + "\n".join(rows) + "\n", encoding="utf-8")
    done = june("--on", "2026-06-21", "air", str(tmp_path / "log.csv"), "--tunnel", "T")
    assert says in done.stderr + done.stdout
    read = [
        day for day in on(june, "journal", "show", "--kind", "air", day="2026-06-21") if day["day"] == "2026-06-20"
    ]
    assert not any(day["body"].get("hours_rh") for day in read)


@pytest.mark.parametrize(
    "words",
    [
        ("feed", "--label", "5-2-7", "--density", "12"),
        ("feed", "--label", "5-2-7", "--dilution", "0.5"),
        ("feed", "--label", "5-2-7", "--ml", "4", "--grams", "4"),
        ("feed", "--ec", "-1"),
        ("feed", "--ec", "2", "--scale", "600"),
        ("air", "show", "--above", "90"),
        ("air", "show", "--method", "guess"),
        ("bucket", "--plants", "6"),
    ],
)
def test_flags_that_cannot_be_are_wrong_usage(june: Door, words: tuple[str, ...]) -> None:
    assert june("--on", str(DAY), *words).returncode == 2
