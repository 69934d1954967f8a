"""What sentences say of the stages of one promise: which share of the price holds at which age.

Stages and shares are matched in the order in which they stand, each with its nearest; what is not printed (five points
more each year, one twentieth for each year left, "and so on") is worked out, and only where all that is printed agrees.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns import credit, remedy
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.credit import Change, Evenly, Rate, Side, Stage, StageKind
from firstcap.schema.units import as_decimal

_HUNDRED = Decimal(100)
_UNMATCHED = 90  # characters: how far apart a stage and its share may stand before each is rather left alone
_THE = r"(?:the |its |el |la |los |las |le |les |dem |den |der |das |l['’])?"
_TO = r"(?:to|through|thru|until|bis(?: zum)?|al?|à|au|-|–|—)"
_PLACE = rf"(?:{credit.ORD}|{credit.N})"
# The word "year" stands once: "years 11-15 half, 16-20 quarter", "after eight years …, and after ten …".
_BARE = (
    (
        re.compile(rf"(?P<age>{credit.N}(?: ?{_TO} ?{credit.N})?)(?=[ :=]*(?:at |with |mit |zu |con |à )?{credit.S})"),
        "span",
    ),
    (
        re.compile(
            rf"\b(?:in|im|en|from|del?|vom|during|de|à|and|y|et|und) {_THE}(?P<age>{credit.ORD} (?:{_TO}|and|y|et|und) {_THE}{credit.ORD})"
        ),
        "span",
    ),
    (
        re.compile(
            rf"\b(?:in|im|en|during|for|and|y|et|und) {_THE}(?P<age>{credit.ORD})(?= |,|:)(?! years| año| ans| jahre)"
        ),
        "span",
    ),
    (re.compile(rf"{credit.S},? (?:el|le|la|the) (?P<age>{credit.ORD})(?=[,.;]| y | et | and )"), "span"),
    (re.compile(rf"\b(?:ab|desde|from|dès|à partir de) {_THE}(?P<age>{credit.ORD})(?= |,|:)"), "open"),
    (
        re.compile(rf"\b(?:after|beyond|nach|tras|después de|après|au-delà de) {_THE}(?P<age>{_PLACE})(?= |[.,;:]|$)"),
        "after",
    ),
    (re.compile(rf"\b(?:until|through|up to|bis|hasta|jusqu['’]à) {_THE}(?P<age>{_PLACE})(?= |[.,;:]|$)"), "until"),
)
_AFTER = re.compile(
    r"\b(?:after|beyond|past|nach|tras|después del?|après|au-delà de) (?:the |dem |la |le |el )?$", re.IGNORECASE
)
_CLAUSE = re.compile(r"[;:]|,(?=\s)|\.(?=\s)|\b(?:and|but|und|aber|y|et|mais|pero)\b")


@dataclass(frozen=True, slots=True)
class Step:
    """What the customer pays from one age to another, in months; `place` where its share stands in the text."""

    from_month: Decimal
    to_month: Decimal
    customer_pays_pct: Decimal
    place: tuple[int, int]
    words: str


@dataclass(slots=True)
class Stages:
    """The stages of one promise, as far as its sentences were read."""

    steps: list[Step] = field(default_factory=list)
    full: tuple[Decimal, tuple[int, int]] | None = None
    end: Decimal | None = None  # a stage beyond the time the promise gave: its new end
    declines: bool = False
    of_supplier: bool | None = None


@dataclass(slots=True)
class _Open:
    """A step whose share is still as printed, and whose end may be open."""

    start: Decimal
    end: Decimal | None
    share: Decimal
    side: Side | None
    unit: int
    place: tuple[int, int]
    words: str
    free: bool = False

    @property
    def pays(self) -> Decimal:
        return _HUNDRED - self.share if self.side is Side.SUPPLIER else self.share


def read_stages(
    sentences: Sequence[str],
    total: Decimal | None,
    *,
    style: NumberStyle = ENGLISH,
    promised: Sequence[Sequence[tuple[int, int]]] = (),
    bare: bool = False,
) -> list[Stages]:
    """What each sentence adds, in order. `promised`: where the promise's own times stand in each sentence.

    `bare`: the words of a table cell, in which lengths need no unit ("7 full, 7 at half").
    """
    reader = _Reader(total, style, bare=bare)
    return [reader.read(text, promised[index] if index < len(promised) else ()) for index, text in enumerate(sentences)]


class _Reader:
    """Goes through the sentences and remembers where the last stage ended."""

    def __init__(self, total: Decimal | None, style: NumberStyle, *, bare: bool = False) -> None:
        self.bare = bare
        self.total = total
        self.style = style
        self.side: Side | None = None
        self.reached: Decimal | None = None  # the age up to which stages are told
        self.full: Decimal | None = None

    def read(self, text: str, promised: Sequence[tuple[int, int]]) -> Stages:
        low = credit.reduced(parse(text), self.style)
        out = Stages(declines=bool(remedy.DECLINES.find(parse(text))))
        changes = credit.CHANGES.find_in(low, text)
        rates = [rate for rate in credit.RATES.find_in(low, text) if not _overlap(rate, changes)]
        frees = credit.FREE.find_in(low, text)
        printed = [share for share in credit.shares(low, text) if not _overlap(share, [*changes, *rates])]
        shares = [share for share in printed if not _per_time(low, text, share)]
        if len(shares) < len(printed):
            out.declines = True  # a rate in words not known here
        sides = credit.SIDES.find_in(low, text)
        stages = self._stages(low, text, promised, bool(shares or frees), rates)
        stages = [stage for stage in stages if not _overlap(stage, changes)]
        steps = self._matched(text, stages, [*shares, *frees], sides, out)
        self._sided(text, steps, out)
        self._whole(stages, steps, out, text)
        self._progress(text, changes, credit.SEQUENCE.find_in(low, text), steps, sides, out)
        self._rates(text, rates, stages, steps, out)
        self._evenly(text, credit.EVENLY.find_in(low, text), steps, sides, out)
        self._close(steps, out)
        return out

    # ---- stages and shares ------------------------------------------------------------------------------------------

    def _stages(
        self,
        low: credit.Reduced,
        text: str,
        promised: Sequence[tuple[int, int]],
        shared: bool,
        rates: Sequence[Mention],
    ) -> list[Mention]:
        found = credit.STAGES.find_in(low, text)
        found = [one for one in found if not any(a < one.end and one.start < b for a, b in promised)]
        if shared:
            for one in credit.LENGTHS.find_in(low, text):
                if not _overlap(one, found) and not any(a < one.end and one.start < b for a, b in promised):
                    if one.value.end != self.total and re.match(
                        r"\W*(?:years? |months? )?[^;.]{0,30}", text[one.end :]
                    ):
                        found.append(one)
        if self.bare:
            lengths = credit.BARE_LENGTHS.find_in(low, text)
            found += [one for one in lengths if not _overlap(one, found)]
        spans = [one for one in found if one.value.kind is StageKind.SPAN]
        if spans:
            found += self._bare(low, text, found, spans[0].end, spans[0].value.unit)
        elif rates:
            found += self._bare(low, text, found, 0, rates[0].value.unit)
        return sorted(found, key=lambda one: one.start)

    def _bare(self, low: credit.Reduced, text: str, found: Sequence[Mention], begin: int, unit: int) -> list[Mention]:
        """ "Yr 11 30 % / 12 35 % / 13 40 %", "years 11-15 half, 16-20 quarter": the word stands once."""
        more: list[Mention] = []
        for shape, kind in _BARE:
            for match in shape.finditer(low.text):
                start, end = low.place(match.start("age"), match.end("age"))
                if start < begin or any(start < one.end and one.start < end for one in [*found, *more]):
                    continue
                given = [low.values[i] for i in range(*match.span("age")) if i in low.values]
                if text[start:end].lower() == "one":
                    continue  # "buys the new one at 70 %"
                if any(value.denominator != 1 for value in given) or given[-1] < given[0] or not 0 < given[-1] <= 720:
                    continue
                low_, high = as_decimal((given[0] - 1) * unit), as_decimal(given[-1] * unit)
                stage = {
                    "span": Stage(StageKind.SPAN, low_, high, unit),
                    "open": Stage(StageKind.SPAN, low_, None, unit),
                    "after": Stage(StageKind.SPAN, high, None, unit),
                    "until": Stage(StageKind.SPAN, None, high, unit),
                }[kind]
                more.append(Mention(Family.YEAR_SPAN, start, end, stage, "stage.bare", text[start:end]))
        return more

    def _matched(
        self, text: str, stages: Sequence[Mention], shares: Sequence[Mention], sides: Sequence[Mention], out: Stages
    ) -> list[_Open]:
        ordered = sorted(shares, key=lambda one: one.start)
        steps: list[_Open] = []
        pairs = _aligned(text, stages, ordered)
        for stage, share in pairs:
            placed = self._placed(stage)
            if placed is None:
                continue
            start, end = placed
            free = share.pattern == "share.free"
            side = None if free else self._side(text, share, stage, sides)
            if side is None and start == 0 and share.value in (0, 100):  # free at first: whose share is printed
                side = self.side = Side.CUSTOMER if share.value == 0 else Side.SUPPLIER
            free = free or share.value == (100 if side is Side.SUPPLIER else 0)
            steps.append(
                _Open(start, end, share.value, side, stage.value.unit, (share.start, share.end), share.text, free)
            )
            self.reached = end if end is not None else self.total
            if side is not None:
                out.of_supplier = side is Side.SUPPLIER
        return steps

    def _placed(self, mention: Mention) -> tuple[Decimal, Decimal | None] | None:
        """The ages at which a stage begins and ends; None where it cannot be told."""
        stage: Stage = mention.value
        total, reached = self.total, self.reached
        match stage.kind:
            case StageKind.SPAN:
                start = stage.start if stage.start is not None else (reached or Decimal(0))
                return (start, stage.end) if stage.end is None or stage.end > start else None
            case StageKind.FIRST:
                return Decimal(0), stage.end
            case StageKind.LAST:
                return (
                    (total - stage.end, total)
                    if total is not None and stage.end is not None and stage.end < total
                    else None
                )
            case StageKind.NEXT:
                if reached is None and mention.pattern == "stage.next":
                    reached = total  # "for the following five years": after the time that was promised
                start = reached or Decimal(0)
                return start, start + (stage.end or 0)
            case StageKind.REST:
                start_ = reached if reached is not None else self.full
                return None if start_ is None else (start_, None)

    def _side(self, text: str, share: Mention, stage: Mention, sides: Sequence[Mention]) -> Side | None:
        """Who pays a share: the word nearest before it in its sentence, else the nearest after it, else as before."""
        here = [
            one
            for one in sides
            if not (one.pattern == "side.credit" and re.match(r"\W*(?:price|list)", text[one.end :]))
        ]
        low = max(text.rfind(". ", 0, share.start), text.rfind("; ", 0, share.start))
        high = next((at for at in (text.find("; ", share.end), text.find(". ", share.end)) if at >= 0), len(text))
        touching = [one for one in here if 0 <= one.start - share.end <= 1]
        before = [one for one in here if low < one.start and one.end <= share.start]
        after = [one for one in here if share.end <= one.start < high]
        chosen = touching[0] if touching else before[-1] if before else after[0] if after else None
        if chosen is None:
            earlier = [one for one in here if one.end <= share.start]
            chosen = earlier[-1] if earlier else None
        if chosen is not None:
            self.side = chosen.value
        return self.side

    def _sided(self, text: str, steps: list[_Open], out: Stages) -> None:
        """Where nobody says who pays, a share that grows is the customer's; a single one is nobody's, and left out."""
        silent = [step for step in steps if step.side is None and not step.free]
        if not silent:
            return
        ordered = sorted(silent, key=lambda step: step.start)
        if all(re.search(r"\b(?:at|zu|mit|à|al?)\s+$", text[: step.place[0]], re.IGNORECASE) for step in silent):
            for step in silent:
                step.side = Side.CUSTOMER  # "at a third of list": the price it can be had for
            return
        rises, falls = ordered[0].share < ordered[-1].share, ordered[0].share > ordered[-1].share
        if ordered[0].start == 0 and ordered[0].share == _HUNDRED:
            falls = True
        if not (rises or falls) and any(step.share != 50 for step in silent):
            out.declines = True
            steps[:] = [step for step in steps if step not in silent]
            return
        for step in silent:
            step.side = Side.SUPPLIER if falls else Side.CUSTOMER
            step.free = step.pays == 0

    # ---- what is free, and what only declines -----------------------------------------------------------------------

    def _whole(self, stages: Sequence[Mention], steps: Sequence[_Open], out: Stages, text: str) -> None:
        """The stage that is free of charge, where one is named."""
        free = [step for step in steps if step.free and step.start == 0 and step.end is not None]
        if free:
            self._set_full(out, free[0].end, free[0].place)
            return
        declines = out.declines
        for one in stages:
            stage: Stage = one.value
            if (
                stage.kind is StageKind.LAST
                and self.total is not None
                and stage.end is not None
                and stage.end < self.total
            ):
                if declines:
                    self._set_full(out, self.total - stage.end, (one.start, one.end))
            elif stage.kind is StageKind.FIRST and declines and not steps:
                self._set_full(out, stage.end, (one.start, one.end))
            elif (
                stage.kind is StageKind.SPAN
                and stage.end is None
                and stage.start
                and (declines or steps)
                and all(step.start >= stage.start for step in steps)
            ):
                self._set_full(out, stage.start, (one.start, one.end))

    def _set_full(self, out: Stages, months: Decimal | None, place: tuple[int, int]) -> None:
        if self.full is None and months is not None and months > 0 and (self.total is None or months < self.total):
            out.full = (months, place)
            self.full = months
            self.reached = max(self.reached or Decimal(0), months)

    # ---- shares that are not printed --------------------------------------------------------------------------------

    def _progress(
        self,
        text: str,
        changes: Sequence[Mention],
        onwards: Sequence[Mention],
        steps: list[_Open],
        sides: Sequence[Mention],
        out: Stages,
    ) -> None:
        """ "Five points more in each later year", "and so on up to": the steps between those printed, and after them."""
        paid = [step for step in steps if not step.free]
        if changes and paid:
            change: Change = changes[0].value
            before = [step for step in paid if step.place[0] < changes[0].start] or paid
            base = min(before, key=lambda step: step.start)
            delta = self._delta(text, changes[0], base, sides)
            self._fill(steps, base, delta, Decimal(change.unit), out)
        elif onwards and len(paid) >= 2:
            first, second = paid[0], paid[1]
            if first.end is not None and first.end == second.start and second.pays != first.pays:
                self._fill(steps, first, second.pays - first.pays, first.end - first.start, out)

    def _delta(self, text: str, mention: Mention, base: _Open, sides: Sequence[Mention]) -> Decimal:
        """How the customer's share changes from one step to the next."""
        change: Change = mention.value
        if change.falls is None:
            return change.points  # a share that nobody says falls: the older, the dearer
        near = [one for one in sides if base.place[1] <= one.start and one.end <= mention.start + 12]
        side = near[-1].value if near else base.side
        return change.points if (side is Side.SUPPLIER) == change.falls else -change.points

    def _fill(self, steps: list[_Open], base: _Open, delta: Decimal, length: Decimal, out: Stages) -> None:
        if base.end is None or base.end - base.start > length:
            base.end = base.start + length
        others = {step.start: step for step in steps if step is not base and step.start > base.start and not step.free}
        last = max((step.end or step.start + length for step in others.values()), default=None)
        end = self.total if self.total is not None else last
        month, pays, made = base.end, base.pays, []
        while end is not None and month < end:
            pays += delta
            printed = others.get(month)
            if not 0 <= pays <= _HUNDRED:
                break
            if printed is not None and abs(printed.pays - pays) > Decimal("0.6"):
                steps.clear()  # what is printed does not follow the rule that is printed: better none than a wrong one
                out.declines = True
                return
            if printed is None:
                made.append(_Open(month, month + length, pays, Side.CUSTOMER, int(length), base.place, base.words))
            else:
                printed.end = month + length
            month += length
        steps.extend(made)

    def _rates(
        self, text: str, rates: Sequence[Mention], stages: Sequence[Mention], steps: list[_Open], out: Stages
    ) -> None:
        """One share for each year or month of the time gone, or of the time still to come."""
        if not rates or any(not step.free for step in steps) or self.total is None:
            return
        mention = rates[0]
        rate: Rate = mention.value
        full = self.full or Decimal(0)
        for one in stages:
            since = one.value.start if one.value.kind is StageKind.SPAN and one.value.end is None else None
            if since is None and _AFTER.search(text[max(0, one.start - 14) : one.start]) and _overlap(one, [mention]):
                since = one.value.end  # "for each year after the tenth year"
            if since and self.full is None:
                self._set_full(out, since, (one.start, one.end))
                full = self.full or Decimal(0)
            if since and since == full and _overlap(one, [mention]) and not rate.left:
                rate = replace(rate, whole=False)
        count = Fraction(100) / rate.pct * rate.unit
        tail, whole = Fraction(self.total - full), Fraction(self.total)
        fits_tail, fits_whole = _near(count, tail), _near(count, whole)
        over_tail = fits_tail and not (fits_whole and full == 0) and rate.whole is not True
        base = full if over_tail else Decimal(0)
        if not (fits_tail or fits_whole):
            if rate.unit == 1 and _near(count - 1, tail):  # "one thirteenth in the first month" of twelve
                over_tail, base = True, full
                rate = Rate(rate.pct, 1, rate.left, True, False)
            elif rate.whole is not False or rate.left or not full:
                return
            else:
                base = full
        elif not over_tail and not fits_whole:
            return
        month = full
        words, place = mention.text, (mention.start, mention.end)
        while month < self.total:
            gone = Fraction(month - base) / rate.unit
            pays = as_decimal(rate.pct * (gone + (1 if rate.begun and not rate.left else 0)))
            if pays > _HUNDRED:
                break
            end = min(month + 12, self.total)
            steps.append(_Open(month, end, pays, Side.CUSTOMER, 12, place, words))
            month = end

    def _evenly(
        self, text: str, evens: Sequence[Mention], steps: list[_Open], sides: Sequence[Mention], out: Stages
    ) -> None:
        """A straight line between two printed shares, or over the time where it says over which."""
        if not evens or self.total is None:
            return
        paid = sorted((step for step in steps if not step.free), key=lambda step: step.start)
        if len(paid) == 2 and paid[0].end is not None and paid[1].start > paid[0].end:
            length = paid[0].end - paid[0].start
            gaps = (paid[1].start - paid[0].start) / length
            if length > 0 and gaps == int(gaps):
                self._fill(steps, paid[0], (paid[1].pays - paid[0].pays) / gaps, length, out)
            return
        even: Evenly = evens[0].value
        if paid or self.full is None or even.whole is not True:
            out.declines = out.declines or not paid
            return
        month = self.full
        while month < self.total:
            pays = as_decimal(Fraction(month) * 100 / Fraction(self.total))
            steps.append(
                _Open(
                    month,
                    min(month + 12, self.total),
                    pays,
                    Side.CUSTOMER,
                    12,
                    (evens[0].start, evens[0].end),
                    evens[0].text,
                )
            )
            month += 12

    def _close(self, steps: list[_Open], out: Stages) -> None:
        """Open ends run to the next step, or to the end of the promise."""
        steps.sort(key=lambda step: step.start)
        for index, step in enumerate(steps):
            following = next((other.start for other in steps[index + 1 :] if other.start > step.start), None)
            end = step.end if step.end is not None else following if following is not None else self.total
            if end is None or end <= step.start or any(made.from_month == step.start for made in out.steps):
                continue
            out.steps.append(Step(step.start, end, step.pays, step.place, step.words))
        if out.steps:
            self.reached = max(step.to_month for step in out.steps)
            if self.total is not None and self.reached > self.total and out.steps[0].from_month <= self.total:
                out.end = self.reached


