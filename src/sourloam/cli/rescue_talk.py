"""The conversation in the terminal: signs first, then one question at a time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, TextIO

from rich.console import Console

from sourloam.cli.asking import System
from sourloam.cli.rescue_text import signs_text, told
from sourloam.triage import (
    SIGNS,
    Answer,
    Context,
    Question,
    Verdict,
    answer_to,
    diagnose,
    judged,
)
from sourloam.triage.signs import asked_outright, clashing

_YES, _NO = ("y", "yes"), ("n", "no")
_ENOUGH, _SKIP = ("q", "quit"), ("", "?")


class Talk:
    """One conversation; where the input ends, it ends with what was told until then."""

    def __init__(
        self,
        stage: Literal["vessel", "ground"],
        context: Context,
        heard: TextIO,
        said: TextIO,
        system: System = "metric",
    ) -> None:
        self._system = system
        self._stage, self._context, self._heard = stage, context, heard
        self._console = Console(file=said)
        self._seen: set[str] = set()
        self._absent: set[str] = set()
        self._skipped: set[str] = set()
        self._warned: set[str] = set()
        self._helped: set[str] = set()
        self._over = False

    def held(self) -> Answer:
        """Ask until enough is known; the answer."""
        self._console.print(signs_text(self._stage, numbered=True))
        self._first_signs()
        answer = self._answer()
        while answer.question is not None and not self._over:
            self._warn(answer)
            self._help(answer)
            self._ask(answer.question)
            answer = self._answer()
        self._say("")
        return answer

    def _answer(self) -> Answer:
        beliefs = judged(self._stage)
        verdict: Verdict = diagnose(self._seen, self._absent, self._context, beliefs)
        return answer_to(verdict, self._skipped, beliefs)

    def _first_signs(self) -> None:
        choices = asked_outright(self._stage)
        while not self._over:
            line = self._line("What is there? Numbers, parted by spaces: ")
            words = line.replace(",", " ").split()
            wrong = [w for w in words if not (w.isdigit() and 1 <= int(w) <= len(choices))]
            if wrong:
                self._say(f"{wrong[0][:20]}: choose numbers from 1 to {len(choices)}")
                continue
            chosen = {choices[int(word) - 1].id for word in words}
            pairs = clashing(chosen)
            self._seen = chosen
            for first, second in pairs:
                self._say(f"Both cannot be: {SIGNS[first].label}; {SIGNS[second].label}.")
            return

    def _warn(self, answer: Answer) -> None:
        """A caution that says stop comes before the next question, once."""
        for caution in answer.cautions:
            if caution.stop and caution.id not in self._warned:
                self._warned.add(caution.id)
                self._say(told(caution.text, self._system))

    def _help(self, answer: Answer) -> None:
        """What the signs ask for at once comes before the next question, once."""
        new = [step for step in answer.first if step.msgid not in self._helped]
        if new:
            self._say("\nAt once, while we find out:")
        for step in new:
            self._helped.add(step.msgid)
            self._say(f"- {told(step, self._system)}")

    def _ask(self, question: Question) -> None:
        self._say("")
        if question.how:
            self._say(question.how)
        if question.is_choice:
            self._choose(question)
            return
        while not self._over:
            word = self._line(f"{question.text} [y/n, Enter: don't know, q: enough] ").lower()
            if word in (*_YES, *_NO):
                self._take(question, question.options if word in _YES else ())
                return
            if self._left(word, question):
                return
            self._say(f"{word[:20]}: answer y, n, q or Enter")

    def _choose(self, question: Question) -> None:
        self._say(question.text)
        for number, option in enumerate(question.options, start=1):
            sign = SIGNS[option]
            self._say(f"  {number}  {sign.label if question.several else sign.question}")
        many, last = question.several, len(question.options)
        prompt = "numbers, parted by spaces" if many else "number"
        while not self._over:
            line = self._line(f"[{prompt}, 0: none of these, Enter: don't know, q: enough] ")
            word = line.lower()
            numbers = word.replace(",", " ").split()
            if numbers and all(n.isdigit() and int(n) <= last for n in numbers):
                chosen = [question.options[int(n) - 1] for n in numbers if int(n)]
                if len(chosen) <= (last if many else 1):
                    self._take(question, chosen)
                    return
            if self._left(word, question):
                return
            wanted = "numbers" if many else "a number"
            self._say(f"{word[:20]}: answer {wanted} from 0 to {last}, q or Enter")

    def _left(self, word: str, question: Question) -> bool:
        """Whether the question was left without an answer."""
        if word in _ENOUGH:
            self._over = True
        if word in _SKIP:
            self._skipped |= set(question.options)
        return word in (*_ENOUGH, *_SKIP)

    def _take(self, question: Question, chosen: Sequence[str]) -> None:
        seen, absent = question.answers(chosen)
        self._seen |= set(seen)
        self._absent |= set(absent)

    def _line(self, prompt: str) -> str:
        self._console.print(prompt, end="", markup=False, highlight=False, soft_wrap=True)
        self._console.file.flush()
        line = self._heard.readline()
        if not line:
            self._over = True
        return line.strip()

    def _say(self, text: str) -> None:
        self._console.print(text, markup=False, highlight=False)
