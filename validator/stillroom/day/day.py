"""Day: a canning day worked out before it begins, from the tested schedule and the rules of the publication.

Every stretch of the clock carries the page it stands on. Rules of thumb stand beside the plan and decide nothing.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stillroom.answers import dates, question
from stillroom.answers.answer import Answer, Option, Stated
from stillroom.answers.kitchen import Taken
from stillroom.answers.rulebook import Rulebook
from stillroom.answers.wording import listed
from stillroom.day import clock, gauge, loads
from stillroom.day.clock import Span
from stillroom.day.handling import Handling, Kind, handling
from stillroom.day.loads import Capacity
from stillroom.errors import BadInput
from stillroom.package.records import Practice
from stillroom.recipes import buying, fills, own_yield
from stillroom.recipes.buying import Purchase
from stillroom.recipes.fills import Filling
from stillroom.recipes.own_yield import Made

if TYPE_CHECKING:
    from stillroom.answers.shelf import Shelf

MOST_HEATING_MIN = 120
"""More minutes than a steam canner takes to fill with steam: a slip of the pen (only guards against slips)."""
_SPECIAL_STARTS = {
    "fish-quart-start": ("water-fish-quarts", "heat-fish-quarts"),
    "smoked-fish-water": ("water-smoked-fish", None),
}
"""Statements that change how a canner is started, with the rules for its water and its heating."""
_IN_TEXT = frozenset(("racks-between-layers", "vent-clear", "vent-lock-moves"))
"""Rules of thumb that belong to the checks before the start, not to the figures of the run."""


@dataclass(frozen=True)
class Step:
    """One stretch of the clock.

    Attributes
    ----------
    id : str
        ``heat``, ``vent``, ``come-up``, ``process``, ``cool`` or ``wait``.
    text : str
        What happens, in a few words.
    lasts : Span
        Minutes.
    page : str
        Printed page; blank: no page gives it, and the figure is the owner's own.
    begins : Span
        Minutes from the start of the day, earliest and latest.
    event : str
        Event of the log of a run that begins the step; blank where there is none.
    """

    id: str
    text: str
    lasts: Span
    page: str
    begins: Span
    event: str


@dataclass(frozen=True)
class Load:
    """One canner load.

    Attributes
    ----------
    number : int
        From 1.
    jars : int
        In this load.
    layers : int or None
        None: nothing is printed for the jar size.
    part : bool
        Whether the load is not full.
    steps : tuple of Step
        In their order.
    begins : Span
        Heat on, minutes from the start of the day, earliest and latest.
    ends : Span
        Lid off, minutes from the start of the day, earliest and latest.
    """

    number: int
    jars: int
    layers: int | None
    part: bool
    steps: tuple[Step, ...]
    begins: Span
    ends: Span

    @property
    def lasts(self) -> Span:
        """Minutes from heat on to jars out."""
        return clock.total(step.lasts for step in self.steps)


@dataclass(frozen=True)
class Plan:
    """A canning day.

    Attributes
    ----------
    answer : Answer
        The tested schedule.
    option : Option
        The one planned with.
    others : tuple of Option
        Equal options that were not taken.
    jars : int
        In all; the most that the raw food fills, where pounds or bushels were said.
    capacity : Capacity
        Jars to a load.
    loads : tuple of Load
        In their order.
    purchases : tuple of Purchase
        Raw food; empty where no yield is printed for this jar, or where the raw food itself was said.
    water : tuple of Stated
        Water in the canner.
    dial_psi : float or None
        What the dial must show; None where there is no dial.
    gauge_off_psi : float or None
        By how much the gauge reads high; negative where it reads low; None where nothing was said.
    lasts : Span
        Minutes from the first heat on to the last jars out.
    start_min : int or None
        Minutes after midnight; None where no start was said.
    cautions : tuple of Stated
        Of the plan; those of the schedule stand in the option.
    practice : tuple of Practice
        Rules of thumb, without a source.
    handling : Handling
        General rules for the jars: before, after, and one in doubt.
    taken : tuple of Taken
        What came from the kitchen file; empty where nothing did.
    filling : Filling or None
        The raw food that was said in place of jars, and the jars it fills; None where jars were said.
    made : Made or None
        Whole batches by the recipe's own yield, where no yield of raw food is printed; None elsewhere.
    variety : str or None
        As said, where a recipe tells varieties apart.
    timing : Stated or None
        When the process time starts, in this kind of canner; always set.
    """

    answer: Answer
    option: Option
    others: tuple[Option, ...]
    jars: int
    capacity: Capacity
    loads: tuple[Load, ...]
    purchases: tuple[Purchase, ...]
    water: tuple[Stated, ...]
    dial_psi: float | None
    gauge_off_psi: float | None
    lasts: Span
    start_min: int | None
    cautions: tuple[Stated, ...]
    practice: tuple[Practice, ...]
    handling: Handling
    taken: tuple[Taken, ...] = ()
    filling: Filling | None = None
    made: Made | None = None
    variety: str | None = None
    timing: Stated | None = None

    @property
    def under_pressure(self) -> bool:
        """Whether the schedule is for a pressure canner."""
        return self.option.pressure_psi is not None

    @property
    def kind(self) -> Kind:
        """Which general rules its canner takes: ``pressure``, ``boiling-water`` or ``steam``."""
        return kind_of(self.answer.canner)


def kind_of(canner: str) -> Kind:
    """Tell which general rules a canner takes, by its id."""
    return _KINDS.get(canner, "pressure")


_KINDS: dict[str, Kind] = {"boiling-water": "boiling-water", "steam": "steam"}


def plan(
    answer: Answer,
    shelf: Shelf,
    *,
    jars: Any = None,
    pounds: Any = None,
    bushels: Any = None,
    variety: Any = None,
    heating_min: Any = None,
    holds: Any = None,
    option_minutes: Any = None,
    gauge_reads_high_by: Any = None,
    gauge_tested: Any = None,
    start: Any = None,
    on: Any = None,
    taken: tuple[Taken, ...] = (),
    own_clock: OwnTimes | None = None,
) -> Plan:
    """Work out a canning day; see :func:`stillroom.plan`."""
    shelf.need_guide(answer.food, "no day is planned")
    number, filling, made = _jars(answer, shelf, jars, pounds, bushels, variety)
    capacity = loads.capacity(holds, answer.jar, answer.canner, shelf)
    option = _chosen(answer.options, option_minutes)
    rules = shelf.rules
    start_min = None if start is None else clock.minute_of_day(start)
    dial_psi, off = _dial(answer, option, gauge_reads_high_by, shelf)
    overdue = _overdue(answer, gauge_tested, canning_day(on), shelf)
    stretches = _stretches(answer, option, rules, _own_heating(heating_min, answer, shelf))
    stretches, lent = _lent(stretches, option, own_clock)
    planned = _loads(number, capacity.jars, answer, stretches, shelf)
    return Plan(
        answer=answer,
        option=option,
        others=tuple(other for other in answer.options if other is not option),
        jars=number,
        capacity=capacity,
        loads=planned,
        purchases=() if filling else buying.purchases(answer.food, answer.jar, number, shelf.package),
        water=_water(answer, option, shelf),
        dial_psi=dial_psi,
        gauge_off_psi=off,
        lasts=clock.total(load.lasts for load in planned),
        start_min=start_min,
        cautions=(
            *overdue,
            *lent,
            *_open_ended(option, rules),
            *_cautions(answer, option, capacity, off, shelf),
        ),
        practice=_practice(answer, option, planned, shelf),
        handling=handling(answer, shelf.foods[answer.food], kind_of(answer.canner), rules),
        taken=taken,
        filling=filling,
        made=made,
        variety=variety,
        timing=_timing(answer, option, dial_psi, shelf),
    )


def _jars(
    answer: Answer, shelf: Shelf, jars: Any, pounds: Any, bushels: Any, variety: Any
) -> tuple[int, Filling | None, Made | None]:
    """Jars to plan for, as said or the most that the raw food fills; and the batches, where the recipe's yield says."""
    said = {"jars": jars, "pounds": pounds, "bushels": bushels}
    given = [name for name, value in said.items() if value is not None]
    if len(given) != 1:
        how = "are not said" if not given else f"and {listed(given[1:], 'and')} are said together"
        raise BadInput(f"{given[0] if given else 'jars'} {how}: say one of jars, pounds or bushels")
    if jars is not None:
        number = question.count("jars", jars, loads.MOST_JARS)
        return number, None, own_yield.for_jars(answer, number, variety, shelf)
    measure: fills.Measure = "bushels" if pounds is None else "pounds"
    filling, made = fills.filling(answer.food, answer.jar, measure, said[measure], shelf), None
    if filling is None:
        made = own_yield.for_raw_food(answer, measure, said[measure], variety, shelf)
        filling = made.filling
    if filling is None or filling.jars_to > loads.MOST_JARS:
        raise BadInput(f"{measure} fill more than {loads.MOST_JARS:,} jars: check the figure")
    return filling.jars_to, filling, made


