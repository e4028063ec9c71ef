"""What a rule is, how rules combine, and how a condition restricts the cases that a rule speaks of.

A rule asks a panel only for `is_on`, `position`, `inputs`, `coils`, and a state for `supply` and `positions`, so that
any engine with such states can decide it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from rungbook.behaviour import Panel, State
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.errors import LadderError
from rungbook.proof.explain import why
from rungbook.proof.explore import Edge
from rungbook.proof.rules.words import braced, check_position
from rungbook.proof.tell import does

#: a ladder's panel, decided by its contacts, with timers or without, or a board's, decided by its voltages
AnyPanel = Panel | TimedPanel | BoardPanel

Test = Callable[[AnyPanel, Edge[State], State], bool]


class Telling(NamedTuple):
    """A breach in words: what is seen, what was expected, and why."""

    seen: str
    expected: str
    why: str


Tells = Callable[[AnyPanel, Edge[State], State], Telling]


@dataclass(frozen=True)
class Rule:
    """A claim about loads in every case.

    sentence: the claim as the student reads it; `{S2}` stands for a device's name with its plate. output: the load it
    is about. wanted_on(panel, edge, after): how that load should be where the rule is broken.
    tested(panel, edge, after): True if this step puts the rule to the test. broken(panel, edge, after): True if the
    panel at rest in `after` breaks it; asked of tested and untested steps alike.
    also: further tests, signs that the circuit does anything at all; each must be passed by some step.
    passing: True if a state that is only passed through, while relays move, breaks it too.
    protects: True if a breach of it can hurt someone (something runs that must not); False if it stops the work only.
    names: the devices the rule speaks of; all must be on the panel.
    tells: None, or what puts a breach into words where it is not `output` that is wrong, or it is no load.
    judges: "step" if it speaks of what an order does, "state" if of each state by itself. whole: True if it speaks of
    all loads of the panel.
    joint, parts: "all" or "any" of `parts` for a rule that is made of others; its own tests are then not asked.
    """

    sentence: str
    output: str
    names: tuple[str, ...]
    tested: Test
    broken: Test
    wanted_on: Test
    also: tuple[Test, ...] = ()
    protects: bool = False
    passing: bool = False
    tells: Tells | None = None
    judges: Literal["step", "state"] = "step"
    whole: bool = False
    joint: Literal["", "all", "any"] = ""
    parts: tuple[Rule, ...] = ()

    def told(self, panel: AnyPanel) -> str:
        """The sentence with the plates of this panel: "Q1 pulls in when S2 (start) is pressed."."""
        text = self.sentence
        for name in self.names:
            text = text.replace("{" + name + "}", panel.devices[name].name if name in panel.devices else name)
        return text

    def telling(self, tells: Tells) -> Rule:
        """This rule, its breaches put into words by `tells`."""
        return replace(self, tells=tells)

    def breach(self, panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        """The breach of it in `after`, in words."""
        if self.tells is not None:
            return self.tells(panel, edge, after)
        return told_of(self.output, self.wanted_on(panel, edge, after), panel, edge, after)

    def only_while(self, device: str, position: str) -> Rule:
        """The same rule about fewer cases: those in which `device` is in `position`.

        Asked of the state before the order; of a rule about states ("judges"), of that very state. Only those cases
        put the rule to the test; signs that the circuit does anything at all (`also`) may come from any case.
        Raises LadderError if no kind of the device's letter has that position, or the rule speaks of every case.
        """
        return self._restricted(device, position, True)

    def unless(self, device: str, position: str) -> Rule:
        """The same rule about fewer cases: those in which `device` is not in `position`. Else as `only_while`."""
        return self._restricted(device, position, False)

    def _restricted(self, device: str, position: str, wanted: bool) -> Rule:
        thing = "only_while" if wanted else "unless"
        check_position(thing, device, position)
        if self.whole:
            raise LadderError(thing, "this rule speaks of every case and takes no condition", self.sentence)

        def where(test: Test) -> Test:
            def restricted(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
                state = after if self.judges == "state" else edge.before
                return test(panel, edge, after) and (panel.position(device, state) == position) == wanted

            return restricted

        word = "if" if wanted else "unless"
        return replace(
            self,
            sentence=f"{self.sentence.rstrip('.')}, {word} {braced(device)} is {position}.",
            names=tuple(dict.fromkeys((*self.names, device))),
            tested=where(self.tested),
            broken=where(self.broken),
            parts=tuple(part._restricted(device, position, wanted) for part in self.parts),
        )

    def __and__(self, other: object) -> Rule:
        return all_of(self, other) if isinstance(other, Rule) else NotImplemented

    def __or__(self, other: object) -> Rule:
        return any_of(self, other) if isinstance(other, Rule) else NotImplemented

    def __bool__(self) -> bool:
        rule = "rules are joined with & (both) and | (one of them); 'and', 'or' and 'not' would lose some"
        raise LadderError(self.sentence, rule, choices=("one & other", "one | other"))


def told_of(tag: str, wanted_on: bool, panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
    """What load `tag` does, what it should do, and why it does not."""
    before = None if edge.step is None else panel.is_on(tag, edge.before)
    reason = why(panel, tag, wanted_on, after, edge.step)
    return Telling(does(tag, before, panel.is_on(tag, after)), does(tag, before, wanted_on), reason)


def always(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
    """A test that every state passes."""
    return True


def never(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
    """A test that no state passes."""
    return False


def arrives(panel: AnyPanel, edge: Edge[State], after: State, device: str, position: str) -> bool:
    """True if the step brings `device` into `position`."""
    return panel.position(device, edge.before) != position == panel.position(device, after)


def all_of(*rules: Rule, sentence: str = "") -> Rule:
    """Every one of `rules`; `one & other` is the same.

    Holds if all hold. Else broken if one is, by the shortest sequence that breaks one; else not decided, or not shown,
    if one is. sentence: in place of their sentences one after the other. Raises LadderError without rules.
    """
    return _joined("all", rules, sentence or " ".join(rule.sentence for rule in _checked("all_of", rules)))


def any_of(*rules: Rule, sentence: str = "") -> Rule:
    """At least one of `rules`, and that one in every case; `one | other` is the same.

    Holds if one holds, whatever becomes of the others. Else not decided, or not shown, if one is; else all are broken.
    sentence: in place of their sentences. Raises LadderError without rules.
    """
    told = "; or: ".join(rule.sentence.rstrip(".") for rule in _checked("any_of", rules))
    return _joined("any", rules, sentence or (f"One of these holds: {told}." if len(rules) > 1 else f"{told}."))


def _checked(thing: str, rules: tuple[Rule, ...]) -> tuple[Rule, ...]:
    if not rules or not all(isinstance(rule, Rule) for rule in rules):
        raise LadderError(thing, "takes one rule or more", rules, ("off_while('Q1', 'S1', 'pressed')",))
    return rules


def _joined(joint: Literal["all", "any"], rules: tuple[Rule, ...], sentence: str) -> Rule:
    names = tuple(dict.fromkeys(name for rule in rules for name in rule.names))
    return Rule(
        sentence,
        rules[0].output,
        names,
        never,
        never,
        never,
        protects=any(rule.protects for rule in rules),
        whole=any(rule.whole for rule in rules),
        joint=joint,
        parts=rules,
    )
