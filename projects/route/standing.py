"""A job's standing, computed from its facts: stage, next steps, whom it waits on, when the next thing is due."""

from __future__ import annotations

from dataclasses import replace

from projects.route.facts import JobFacts, PauseFacts
from projects.route.gates import gates_of
from projects.route.pauses import CAUSES, LOOK_AGAIN, current_pause, look_again_sentence
from projects.route.pressing import pressing_order
from projects.route.requirements import REQUIREMENTS
from projects.route.requirements.base import Done
from projects.route.requirements.service import SERVICE_KEYS
from projects.route.stages import stage_title
from projects.route.standing_types import Gate, RequirementStanding, Standing, State
from projects.route.words import party_name, short_date, within_sentence


def standing(facts: JobFacts) -> Standing:
    """Pure: the same facts give the same answer. A lost or cancelled job keeps its stage and has no next steps."""
    requirements = _walk(facts)
    undone = next((requirement for requirement in requirements if not requirement.done), None)
    stage = undone.stage if undone else "in_service"
    gates = gates_of(facts, requirements, stage)
    pressing = pressing_order(requirements, stage)
    pause = current_pause(facts)
    if pause is not None:
        look = _look_again(facts, pause, stage)
        pressing = (look,)
        requirements = _before_its_stage(requirements, look)
        gates = tuple(_at_rest(gate, facts, pause) for gate in gates)
    first = pressing[0] if pressing else None
    return Standing(
        stage=stage,
        stage_title=stage_title(stage, facts.system_type),
        in_service=undone is None or undone.key in SERVICE_KEYS,
        requirements=requirements,
        gates=gates,
        waiting_on=first.party if first else None,
        waiting_on_name="nobody, it is paused" if pause else party_name(facts, first.party) if first else "",
        next_step=first.sentence if first else "",
        due_on=min((r.due_on for r in pressing if r.due_on), default=None),
        outcome=facts.outcome,
        paused=pause,
        pressing=tuple(requirement.key for requirement in pressing),
    )


def _look_again(facts: JobFacts, pause: PauseFacts, stage: str) -> RequirementStanding:
    """The one next step of a paused job; it is no requirement of the route and comes with the pause alone."""
    return RequirementStanding(
        key=LOOK_AGAIN,
        stage=stage,
        sentence=look_again_sentence(pause),
        party="office",
        state="open",
        met_on=None,
        due_on=pause.look_again_on,
        after=(),
        detail=f"paused since {short_date(pause.on, facts.today)}: {CAUSES[pause.cause]}",
        hold=False,
        waivable=False,
    )


def _before_its_stage(
    requirements: tuple[RequirementStanding, ...], look: RequirementStanding
) -> tuple[RequirementStanding, ...]:
    index = next((i for i, r in enumerate(requirements) if r.stage == look.stage), len(requirements))
    return (*requirements[:index], look, *requirements[index:])


def _at_rest(gate: Gate, facts: JobFacts, pause: PauseFacts) -> Gate:
    """Nobody works on a paused job: what was live waits."""
    if gate.state != "live":
        return gate
    caption = f"paused, look again {short_date(pause.look_again_on, facts.today)}" if gate.current else gate.caption
    return replace(gate, state="waiting", caption=caption)


def _walk(facts: JobFacts) -> tuple[RequirementStanding, ...]:
    """In route order, so that each requirement finds those that come before it already judged."""
    done = Done(facts)
    undone: dict[str, str] = {}
    """Sentences of those not done, to say what must come first."""
    answer = []
    for requirement in REQUIREMENTS:
        if not requirement.applies(facts):
            continue
        key = requirement.key
        sentence = requirement.sentence(facts)
        met = requirement.met(facts)
        state: State = "met"
        on = due = None
        detail = ""
        missing: tuple[str, ...] = ()
        if met is not None:
            on = done.on[key] = met.on
        elif requirement.waivable and key in facts.waivers:
            state = "waived"
            on = done.on[key] = facts.waivers[key].on
        else:
            undone[key] = within_sentence(sentence)
            due = requirement.due(facts, done)
            detail = requirement.detail(facts)
            state = "waiting"
            if not facts.outcome:
                missing = tuple([undone[first] for first in requirement.after if first in undone])
                state = "waiting" if missing else "open"
        if requirement.keeps_detail:
            detail = requirement.detail(facts)
        # By position: this runs some fifty times for each job of a list.
        answer.append(
            RequirementStanding(
                key,
                requirement.stage,
                sentence,
                requirement.party,
                state,
                on,
                due,
                missing,
                detail,
                requirement.hold,
                requirement.waivable,
                requirement.branch,
                requirement.mark,
            )
        )
    return tuple(answer)