def canning_day(on: Any) -> datetime.date:
    """Read the day of the canning; today where none was said."""
    return datetime.date.today() if on is None else dates.day("canning day", on)


def _chosen(options: tuple[Option, ...], minutes: Any) -> Option:
    if minutes is None:
        return options[0]  # the first printed has the lowest pressure, which every canner reaches
    said = [f"{option.minutes}" for option in options]
    for option in options:
        if str(minutes).strip() == str(option.minutes):
            return option
    raise BadInput(f'option minutes "{str(minutes)[:20]}" is not in this schedule: it has {listed(said)} minutes')


def _dial(answer: Answer, option: Option, off: Any, shelf: Shelf) -> tuple[float | None, float | None]:
    if off is not None:
        reading = gauge.reading_for(option, off, shelf)
        return reading, float(gauge.error_psi(off))
    if answer.canner == "dial" and option.pressure_psi is not None:
        return float(option.pressure_psi), None
    return None, None


def _overdue(answer: Answer, tested: Any, on: datetime.date, shelf: Shelf) -> tuple[Stated, ...]:
    if tested is None:
        return ()
    if answer.canner != "dial":
        raise BadInput("the date of a gauge test is for a dial gauge: leave it out for this canner")
    found = gauge.overdue(tested, on, shelf)
    return () if found is None else (found,)


