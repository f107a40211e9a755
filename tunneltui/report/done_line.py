"""What the line typed at the end of a walk writes (its parts: ``done_parts``), on the round as it was shown.

Its numbers are those of the sheet, whatever was measured or planned since. What may mean two things is refused
with both written out, and nothing is written then.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence

from msgspec import Struct

from tunneltui.cells import as_typed, say
from tunneltui.chores.chore import Choice, Chore
from tunneltui.chores.exceptions import only, together
from tunneltui.chores.kinds import KINDS
from tunneltui.chores.morning import Morning
from tunneltui.holding.user_error import UserError
from tunneltui.journal.body import draft, parsed, typed
from tunneltui.journal.entry import Draft, Entry
from tunneltui.journal.kinds_crop import Picked
from tunneltui.journal.kinds_holding_up import ClipFailed, Lowered
from tunneltui.journal.kinds_journal import Note
from tunneltui.journal.kinds_standing import Measured
from tunneltui.pages.picks import pick_doubt
from tunneltui.pages.round import (
    answered_before,
    answers_words,
    done_before,
    done_words,
    left_open,
    tip_words,
    words_of,
)
from tunneltui.pages.story import sentence
from tunneltui.pages.units import localize
from tunneltui.report.done_parts import ACCIDENTS, FAILED, LinePart, parsed_line
from tunneltui.season import names
from tunneltui.season.doubts import plants_picked
from tunneltui.season.state import Leader, Season
from tunneltui.store.kept_round import KeptRound
from tunneltui.values import replace

ON_A_CLIP = frozenset({"repair", "second_clip", "clip_to_string"})
"""Kinds whose line is about one clip: ``14 slid`` could mean it."""


class DoneLine(Struct, frozen=True):
    """What a line means to write, and that in words."""

    drafts: tuple[Draft, ...]
    sentences: tuple[str, ...]


def done_line(line: str, morning: Morning, shown: KeptRound | None) -> DoneLine:
    """What the line writes. ``shown``: the day's round as it was shown last, None where none was.

    Raises:
        UserError: a part is not understood, names nothing, may mean two things, or asks for an answer.
    """
    parts = parsed_line(line, list(morning.season.layout.rows))
    if not parts:
        raise UserError("The line is empty.", 'Write such as: tunneltui done "1-6, 8 but 07; 14 slid; cherry 6.2"')
    return _Pen(morning, shown).written(parts)


def example(morning: Morning, shown: KeptRound) -> str:
    """A line that can be typed for this very round, with numbers and names that stand on its sheet."""
    numbers = [number for number in shown.last if KINDS[shown.lines[number].kind].is_ticked]
    several = next((number for number in numbers if len(shown.lines[number].leaders) > 1), None)
    parts = [", ".join(map(str, [number for number in numbers if number != several][:2]))]
    row = ""
    if several is not None:
        chore = shown.lines[several]
        row = chore.row
        parts += [f"{several} but {morning.season.leaders[chore.leaders[-1]].place}"]
    clips = (
        (leader, fixing)
        for leader in morning.season.leaders_of_row(row)
        for fixing in leader.fixings
        if fixing.on == "string"
    )
    clipped = next(clips, None)
    parts += [f"{names.typed_name(morning.season, *clipped)} slid"] if clipped else []
    pick = next((number for number in shown.last if shown.lines[number].kind == "pick"), None)
    parts += [f"{pick} 6.2"] if pick is not None else []
    return "; ".join(part for part in parts if part)


class _Pen:
    """Gathers what the parts write.

    Failures come first, so that a row looked over does not count a failed clip as seen holding; then weights and
    tips, so that a line knows what stands in for a chore's own entries.
    """

    def __init__(self, morning: Morning, shown: KeptRound | None) -> None:
        self._season: Season = morning.season
        self._shown = shown
        # Pieces ticked, by what the chore asks; '' stands for a chore of one piece. What was ticked on an earlier
        # day and holds on does not count: a line of today's sheet asks anew.
        self._done: dict[tuple[str, str], frozenset[str]] = {}
        for done in morning.season.done:
            if done.put_off_until is None and done.day == morning.season.day:
                self._done[done.key] = self._done.get(done.key, frozenset()) | (set(done.pieces) or {""})
        self._drafts: list[Draft] = []
        self._says: list[str] = []
        self._weighed: set[str] = set()
        """Ids of the pick chores that were weighed."""
        self._written: set[tuple[str, str]] = set()
        """(chore id, piece) that another part of the line wrote."""
        self._tips: dict[str, float] = {}
        """By leader id, metres under the wire, not yet written."""

    def written(self, parts: Sequence[LinePart]) -> DoneLine:
        steps: dict[str, Callable[[LinePart], None]] = {
            "failed": self._failed,
            "accident": self._accident,
            "picked": self._picked,
            "tip": self._tip,
            "choice": self._chosen,
            "lines": self._lines,
            "only": self._only,
            "all": self._all,
            "note": self._note,
        }
        for what, step in steps.items():
            for part in parts:
                if part.what == what:
                    step(part)
        # Tips read where nothing was lowered.
        for leader_id, under_m in self._tips.items():
            leader = self._season.leaders[leader_id]
            self._drafts.append(draft(leader.place, Measured(leader_id, tip_under_wire_m=under_m)))
            self._says.append(tip_words(leader.name, under_m))
        if not self._drafts:
            raise UserError("The round of today has nothing that this line could tick off.", " ".join(self._says))
        return DoneLine(tuple(self._drafts), tuple(self._says))

    # Lines of the sheet

    def _sheet(self) -> KeptRound:
        if self._shown is None:
            raise UserError(
                f"No round of {self._season.day} was shown on this machine, so no line has a number yet.",
                "Look at it with tunneltui round, or export sheet, and then say what was done.",
            )
        return self._shown

    def _line(self, number: int) -> Chore:
        sheet = self._sheet()
        if number not in sheet.lines:
            raise UserError(
                f"The sheet has no line {number}; its last is {max(sheet.lines, default=0)}.",
                f"A place is written with its row, such as {next(iter(self._season.layout.places), 'W1-07')}, or "
                "with a 0 before its number.",
            )
        return sheet.lines[number]

    def _lines(self, part: LinePart) -> None:
        for number in part.lines:
            chore = self._line(number)
            taken = KINDS[chore.kind].taken
            if taken == "walk":
                raise UserError(
                    f"Line {number} is answered question by question: {localize(chore.proposal)}.",
                    f"Nothing was written. Use tunneltui put-right {chore.about}.",
                )
            if chore.choices:
                raise UserError(
                    f"Line {number} is to be decided: {localize(chore.proposal)}.",
                    f"Nothing was written. Write {answers_words(chore, number)}.",
                )
            keys = [piece.key for piece in chore.pieces]
            if part.places:
                out = self._pieces_at(chore, number, part.places)
                keys = [key for key in keys if key not in out]
            if part.up_to:
                last = self._pieces_at(chore, number, [part.up_to])
                keys = keys[: max(keys.index(key) for key in last) + 1]
            self._tick(chore, keys, number, explicit=True)

    def _all(self, part: LinePart) -> None:
        sheet = self._sheet()
        chores = {number: sheet.lines[number] for number in sheet.last}
        chores = {number: listed for number, listed in chores.items() if not part.row or listed.row == part.row}
        out = {leader.id for place in part.places for leader in self._leaders_on(chores, place, part)}
        left: list[str] = []
        for number, chore in chores.items():
            if not KINDS[chore.kind].is_ticked:
                left += [] if chore.id in self._weighed else [str(number)]
                continue
            keys = [piece.key for piece in chore.pieces if not (piece.leaders and out.issuperset(piece.leaders))]
            self._tick(chore, keys, number)
        if left:
            self._says.append(left_open(left))

    def _only(self, part: LinePart) -> None:
        """What the sheet said at some places."""
        sheet = self._sheet()
        chores = {number: sheet.lines[number] for number in sheet.last}
        leaders = {leader.id for place in part.places for leader in self._leaders_on(chores, place, part)}
        for number, chore in chores.items():
            keys = [piece.key for piece in chore.pieces if piece.leaders and leaders.issuperset(piece.leaders)]
            if keys and KINDS[chore.kind].is_ticked:
                self._tick(chore, keys, number)

    def _chosen(self, part: LinePart) -> None:
        for number in part.lines:
            chore = self._line(number)
            if not chore.choices:
                raise UserError(
                    f"Line {number} is nothing to decide: {localize(chore.proposal)}.",
                    f"Nothing was written. Write {number} where it was done as it says.",
                )
            choice = _meant(chore, part.word)
            if choice is None:
                raise UserError(
                    f"{part.text!r} is no one answer to line {number}: {localize(chore.proposal)}.",
                    f"Nothing was written. Write {answers_words(chore, number)}.",
                )
            if not self._open(chore, [piece.key for piece in chore.pieces]):
                self._says.append(answered_before(number))
                continue
            self._drafts += choice.writes
            self._says += [f"line {number}, {chore.about}: {choice.words}", *self._in_words(choice.writes)]

    def _tick(self, chore: Chore, keys: Collection[str], number: int, *, explicit: bool = False) -> None:
        """Writes the pieces of a line that are still open and that nothing else of the line stands in for."""
        if chore.id in self._weighed:
            return
        still = self._open(chore, keys)
        if not still:
            if explicit:
                self._says.append(done_before(number))
            return
        self._written |= {(chore.id, key) for key in still}
        drafts = self._with_tips(together(only(chore, still).writes))
        if not drafts:
            return
        self._says += [done_words(number, chore, len(still)), *self._in_words(drafts)]
        self._drafts += drafts

    def _open(self, chore: Chore, keys: Collection[str]) -> list[str]:
        done = self._done.get(chore.key, frozenset())
        return [
            piece.key
            for piece in chore.pieces
            if piece.key in keys
            and piece.key not in done
            and (chore.id, piece.key) not in self._written
            and all(leader in self._season.leaders for leader in piece.leaders)
        ]

    def _in_words(self, drafts: Iterable[Draft]) -> Iterator[str]:
        """Each entry as a sentence."""
        for written in drafts:
            entry = Entry("", "", "", self._season.day, 0, "", written.about, written.kind, 1, written.body)
            handled = (self._season.leaders.get(leader) for leader in parsed(written).get("leaders", ()))
            named = ", ".join(leader.name for leader in handled if leader is not None)
            line = say("    {}: {}", written.about or "the house", sentence(self._season, entry))
            yield say("{}: {}", line, named) if named else line

    def _pieces_at(self, chore: Chore, number: int, places: Iterable[str]) -> set[str]:
        """Keys of the pieces of a line that are of those plants; refused where a name may mean two."""
        standing = self._season.leaders
        keys: set[str] = set()
        for place in places:
            theirs = {
                piece.key: [standing[leader] for leader in piece.leaders if leader in standing]
                for piece in chore.pieces
            }
            meant = [leader for leaders in theirs.values() for leader in leaders if _is_named(place, leader)]
            if not meant:
                raise UserError(
                    f"Line {number} has nothing at {place}: {localize(chore.proposal)}.",
                    f"It is of {', '.join(leader.name for leaders in theirs.values() for leader in leaders)}.",
                )
            _one_place(place, meant)
            keys |= {key for key, leaders in theirs.items() if any(leader in meant for leader in leaders)}
        return keys

    def _leaders_on(self, chores: dict[int, Chore], place: str, part: LinePart) -> list[Leader]:
        """Every leader on the sheet at a place; refused where the name may mean two places, or a line."""
        leaders = names.leaders_at(self._season, place, part.row)
        on_the_sheet = {id_ for chore in chores.values() for id_ in chore.leaders}
        leaders = [leader for leader in leaders if leader.id in on_the_sheet] or leaders
        if re.fullmatch(r"[1-9]\d*", place) and int(place) in chores:
            line = chores[int(place)]
            raise UserError(
                f"{place} may be {_places_of(leaders)}, or line {place}: {localize(line.proposal)}.",
                f"Write {leaders[0].place}, or the lines that are meant, such as line {place}.",
            )
        _one_place(place, leaders)
        return leaders

    # What happened on the way

    def _picked(self, part: LinePart) -> None:
        picks = self._picks(part)
        fitting = [c for c in picks if part.lines or _names_cultivar(self._season, c, part.word)]
        if re.fullmatch(r"(?:line )?[1-9]\d*", part.word):
            number = int(part.word.removeprefix("line "))
            chore = self._line(number)
            if chore.kind != "pick":
                raise UserError(f"Line {number} is no pick: {localize(chore.proposal)}.", "Nothing was written.")
            fitting = [chore]
        cultivar = _cultivar_of(fitting[0]) if fitting else names.cultivar_key(self._season, part.word)
        if len(fitting) > 1:
            weight = part.text[len(part.word) :].strip()
            choices = "; ".join(f"{c.row} {_cultivar_of(c)} {weight}" for c in fitting)
            raise UserError(f"{part.text!r} may be several picks of today.", f"Write each: {choices}.")
        about = fitting[0].row if fitting else part.row or self._only_row_of(cultivar)
        body = Picked(cultivar, kg=part.amount)
        self._says.append(say("picked {} {} in {}", as_typed(part.amount, "kg"), cultivar, about or "the house"))
        doubt = pick_doubt(part.amount, plants_picked(self._season, about, cultivar))
        self._says += [doubt] if doubt else []
        self._drafts.append(draft(about, body, answers=fitting[0].answers if fitting else None))
        self._weighed |= {chore.id for chore in fitting}

    def _picks(self, part: LinePart) -> list[Chore]:
        sheet = self._shown.lines.values() if self._shown is not None else ()
        return [
            c
            for c in sheet
            if c.kind == "pick" and (not part.row or c.row == part.row) and c.key not in self._done
        ]

    def _only_row_of(self, cultivar: str) -> str:
        rows = {leader.row for leader in self._season.leaders.values() if leader.cultivar == cultivar}
        return rows.pop() if len(rows) == 1 else ""

    def _tip(self, part: LinePart) -> None:
        leader = names.leader(self._season, part.places[0], part.row)
        if part.amount > 600:
            raise UserError(
                say("{}: a tip is not {} under the wire.", f"{part.text!r}", as_typed(part.amount / 100, "cm"))
            )
        self._tips[leader.id] = part.amount / 100

    def _with_tips(self, writes: Sequence[Draft]) -> list[Draft]:
        """A lowering carries the tip that was read after it (rule 7: then it teaches growth)."""
        drafts = []
        for written in writes:
            body = typed(written) if written.kind == "lowered" else None
            if isinstance(body, Lowered) and body.leader in self._tips:
                under_m = self._tips.pop(body.leader)
                read = replace(body, tip_under_wire_m=under_m, as_proposed=False)
                plain = parsed(written)
                answers, pieces = plain.get("answers"), plain.get("pieces") or [""]
                new_draft = draft(written.about, read, tuple(answers) if answers else None, pieces[0])
                drafts.append(new_draft._replace(id=written.id))
            else:
                drafts.append(written)
        return drafts

    def _note(self, part: LinePart) -> None:
        self._drafts.append(draft(part.row, Note(part.word)))
        self._says.append(f"note: {part.word}")

    def _failed(self, part: LinePart) -> None:
        id_ = self._clip_meant(part)
        holder = next(leader for leader in self._season.leaders.values() if id_ in {f.id for f in leader.fixings})
        fixing = next(f for f in holder.fixings if f.id == id_)
        how = FAILED[part.word]
        self._drafts.append(draft(holder.place, ClipFailed(id_, how)))
        self._says.append(
            f"clip failed: {names.typed_name(self._season, holder, fixing)}, {how.replace('_', ' ')}"
        )

    def _clip_meant(self, part: LinePart) -> str:
        """Id of the clip; a bare number that is also a line about another clip is refused."""
        name = part.places[0]
        number = re.fullmatch(r"(line )?([1-9]\d*)", name)
        lines = self._shown.lines if self._shown is not None else {}
        chore = lines.get(int(number[2])) if number else None
        of_line = self._clip_of(chore) if chore is not None else None
        if number and number[1]:
            if of_line is None:
                raise UserError(f"{name.capitalize()} is not about a clip that holds now.", "Nothing was written.")
            return of_line
        if of_line is not None and chore is not None:
            leaders = names.leaders_at(self._season, name, part.row)
            raise UserError(
                f"{name} may be {_places_of(leaders)}, or line {name}: {localize(chore.proposal)}.",
                f"Write {leaders[0].place} {part.word}, or line {name} {part.word}.",
            )
        return names.fixing_id(self._season, name, part.row)

    def _clip_of(self, chore: Chore) -> str | None:
        """The clip that a line is about, where it still holds."""
        if chore.kind not in ON_A_CLIP:
            return None
        body = parsed(chore.writes[0])
        leader = self._season.leaders.get(str(body.get("leader")))
        near = [
            (abs(fixing.s_m - float(body.get("s_m") or 0.0)), fixing.id)
            for fixing in (leader.fixings if leader is not None else ())
            if (fixing.on, fixing.string) == (body.get("on", "string"), body.get("string", ""))
        ]
        return min(near)[1] if near else None

    def _accident(self, part: LinePart) -> None:
        for place in part.places:
            leader = names.leader(self._season, place, part.row)
            self._drafts.append(draft(leader.place, ACCIDENTS[part.word](leader.id)))
            self._says.append(f"{leader.name}: {part.word}")


def _meant(chore: Chore, word: str) -> Choice | None:
    """The one answer that a typed word means: its letter, or words of it alone."""
    typed_words = set(word.split())
    by_letter = [choice for choice in chore.choices if typed_words == {choice.key}]
    fitting = by_letter or [choice for choice in chore.choices if typed_words <= words_of(choice.words)]
    return fitting[0] if len(fitting) == 1 else None


def _is_named(place: str, leader: Leader) -> bool:
    """By its name, its place, or the number at the end of either, a 0 before it or not."""
    sought = place.casefold()
    own_names = (leader.name.casefold(), leader.place.casefold())
    tails = {name.rpartition("-")[2].lstrip("0") for name in own_names}
    return sought in own_names or sought.lstrip("0") in tails


def _one_place(name: str, meant: Sequence[Leader]) -> None:
    """Raises ``UserError`` where a name means plants at several places."""
    places = dict.fromkeys(leader.place for leader in meant)
    if len(places) > 1:
        raise UserError(
            f"{name} may be {' or '.join(places)}, so nothing was written.",
            f"Write it with its row, such as {next(iter(places))}.",
        )


def _places_of(leaders: Iterable[Leader]) -> str:
    return " or ".join(dict.fromkeys(leader.place for leader in leaders))


def _cultivar_of(chore: Chore) -> str:
    bodies = [typed(written) for written in chore.writes]
    return next((body.cultivar for body in bodies if isinstance(body, Picked)), "")


def _names_cultivar(season: Season, chore: Chore, word: str) -> bool:
    """Whether a pick is of the cultivar, or of the kind of fruit, that was typed."""
    key = _cultivar_of(chore)
    cultivar = season.layout.cultivars.get(key)
    return key.lower() == word or key.lower().startswith(word) or (cultivar is not None and cultivar.fruit == word)
