"""What the lamp asks of a moth: keeping a female, and a second look at the night."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.desk.entries.female_form import warnings
from rearing.desk.lamp.ask_clock import Asks, options
from rearing.desk.lamp.lamp_ask import Option, Said, Step
from rearing.desk.lamp.lamp_look import short_name
from rearing.keeping import lamp, mothers
from rearing.keeping.lamp_kept import free_females, next_wild_code
from rearing.keeping.lamp_second_look import (
    Counted,
    call_again,
    counted_kinds,
    moth_kind,
)
from rearing.problems import Refusal
from rearing.records.rows import MothRow
from rearing.terms import LawFlag, Mated, Sex, Sure, Wings

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.lamp.lamp_ask import LampAsk
    from rearing.desk.lamp.lamp_hand import Hand

_WINGS = (Wings.NOT_NOTED, Wings.FRESH, Wings.WORN, Wings.CRIPPLED)
_MATED = (Mated.UNKNOWN, Mated.YES, Mated.NO)


@dataclass(frozen=True, slots=True)
class _Looked:
    """What is looked at again: a kept moth, or what a check counted of a kind."""

    moth: MothRow | None
    counted: Counted | None
    taxon: str
    sex: Sex
    number: int = 1


def _number(text: str) -> int:
    if not text.strip().isdecimal():
        raise Refusal("How many, in figures?")
    return int(text)


class MothAsks(Asks):
    """Keeping a female, and looking again."""

    def __init__(self, hand: Hand, line: LampAsk, told: Callable[[], object]) -> None:
        super().__init__(hand, line, told)
        self._looked: _Looked | None = None

    # keeping a female

    def keep(self) -> None:
        """Ask about the female counted last; where several kinds came, which."""
        night = self._hand.need()
        lines = free_females(self._hand.session.book, night.row.id)
        taxa = list(dict.fromkeys(line.taxon for line in lines))
        if not taxa:
            raise Refusal(
                "No female is counted that is not kept yet: F, then her species' key."
            )
        if len(taxa) == 1:
            self._keep_steps(taxa[0])
            return
        told: list[tuple[str, object]] = [(name, name) for name in taxa]
        step = Step("taxon", "Which", options=options(told))
        self._ask.ask("Keep a female", (step,), self._which)

    def _which(self, said: Said) -> None:
        self._keep_steps(said.text("taxon"))

    def _keep_steps(self, taxon: str) -> None:
        session, night = self._hand.session, self._hand.need()
        sheet = session.shelf.get(taxon)
        law = (sheet.law.flag if sheet else None) or LawFlag.FREE
        code = next_wild_code(session.book, night.row.evening.year)
        hint = "Write it on the bag before she goes in, and on a slip inside"
        steps = [
            Step("code", "Code", value=code, hint=hint),
            Step("bag", "Kept in", value=self._next_bag(), hint="Bag, box, net cage"),
            Step("wings", "Wings", options=options([(str(w), w) for w in _WINGS])),
            Step("mated", "Mated", options=options([(str(m), m) for m in _MATED])),
        ]
        if law in {LawFlag.DO_NOT_KEEP, LawFlag.PERMIT}:
            steps.append(Step("permit", "Permit number", hint="Empty: there is none"))

        def finish(said: Said) -> None:
            self._keep(taxon, law, said)

        caution = warnings(sheet) if sheet else ""
        self._ask.ask(f"Keep ♀ {short_name(taxon)}", steps, finish, caution=caution)

    def _next_bag(self) -> str:
        kept = len(self._hand.need().kept)
        return f"bag {kept + 1}"

    def _keep(self, taxon: str, law: LawFlag, said: Said) -> None:
        hand = self._hand
        book, night = hand.session.book, hand.need()
        lines = free_females(book, night.row.id)
        line = next((one for one in lines if one.taxon == taxon), None)
        wings, mated = said.get("wings"), said.get("mated")
        touched = hand.do(
            mothers.keep_female,
            night_id=night.row.id,
            taxon=taxon,
            arrival_id=line.id if line else None,
            kept_at=hand.minute,
            condition=mothers.Condition(
                wings=wings if isinstance(wings, Wings) else Wings.NOT_NOTED,
                mated=mated if isinstance(mated, Mated) else Mated.UNKNOWN,
                container=said.text("bag") or None,
            ),
            code=said.text("code") or None,
            law=law,
            permit=said.text("permit") or None,
            sure=said.sure,
        )
        hand.read()
        moth = book.one(MothRow, touched.new_id)
        bag = f", {moth.container}" if moth.container else ""
        hand.say(f"Kept {moth.code}, ♀ {taxon}{bag}. P prints her label.")
        self._told()

    # a second look

    def look_again(self) -> None:
        """Ask which moth or count is looked at again."""
        told = self._subjects()
        if not told:
            raise Refusal("Nothing is counted in this night yet.")
        step = Step("whom", "Which", options=options(told))
        self._ask.ask("Second look", (step,), self._chosen)

    def _subjects(self) -> list[tuple[str, object]]:
        hand = self._hand
        book, night, on = hand.session.book, hand.need(), hand.session.on
        told: list[tuple[str, object]] = []
        for moth in night.kept:
            taxon, sex = moth_kind(book, moth, on)
            words = f"{moth.code} {sex.sign} {short_name(taxon)}"
            told.append((words, _Looked(moth, None, taxon, sex)))
        for one in reversed(counted_kinds(book, night.row.id)):
            at = one.check.at
            clock = f"{at.astimezone(night.zone):%H:%M}" if at else "open"
            words = f"{clock} {one.number} {one.sex.sign} {short_name(one.taxon)}"
            told.append((words, _Looked(None, one, one.taxon, one.sex, one.number)))
        return told

    def _chosen(self, said: Said) -> None:
        looked = said.get("whom")
        if not isinstance(looked, _Looked):
            return
        self._looked = looked
        hand = self._hand
        names = dict.fromkeys((looked.taxon, *filter(None, hand.keys)))
        sheets = hand.session.shelf.names
        likely = Sex.MALE if looked.sex is Sex.FEMALE else Sex.FEMALE
        sexes = [likely, *(sex for sex in Sex if sex is not likely)]
        caps = {Sex.MALE: "m", Sex.FEMALE: "f", Sex.NOT_LOOKED: "o"}
        steps = [
            Step("taxon", "It is", names=tuple(dict.fromkeys((*names, *sheets)))),
            Step(
                "sex",
                "Sex",
                options=tuple(Option(caps[sex], str(sex), sex) for sex in sexes),
            ),
            Step("sure", "How sure", options=options([(str(s), s) for s in Sure])),
            Step("who", "Called by", value=hand.session.home.keeper),
        ]
        if looked.number > 1:
            hint = f"Of the {looked.number} counted at that check"
            steps.insert(0, Step("number", "How many", _number, "1", hint))
        whom = looked.moth.code if looked.moth else f"the {short_name(looked.taxon)}"
        self._ask.ask(f"Second look at {whom}", steps, self._call)

    def _call(self, said: Said) -> None:
        hand, looked = self._hand, self._looked
        if looked is None:
            return
        sex, sure, number = said.get("sex"), said.get("sure"), said.get("number")
        call = lamp.Call(
            said.text("taxon") or looked.taxon,
            sex if isinstance(sex, Sex) else looked.sex,
            said.text("who"),
            sure if isinstance(sure, Sure) else Sure.CERTAIN,
        )
        names = tuple(dict.fromkeys((looked.taxon, call.taxon)))
        before = ", ".join(hand.total_words(name) for name in names)
        closes = ""
        if looked.moth is not None:
            touched = hand.do(lamp.redetermine_moth, moth_id=looked.moth.id, call=call)
            closes = touched.sentence.partition(";")[2]
        elif looked.counted is not None:
            many = number if isinstance(number, int) else 1
            hand.do(call_again, counted=looked.counted, number=many, call=call)
        hand.read()
        after = ", ".join(hand.total_words(name) for name in names)
        more = f"{closes.strip().capitalize()}. " if closes else ""
        hand.say(f"{before} → {after}. {more}The first call stays in the book.")
        self._told()