# the clock


OwnTimes = Mapping[str, tuple[Span, int]]
"""The owner's own range of a stretch, and the number of loads it is from, by the id of the stretch."""
_OWN = {"heat": "heating", "come-up": "coming up", "cool": "cooling"}
Stretches = tuple[tuple[str, str, Span, str, str], ...]
"""Id, text, minutes, page and event of each stretch of a load; page blank: the owner's own figure."""


def _loads(jars: int, holds: int, answer: Answer, stretches: Stretches, shelf: Shelf) -> tuple[Load, ...]:
    begins = Span(0, 0)
    planned = []
    for number, held in enumerate(loads.split(jars, holds), start=1):
        at = begins
        steps = []
        for name, text, lasts, page, event in stretches:
            steps.append(Step(name, text, lasts, page, at, event))
            at = at.plus(lasts)
        in_layers = loads.layers(held, answer.jar, answer.canner, shelf)
        planned.append(Load(number, held, in_layers, held < holds, tuple(steps), begins, at))
        begins = at
    return tuple(planned)


def _own_heating(said: Any, answer: Answer, shelf: Shelf) -> Span | None:
    """Minutes in which the owner's steam canner fills with steam, which are printed nowhere; None for others."""
    if not shelf.canners[answer.canner].by_rule:
        if said is not None:
            raise BadInput("heating minutes of your own are for a steam canner: the publication prints the others'")
        return None
    if said is None:
        raise BadInput(
            "no heating time is printed for a steam canner: say in how many minutes yours is full of steam with "
            "--heating-min"
        )
    minutes = question.count("heating minutes", said, MOST_HEATING_MIN)
    return Span(minutes, minutes)