def _per_time(low: credit.Reduced, text: str, share: Mention) -> bool:
    """Whether the clause of a share speaks of a time for which it is charged again and again."""
    for match in credit.PER_TIME.finditer(low.text):
        start, end = low.place(*match.span())
        left, right = min(end, share.end), max(start, share.start)
        if right - left < 60 and not re.search(r"[;:]|\. ", text[left:right]):
            return True
    return False


def _near(left: Fraction, right: Fraction) -> bool:
    return abs(left - right) <= Fraction(1, 10)


def _overlap(one: Mention, others: Sequence[Mention]) -> bool:
    return any(one.start < other.end and other.start < one.end for other in others)


def _aligned(text: str, stages: Sequence[Mention], shares: Sequence[Mention]) -> list[tuple[Mention, Mention]]:
    """Stages and shares matched in order so that the distances are least; a stage may stand before or after its share."""
    rows, cols = len(stages), len(shares)
    best = [[0.0] * (cols + 1) for _ in range(rows + 1)]
    took = [[""] * (cols + 1) for _ in range(rows + 1)]
    for i in range(rows, -1, -1):
        for j in range(cols, -1, -1):
            options = []
            if i < rows and j < cols:
                options.append((best[i + 1][j + 1] + _distance(text, stages[i], shares[j], stages, shares), "pair"))
            if i < rows:
                options.append((best[i + 1][j] + _UNMATCHED, "stage"))
            if j < cols:
                options.append((best[i][j + 1] + _UNMATCHED, "share"))
            if options:
                best[i][j], took[i][j] = min(options, key=lambda option: option[0])
    found = []
    i = j = 0
    while i < rows or j < cols:
        step = took[i][j]
        if step == "pair":
            found.append((stages[i], shares[j]))
        i += step in ("pair", "stage")
        j += step in ("pair", "share")
    return found


def _distance(text: str, stage: Mention, share: Mention, stages: Sequence[Mention], shares: Sequence[Mention]) -> float:
    low, high = min(stage.end, share.end), max(stage.start, share.start)
    between = text[low:high]
    crossed = sum(1 for one in (*stages, *shares) if low <= one.start and one.end <= high)
    marks = len(_CLAUSE.findall(between))
    hard = len(re.findall(r"[;]|\. ", between))
    return 0.3 * len(between) + 12 * marks + 60 * hard + 40 * crossed
