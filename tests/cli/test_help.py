"""What the help shows is true: every example runs, the README's page names every command, flag and variable, and
shells complete them."""

from __future__ import annotations

import argparse
import os
import re
import shlex
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screens.made_demo import demo_at
from tunneltui.cli import DONE, main, parser
from tunneltui.journal.body import parsed
from tunneltui.store.journal_file import JournalFile

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
FILES = {
    "logger.csv": "time,temperature,humidity\n2026-08-18 06:00,12.5,91\n2026-08-18 14:00,27.5,60\n",
    "weekly.csv": "Date,Label,Stem length\n2026-06-01,1,120\n2026-06-08,1,30\n",
    "picks.csv": "date,place,cultivar,kg\n2026-08-19,W1,cherry 1,1.4\n",
}


def commands(made: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """Every command below a parser, families before their members."""
    for action in made._actions:
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                yield below
                yield from commands(below)


ALL = {made.prog.removeprefix("tunneltui "): made for made in commands(parser())}
EXAMPLES = {name: made.epilog.removeprefix("example: ") for name, made in ALL.items() if made.epilog}


def test_every_command_has_an_example() -> None:
    families = {name.rpartition(" ")[0] for name in ALL} - {""}
    assert set(EXAMPLES) == set(ALL) - families | {"air"}
    assert all(example.startswith("tunneltui ") for example in EXAMPLES.values())


@pytest.mark.parametrize("name", [name for name in EXAMPLES if "postgresql" not in EXAMPLES[name]])
def test_the_example_runs(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("EDITOR", "true")
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.chdir(tmp_path)
    demo = demo_at(tmp_path)
    demo.chmod(0o600)
    words = shlex.split(EXAMPLES[name])[1:]
    prepare(name, words, demo, capsys)
    own_journal = "--at" in words or name in ("demo", "new")
    assert main([*(() if own_journal else ("--at", str(demo))), *words]) == DONE, capsys.readouterr().err
    assert capsys.readouterr().out.strip()


def prepare(name: str, words: list[str], demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What the example speaks of is there, and an act is one that was written."""
    for file, text in FILES.items():
        Path(file).write_text(text, encoding="utf-8")
    if "other.db" in words and name.endswith("merge"):
        shutil.copy(demo, "other.db")
    if name == "done":
        main(["--at", str(demo), "round"])
    if "my.toml" in words:
        main(["--at", str(demo), "holding", "show"])
        Path("my.toml").write_text(capsys.readouterr().out, encoding="utf-8")
    if name == "journal restore":
        main(["--at", str(demo), "journal", "backup"])
    if name in ("journal cross-out", "journal restore-act"):
        with JournalFile.open(demo) as journal:
            act = [entry.act for entry in journal.entries() if entry.kind == "picked"][-1]
        words[-1] = act
        if name.endswith("restore-act"):
            main(["--at", str(demo), "journal", "cross-out", act])


def test_the_page_in_the_readme_names_every_command() -> None:
    page = README[README.index("## Commands") : README.index("## Take care")]
    for name in ALL:
        family, _, member = name.rpartition(" ")
        assert re.search(rf"[`, ]{re.escape(member)}\b", page), name
        assert not family or f"`{family} " in page, name
    for flag in re.findall(r"--[a-z]+", parser().format_usage()):
        assert f"`{flag}" in page, flag
    for variable in ("TUNNELTUI_HOME", "NO_COLOR", "EDITOR", "VISUAL", "TERM"):
        assert variable in page, variable
    named = set(re.findall(r"^\| `?\(?([a-z][a-z-]*)", page, re.MULTILINE)) - {"none", "command"}
    assert named <= {name.partition(" ")[0] for name in ALL}, "no command is named that there is not"


@pytest.mark.parametrize("shell", ["bash", "zsh"])
def test_a_shell_completes_commands_and_flags(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == DONE
    script = capsys.readouterr().out
    for name in ("round", "put-right", "--units", "imperial"):
        assert name in script
    program = shutil.which(shell)
    if program is None:
        pytest.skip(f"no {shell} is installed here")
    subprocess.run([program, "-n"], input=script, text=True, check=True, capture_output=True, timeout=30)
    if shell == "bash":
        asks = f'{script}\nCOMP_WORDS=(tunneltui ro); COMP_CWORD=1; _shtab_tunneltui; echo "${{COMPREPLY[@]}}"'
        done = subprocess.run(
            [program, "-c", asks], env=dict(os.environ), text=True, check=True, capture_output=True, timeout=30
        )
        assert done.stdout.split() == ["round", "row"]


def test_a_list_goes_on_after_a_flag(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    demo = demo_at(tmp_path)
    assert main(["--at", str(demo), "add", "picked", "cultivar=cherry 1", "--about", "W1", "kg=2.5"]) == DONE
    with JournalFile.open(demo) as journal:
        picked = list(journal.entries())[-1]
    assert (picked.kind, parsed(picked)["kg"]) == ("picked", 2.5)
    for wrong in (["round", "W1"], ["add", "picked", "cultivar=cherry 1", "--abuot", "W1"]):
        with pytest.raises(SystemExit, match="2"):
            main(["--at", str(demo), *wrong])
        assert "unrecognized" in capsys.readouterr().err