def _stretches(answer: Answer, option: Option, rules: Rulebook, own_heating: Span | None) -> Stretches:
    process = Span(option.minutes, option.minutes)
    if own_heating is not None:
        return (
            ("heat", "Heat until the steam column is full", own_heating, "", ""),
            ("process", "Process", process, option.page, "steam-full"),
        )
    if option.pressure_psi is None:
        return (
            ("heat", "Heat to a full boil", *_by(rules, "heat-to-boil"), ""),
            ("process", "Process", process, option.page, "boil"),
            ("wait", "Wait, heat and lid off", *_by(rules, "boiling-water-wait"), ""),
        )
    special = next((heat for _, heat in _special_starts(option) if heat is not None), None)
    heating = "Heat until steam flows" if special is None else "Heat to steady steam, at least"
    return (
        ("heat", heating, *_by(rules, special or "heat-to-vent"), ""),
        ("vent", "Vent", *_by(rules, "vent-time"), "vent-start"),
        ("come-up", "Close the vent; bring to pressure", *_by(rules, "vent-to-pressure"), "weight-on"),
        ("process", "Process", process, option.page, "rocking" if answer.canner == "weighted" else ""),
        ("cool", "Cool by itself", *_by(rules, "cool-down"), "heat-off"),
        ("wait", "Wait, weight off", *_by(rules, "wait-after-weight-off"), "lock-dropped"),
    )


def _lent(stretches: Stretches, option: Option, own: OwnTimes | None) -> tuple[Stretches, tuple[Stated, ...]]:
    """Take the owner's own ranges in place of the printed ones, and say so. What is fixed stays: venting, the process
    and the waits; and heating, where the publication says how the canner is started."""
    fixed = {"heat"} if _special_starts(option) else set()
    taken = {name: own[name] for name in ("heat", "come-up", "cool") if own and name in own and name not in fixed}
    if own is not None and not taken:
        few = "Your season shows none of its times in loads enough of this canner and jar: the printed ranges stand."
        return stretches, (Stated("own-clock", few, None, None),)
    if not taken:
        return stretches, ()
    told = listed([f"{_OWN[name]} {span} ({loads} loads)" for name, (span, loads) in taken.items()], "and")
    said = f"From your own loads in this canner, in place of the printed ranges: {told}."
    lasting = tuple(
        (name, text, taken[name][0], "", event) if name in taken else (name, text, lasts, page, event)
        for name, text, lasts, page, event in stretches
    )
    return lasting, (Stated("own-clock", said, None, None),)


def _by(rules: Rulebook, name: str) -> tuple[Span, str]:
    return Span(*map(int, rules.figures(name))), rules.rule(name).page


def _special_starts(option: Option) -> tuple[tuple[str, str | None], ...]:
    required = {stated.id for stated in option.requires}
    return tuple(start for name, start in _SPECIAL_STARTS.items() if name in required)


# water, cautions, rules of thumb


_STEAM_WATER = "As much water as the manual of your steam canner says: no publication here prints it."


def _water(answer: Answer, option: Option, shelf: Shelf) -> tuple[Stated, ...]:
    rules = shelf.rules
    if shelf.canners[answer.canner].by_rule:
        return (Stated("steam-canner-water", _STEAM_WATER, None, None),)
    if option.pressure_psi is not None:
        special = [water for water, _ in _special_starts(option)]
        return tuple(_measured(name, rules) for name in special or ["canner-water"])
    deep = option.minutes > rules.figure("boiling-water-long")
    cover = _measured("boiling-water-cover-long" if deep else "boiling-water-cover", rules)
    warm = {"hot": "preheat-hot", "raw": "preheat-raw"}.get(answer.pack or "")
    return (cover,) if warm is None else (cover, _measured(warm, rules))


def _open_ended(option: Option, rules: Rulebook) -> tuple[Stated, ...]:
    """Say that heating may take longer than the clock counts, where the canner is started in a way of its own."""
    return tuple(
        rules.worded(water, _COLD_WATER) if heat is None else rules.worded(heat, _LEAST)
        for water, heat in _special_starts(option)
    )


_LEAST = (
    "The clock counts the least heating. Venting begins only once steam leaves the vent in a steady stream: "
    "heat on if need be, then vent in full, so the day may be longer."
)
_COLD_WATER = (
    "The clock counts the usual heating of a loaded canner; with this much cold water it may take longer, "
    "and no time is printed for it. Venting begins only when steam flows."
)


