"""Every command, run as a process: what it prints, what it writes, and that its flags stand on either side."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.door import Door

COMMANDS = (
    [],
    *(
        [word]
        for word in (
            "demo",
            "round",
            "loads",
            "outlook",
            "plant",
            "row",
            "backtest",
            "export",
            "add",
            "done",
            "new",
        )
    ),
    *([word] for word in ("air", "measurements", "picks", "holding", "journal")),
    *(["holding", word] for word in ("show", "edit", "check")),
    *(["settings", word] for word in ("show", "set", "edit", "keys", "check", "where")),
    *(
        ["journal", word]
        for word in ("show", "cross-out", "restore-act", "check", "backup", "restore", "merge", "copy", "salvage")
    ),
)


# ------------------------------------------------------------------------------------------------ help, flags


def test_every_command_says_how_it_is_used(capsys: pytest.CaptureFixture[str]) -> None:
    from tunneltui.cli import main

    for words in COMMANDS:
        with pytest.raises(SystemExit) as end:
            main([*words, "--help"])
        assert end.value.code == 0
        text = " ".join(capsys.readouterr().out.split())
        assert text.startswith(f"usage: tunneltui{''.join(f' {word}' for word in words)} ".rstrip())
        if words not in (["holding"], ["journal"]):
            assert "example: tunneltui" in text


def test_help_and_version_load_nothing_heavy() -> None:
    code = (
        "import sys, tunneltui.cli\n"
        "try: tunneltui.cli.main(['--help'])\n"
        "except SystemExit: pass\n"
        "heavy = {'textual', 'rich', 'pydantic', 'sqlite3', 'tunneltui.season', 'tunneltui.growth'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_version(door: Door) -> None:
    from tunneltui import __version__

    assert door.says("--version") == f"tunneltui {__version__}\n"


@pytest.mark.parametrize(
    "words",
    [
        ["dance"],
        ["round", "--minutes", "many"],
        ["round", "--minutes", "-5"],
        ["round", "--on", "20/08/2026"],
        ["round", "--part", "noon"],
        ["export", "dreams"],
        ["measurements", "x.csv", "--as", "guess"],
        ["measurements", "x.csv", "--zone", "Atlantis/Capital"],
        ["air"],
        ["journal"],
        ["new", "--rows", "1.5"],
    ],
)
def test_wrong_usage_is_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    from tunneltui.cli import main

    with pytest.raises(SystemExit) as end:
        main(words)
    assert end.value.code == 2
    assert "usage: tunneltui" in capsys.readouterr().err


def test_flags_before_and_after_a_command(demo: Door) -> None:
    at, on = str(demo.at), "2026-08-19"
    bare = Door(demo.home)
    said = [
        bare.says("--at", at, "--on", on, "--json", "journal", "show", "--about", "W1-07"),
        bare.says("journal", "show", "--about", "W1-07", "--at", at, "--on", on, "--json"),
        bare.says("journal", "--at", at, "show", "--on", on, "--about", "W1-07", "--json"),
        bare.says("--at", "elsewhere.db", "journal", "show", "--about", "W1-07", "--at", at, "--on", on, "--json"),
    ]
    assert len(set(said)) == 1
    assert {entry["about"] for entry in json.loads(said[0])} == {"W1-07", "W1"}, (
        "row passes are told with their row"
    )
    assert max(entry["day"] for entry in json.loads(said[0])) <= on


# ------------------------------------------------------------------------------------------------ looking


def test_demo_makes_opens_and_refuses(door: Door, tmp_path: Path) -> None:
    own = tmp_path / "own.db"
    made = door.says("demo", "--at", str(own), "--plain")
    assert made.startswith("Thu 20 Aug 2026  Saltmarsh Lane community growers")
    before = own.read_bytes()
    assert door.says("demo", "--at", str(own)) == made
    assert own.read_bytes() == before
    theirs = tmp_path / "theirs.db"
    Door(door.home, theirs).says("new", "--name", "Theirs")
    assert "not made by the demo" in Door(door.home, theirs).refuses("demo")


def test_demo_without_a_file_never_touches_the_growers_own(door: Door) -> None:
    assert json.loads(door.says("demo", "--json"))["day"] == "2026-08-20"
    assert [file.name for file in (door.home / "data").glob("*.db")] == ["demo.db"]


def test_round_by_minutes_and_part(demo: Door) -> None:
    there = {minutes: demo.json("round", "--minutes", str(minutes)) for minutes in (20, 90)}
    for minutes, said in there.items():
        assert said["minutes_there"] == minutes
    musts = [
        {chore["id"] for spot in said["spots"] for chore in spot["chores"] if chore["must"]}
        for said in there.values()
    ]
    assert musts[0] <= musts[1] != set(), "musts are no way past the minutes there are"
    every = [
        {(c["kind"], c["about"]) for c in [*said["later"], *(c for s in said["spots"] for c in s["chores"])]}
        for said in there.values()
    ]
    assert every[0] == every[1]
    morning = demo.json("round", "--part", "morning")
    assert "lower" not in {chore["kind"] for spot in morning["spots"] for chore in spot["chores"]}


def test_planned_clips_are_as_strong_as_this_seasons_tell(demo: Door) -> None:
    """What is seen of a kind of clip holds for the clips of the plan: they are no unseen kind."""
    assert demo("plan", "--adopt", demo.json("plan")["plans"][0]["name"]).returncode == 0
    planned, now = demo.says("loads", "--planned"), demo.says("loads")
    told = [line for line in now.splitlines() if "seen failed" in line]
    assert told
    assert [line for line in planned.splitlines() if "seen failed" in line] == told
    assert "nothing seen yet" not in planned


def test_loads_outlook_and_a_change(demo: Door) -> None:
    said = demo.json("loads")
    assert max(clip["share"] for clip in said["clips"]) > 0.8, "the demo has a clip over its allowed share"
    full = said["clips"][0]
    change = f"second {full['leader']} {full['on'].removeprefix('string ')}"
    both = demo.json("loads", "--if", change)
    assert both["before"] == said
    assert both["changes"] == [change]
    assert f"If {change}" in demo.says("loads", "--if", change)
    assert "no change to try" in demo.refuses("loads", "--if", "dance W1")
    assert "If lower W1-07a 1.2" in demo.says("--units", "imperial", "loads", "--if", "lower W1-07a 1.2")
    feet = demo.json("--units", "imperial", "loads", "--if", "lower W1-07a 1.2")
    assert feet["after"] == demo.json("loads", "--if", "lower W1-07a 36.576cm")["after"]
    in_feet = demo.json("--units", "imperial", "loads", "--if", "lower W1-07a 1.2")
    assert in_feet["after"] == demo.json("loads", "--if", "lower W1-07a 36.576cm")["after"]
    assert "to 9.84 ft" in demo.refuses("--units", "imperial", "loads", "--if", "lower W1-07a 12")
    assert len(demo.json("outlook")["leaders"]) >= 44


def test_backtest(demo: Door) -> None:
    said = demo.json("backtest", "--on", "2026-06-30")
    assert [one["what"] for one in said["backtests"]] == ["stem", "truss", "picks"]
    assert [score["days"] for score in said["backtests"][0]["horizons"]] == [1, 7, 14]


def test_exports(demo: Door, tmp_path: Path) -> None:
    sheet = tmp_path / "round.html"
    assert demo.says("export", "sheet", "--to", str(sheet)) == f"Written: {sheet}\n"
    assert sheet.read_text(encoding="utf-8") == demo.says("export", "sheet")
    picks = list(csv.DictReader(io.StringIO(demo.says("export", "picks"))))
    assert picks == [
        {key: "" if value is None else str(value) for key, value in pick.items()}
        for pick in demo.json("export", "picks")
    ]
    assert {pick["cultivar"] for pick in picks} >= {"cherry 1", "standard 2", "beef 3"}
    entries = list(csv.DictReader(io.StringIO(demo.says("export", "entries"))))
    assert [entry["id"] for entry in entries] == [entry["id"] for entry in demo.json("journal", "show")]
    calendar = demo.says("export", "chores")
    assert calendar.startswith("BEGIN:VCALENDAR")
    assert calendar.count("BEGIN:VEVENT") > 8


def test_exports_do_not_write_over_a_journal(demo: Door) -> None:
    assert "journal or another database" in demo.refuses("export", "picks", "--to", str(demo.at))


# ------------------------------------------------------------------------------------------------ writing


def test_add_resolves_names_and_is_undone(demo: Door) -> None:
    before = demo.says("round")
    demo.says("add", "measured", "leader=W1-07a", "growth_m=0.24", "flowering_truss=14")
    written = next(
        one for one in demo.json("journal", "show", "--about", "w1-07") if one["body"].get("growth_m") == 0.24
    )
    assert (written["kind"], written["day"], written["about"]) == ("measured", "2026-08-20", "W1-07")
    planted = next(one for one in demo.json("journal", "show", "--about", "W1-07") if one["kind"] == "planted")
    assert written["body"] == {"leader": planted["id"], "growth_m": 0.24, "flowering_truss": 14.0}
    demo.says("journal", "cross-out", written["act"][:20])
    assert demo.says("round") == before
    assert written["id"] not in {one["id"] for one in demo.json("journal", "show")}
    assert written["id"] in {one["id"] for one in demo.json("journal", "show", "--all")}
    demo.says("journal", "restore-act", written["id"])
    assert written in demo.json("journal", "show", "--about", "W1-07")


@pytest.mark.parametrize(
    ("words", "body"),
    [
        (["note", "two wasps in the east tunnel"], {"text": "two wasps in the east tunnel"}),
        (["picked", "cultivar=cherry 1", "kg=6.2", "--about", "e1"], {"cultivar": "cherry 1", "kg": 6.2}),
        (
            ["clip_failed", "fixing=W1-08a string 10", "how=broke", "dropped=true"],
            {"how": "broke", "dropped": True},
        ),
        (["side_shooted", "leaders=W1-07a,W1-08a"], {}),
        (["measured", "--about", "W1-07a", "growth_m=0.2"], {"growth_m": 0.2}),
        (["away", "until=2026-09-01"], {"until": "2026-09-01"}),
    ],
)
def test_add_of_other_kinds(demo: Door, words: list[str], body: dict[str, object]) -> None:
    [written] = demo.json("add", *words)
    assert written["kind"] == words[0]
    assert body.items() <= written["body"].items()


def test_done_says_what_it_writes_and_the_round_is_shorter(demo: Door) -> None:
    typed = re.search(r"tunneltui done &quot;(.*)&quot;", demo.says("export", "sheet"))
    assert typed
    look = demo.says("done", "--look", typed[1])
    said = demo.says("done", typed[1])
    assert said.startswith(look)
    assert "To undo: tunneltui journal cross-out" in said
    kinds = {entry["kind"] for entry in demo.json("journal", "show") if entry["day"] == "2026-08-20"}
    assert {"clip_failed", "picked"} <= kinds


def test_a_clip_that_failed_is_in_the_round_at_once(demo: Door) -> None:
    full = next(clip for clip in demo.json("loads")["clips"] if clip["on"].startswith("string"))
    demo.says("add", "clip_failed", f"fixing={full['leader']} {full['on']}", "how=broke")
    repairs = [c for s in demo.json("round")["spots"] for c in s["chores"] if c["kind"] == "repair"]
    assert [chore["about"] for chore in repairs if chore["about"].startswith(f"{full['leader']} {full['on']} ")]


# ------------------------------------------------------------------------------------------------ the holding


def test_new_by_flags_then_a_round(door: Door) -> None:
    says = ["--name", "Long field", "--rows", "2", "--places", "12", "--spacing", "0.5"]
    said = door.says("new", *says, "--cultivars", "cherry 1, standard 2", "--zone", "Europe/Lisbon")
    assert "holding_set" in said
    text = door.says("holding", "show")
    assert 'name = "Long field"' in text
    assert 'zone = "Europe/Lisbon"' in text
    assert text.count("cultivar = ") == 24
    assert "Long field" in door.says()
    done = door("new", "--name", "Again")
    assert (done.returncode, "holding already" in done.stderr) == (1, True)


def test_new_with_plants_standing(door: Door) -> None:
    door.says("new", "--rows", "1", "--places", "3", "--planted", "2026-05-04", "--zone", "UTC")
    entries = door.json("journal", "show")
    assert [(one["kind"], one["day"], one["about"]) for one in entries] == [
        ("holding_set", "2026-05-04", ""),
        *(("planted", "2026-05-04", f"W1-0{n}") for n in (1, 2, 3)),
    ]
    done = door("add", "planted", "cultivar=tomato 1", "--about", "W1-02")
    assert (done.returncode, "W1-02 is planted" in done.stderr) == (1, True)


def test_a_holding_that_does_not_fit_is_refused(door: Door) -> None:
    done = door("new", "--places", "90", "--spacing", "1", "--length", "12")
    assert (done.returncode, "need 90 m" in done.stderr) == (1, True)
    assert not (door.home / "data").exists()


def test_holding_check_says_every_fault(door: Door, tmp_path: Path) -> None:
    file = tmp_path / "my.toml"
    file.write_text('name = "x"\nzone = "Nowhere"\n[work]\nminutes = -5\ncolour = "red"\n', encoding="utf-8")
    said = door.refuses("holding", "check", str(file))
    assert [re.search(r"line (\d+), ([^:]+)", line).groups() for line in said.splitlines()[:3]] == [  # type: ignore[union-attr]
        ("2", "zone"),
        ("4", "work, minutes"),
        ("5", "work, colour"),
    ]
    file.write_text('name = "x"\n', encoding="utf-8")
    assert "without a fault" in door.says("holding", "check", str(file))


def test_holding_edit_with_an_editor_of_ones_own(demo: Door, tmp_path: Path) -> None:
    editor = tmp_path / "my editor.py"
    editor.write_text(
        "import pathlib, re, sys\n"
        "file = pathlib.Path(sys.argv[2])\n"
        "text = re.sub(r'(?m)^minutes = \\d+', sys.argv[1], file.read_text(encoding='utf-8'), count=1)\n"
        "file.write_text(text, encoding='utf-8')\n",
        encoding="utf-8",
    )
    before = demo.says("holding", "show")
    call = f"{sys.executable} '{editor}' 'minutes = 33'"
    demo.says("holding", "edit", EDITOR=call, VISUAL="")
    assert "minutes = 33" in demo.says("holding", "show")
    assert demo.json("round")["minutes_there"] == 33
    assert demo.says("holding", "show", "--on", "2026-08-19") == before
    assert "Nothing new." in demo.says("holding", "edit", EDITOR="true", VISUAL="")
    assert "minutes" not in demo.refuses("holding", "edit", EDITOR="false", VISUAL="")
    assert "cannot be started" in demo.refuses("holding", "edit", EDITOR="no-such-editor", VISUAL="")
    assert "no command" in demo.refuses("holding", "edit", EDITOR="'unclosed", VISUAL="")


def test_a_faulty_edit_is_refused_and_its_text_kept(demo: Door) -> None:
    editor = f"{sys.executable} -c \"import sys; open(sys.argv[1], 'a').write('colour = 3\\n')\""
    said = demo.refuses("holding", "edit", EDITOR=editor, VISUAL="")
    assert "colour" in said
    kept = Path(said.rpartition("kept in ")[2].strip())
    assert kept.read_text(encoding="utf-8").endswith("colour = 3\n")


def test_holding_from_a_file(door: Door, tmp_path: Path) -> None:
    file = tmp_path / "my.toml"
    file.write_text('name = "From a file"\n', encoding="utf-8")
    door.says("holding", "edit", "--from", str(file))
    assert door.says("holding", "show") == 'name = "From a file"\n'


# ------------------------------------------------------------------------------------------------ keeping


def test_copy_merge_backup_restore_check(demo: Door, tmp_path: Path) -> None:
    other = Door(demo.home, tmp_path / "other.db")
    entries = demo.json("journal", "show", "--all")
    demo.says("journal", "copy", str(other.at))
    assert other.json("journal", "show", "--all") == entries
    other.says("add", "note", "only here")
    assert "1 new" in demo.says("journal", "merge", str(other.at), "--look")
    assert "1 new" in demo.says("journal", "merge", str(other.at))
    assert "0 new" in demo.says("journal", "merge", str(other.at))
    assert demo.json("journal", "show")[-1]["body"] == {"text": "only here"}
    lines = tmp_path / "all.jsonl"
    demo.says("journal", "copy", str(lines))
    assert len(lines.read_text(encoding="utf-8").splitlines()) == len(entries) + 1
    third = Door(demo.home, tmp_path / "third.db")
    third.says("journal", "merge", str(lines))
    assert third.json("journal", "show") == demo.json("journal", "show")
    demo.says("journal", "backup")
    demo.says("add", "note", "after the backup")
    demo.says("journal", "restore")
    assert demo.json("journal", "show")[-1]["body"] == {"text": "only here"}
    assert demo.says("journal", "check") == "Nothing is wrong with it.\n"


def test_salvage_of_a_file_cut_short(demo: Door, tmp_path: Path) -> None:
    assert demo.at is not None
    whole = demo.at.read_bytes()
    demo.at.write_bytes(whole[: len(whole) // 2])
    demo.refuses("round")
    demo.refuses("journal", "check") if demo("journal", "check").stderr else None
    saved = tmp_path / "saved.db"
    assert "saved into" in demo.says("journal", "salvage", "--to", str(saved))
    assert len(Door(demo.home, saved).json("journal", "show")) > 100


# ------------------------------------------------------------------------------------------------ the app's door


def test_without_a_journal_it_says_how_to_begin(door: Door) -> None:
    done = door()
    assert done.returncode == 1
    assert "tunneltui new" in done.stderr
    assert "tunneltui demo" in done.stderr


def test_today_is_the_local_day_of_the_holding(door: Door) -> None:
    """Where the clock says it is already tomorrow, an entry of tomorrow is not of the future."""
    from datetime import UTC, datetime
    from zoneinfo import ZoneInfo

    door.says("new", "--zone", "Pacific/Kiritimati")
    [written] = door.json("add", "note", "hello")
    days = {datetime.now(UTC).astimezone(ZoneInfo("Pacific/Kiritimati")).date().isoformat()}
    assert written["day"] in days


def test_a_reader_that_leaves_early_is_no_fault(demo: Door) -> None:
    command = f"{sys.executable} -m tunneltui --at {demo.at} journal show | head -1"
    done = subprocess.run(["bash", "-o", "pipefail", "-c", command], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def test_bytes_do_not_depend_on_locale_or_zone(demo: Door) -> None:
    plain = demo("round", "--json", LC_ALL="C", PYTHONUTF8="0", TZ="Asia/Tokyo").stdout
    assert plain == demo("round", "--json", LC_ALL="C.UTF-8").stdout