_WATER = {
    "canner-water": "{} inches of hot water in the canner before the jars.",
    "boiling-water-cover": "At least {} inch of water over the jars.",
    "boiling-water-cover-long": "At least {} inches of water over the jars.",
    "preheat-hot": "Water at {} F before the jars go in.",
    "preheat-raw": "Water at {} F before the jars go in.",
    "water-fish-quarts": "{} quarts of water in the canner.",
    "water-smoked-fish": "{} quarts of cool tap water in the canner: not less, not heated beforehand.",
}


def _measured(name: str, rules: Rulebook) -> Stated:
    return rules.worded(name, _WATER[name].format(rules.rule(name).value.replace("-", " to ")))


def _cautions(
    answer: Answer, option: Option, capacity: Capacity, off: float | None, shelf: Shelf
) -> tuple[Stated, ...]:
    said, rules = [], shelf.rules
    if capacity.by is not None and answer.jar == "pint":
        printed = rules.rule("canner-capacity-pints")
        told = (
            f"Planned for {capacity.jars} pints to a load, where the publication says "
            f"{printed.value.replace('-', ' to ')}: say with --holds what yours holds."
        )
        said.append(rules.worded(printed.id, told))
    beyond = loads.beyond_print(capacity.jars, answer.jar, answer.canner, shelf)
    if option.pressure_psi is None and beyond is not None:
        most = int(rules.figures(beyond)[1])
        plural = shelf.jars[answer.jar].plural
        told = (
            f"Most canners hold {most} {plural}; {capacity.jars} are your own figure, and a larger canner may take "
            "longer to boil than the clock counts."
        )
        said.append(rules.worded(beyond, told, "canner-larger"))
    if option.pressure_psi is None and answer.jar == "pint" and beyond is not None:
        told = "Two layers are printed for large pressure canners only, not for boiling water."
        said.append(rules.worded("canner-capacity-pints-two-layers", told))
    if shelf.canners[answer.canner].by_rule:
        told = "Heating and jars held are your own figures; cooling in the canner, as its manual says, comes on top."
        said.append(Stated("steam-canner-own", told, None, None))
    if off is not None and off < 0:
        told = "The gauge reads low: keep the printed pressure; nothing need be changed for safety."
        said.append(rules.worded("gauge-high-danger", told, "gauge-reads-low"))
    if answer.canner == "dial" and off is None:
        told = "Nothing was said of the gauge: the figure holds for one that was tested and is true."
        said.append(rules.worded("gauge-check", told, "gauge-untold"))
    if answer.canner == "dial":
        told = "A weight in place of the dial takes the weighted table: plan again with canner weighted."
        said.append(Stated("weight-in-place-of-dial", told, None, None))
    return tuple(said)


_OF_18_PINTS = frozenset(("cool-18-pints", "vent-lock-rises"))
"""Rules of thumb that speak of a full load of eighteen pints and of no other."""


def _practice(answer: Answer, option: Option, planned: tuple[Load, ...], shelf: Shelf) -> tuple[Practice, ...]:
    if option.pressure_psi is None:
        return ()
    most = shelf.rules.figure("canner-capacity-pints-two-layers")
    full = answer.jar == "pint" and any(load.jars == most for load in planned)
    left_out = _IN_TEXT if full else _IN_TEXT | _OF_18_PINTS
    return tuple(row for row in shelf.package.practice if row.canner in ("", answer.canner) and row.id not in left_out)


_FULL_STEAM = "Timing starts when the steam column is full, as the manual of your canner says; not before."


def _timing(answer: Answer, option: Option, dial_psi: float | None, shelf: Shelf) -> Stated:
    """Say when the process time starts (page 1-22 under pressure, 1-18 in boiling water)."""
    rules = shelf.rules
    if shelf.canners[answer.canner].by_rule:
        return Stated("timing-starts", _FULL_STEAM, None, None)
    if option.pressure_psi is None:
        told = "Timing starts when the water is back at a vigorous boil, with the jars in it; not before."
        return rules.worded("boil-restart-rule", told, "timing-starts")
    if dial_psi is None:
        told = (
            f"Timing starts when the {option.pressure_psi} psi weight first rocks as its maker describes; not before."
        )
    else:
        told = f"Timing starts when the dial shows {gauge.shown(dial_psi)} psi; not before."
    return rules.worded("timing-starts", told)
