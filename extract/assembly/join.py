"""Sentences that point to a table, and the table's records, made into one: who says what of whom."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.promised import promise_of
from firstcap.extract.assembly.records import Grid, Record, table_label
from firstcap.extract.assembly.unit import Unit, hits_of
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.quantities import FlowRate
from firstcap.schema.vocabulary import AccuracyLevel, Component, FlowRole, Promise

_COVER = re.compile(r"\b(warrant|guarant|cover|period|promise|assur|garant|gewähr|terms?\b|accuracy)", re.IGNORECASE)
_NOT_COVER = re.compile(
    r"\b(assum|planning|typical|estimate|price|rating|dimension|specification|not a warranty|life expectancy|test flow)",
    re.IGNORECASE,
)


def join(drafts: Sequence[Draft], grids: Sequence[Grid], context: Context) -> list[Draft]:
    """Every draft, with those that point to a table replaced by one for each record they hold for."""
    limits = [grid for grid in grids if grid.credits is None and grid.records and not grid.only_flows]
    flows = [grid for grid in grids if grid.credits is None and grid.only_flows]
    labels = {grid.label for grid in grids if grid.label}
    out: list[Draft] = list(drafts)
    for grid in limits:
        out = _join_limits(out, grid, limits, labels, context)
    for grid in flows:
        out = _join_flows(out, grid, labels)
    return [draft for draft in out if draft.complete]


def _labels_of(draft: Draft) -> set[str]:
    found = set()
    text = draft.unit.run.text
    for match in re.finditer(
        r"\b(?:table|schedule|annex|exhibit|appendix|chart|tableau|tabelle|tabla|cuadro|anlage|part|panel|parte|partie|teil)\b",
        text[draft.unit.start : draft.unit.end],
        re.IGNORECASE,
    ):
        start = draft.unit.start + match.start()
        label = table_label(text[start : start + 22])
        if label is not None and label.startswith(match.group(0).lower()):
            found.add(label)
    return found


def _refers(draft: Draft, grid: Grid, grids: Sequence[Grid], known: set[str]) -> bool:
    if not draft.refs or not {"promise", "component", "level"} & set(draft.scalars):
        return False
    labels = {label for label in _labels_of(draft) if label in known}
    if labels:
        return grid.label in labels or (grid.label is None and False)
    candidates = [other for other in grids if _near(draft, other)]
    if not candidates:
        candidates = list(grids)
    after = [other for other in candidates if other.block > draft.unit.block]
    before = [other for other in candidates if other.block <= draft.unit.block]
    chosen = (
        min(after, key=lambda other: other.block) if after else max(before, key=lambda other: other.block, default=None)
    )
    if chosen is grid:
        return True
    # "the table in this Section" may be followed by several; a list in a side box serves the whole document.
    return chosen is None


def _near(draft: Draft, grid: Grid) -> bool:
    """In the same section, or under its heading."""
    mine, other = draft.unit.headings, grid.headings
    shared = 0
    for left, right in zip(mine, other, strict=False):
        if left != right:
            break
        shared += 1
    return shared >= min(len(mine), len(other)) and abs(grid.block - draft.unit.block) < 12


def _value(found: Found | None) -> object:
    return None if found is None else found.value


def _component(found: Found | None) -> Component | None:
    value = _value(found)
    return value.component if isinstance(value, ComponentSpec) else None


def _compatible(draft: Draft, record: Record, grid: Grid) -> bool:
    promise, level = draft.get("promise"), draft.get("level")
    said = f"{draft.unit.text} {draft.leans_on}".casefold()
    if record.column and record.column not in said and any(name in said for name in record.columns):
        return False
    if record.level is not None and level is not None and record.level.value != level:
        return False
    if record.level is not None and promise not in (None, Promise.ACCURACY):
        return False
    if record.promise is not None and promise is not None and record.level is None and record.promise.value != promise:
        if record.promise.value is Promise.ACCURACY or promise is Promise.ACCURACY:
            return False
    part = _component(record.component)
    if part not in (None, Component.WHOLE_METER) and promise is Promise.ACCURACY:
        return False
    own = _component(draft.scalars.get("component"))
    if own not in (None, Component.WHOLE_METER, part) and part is not None and "components" not in draft.scalars:
        return False
    product = draft.get("product")
    products = draft.get("products")
    wanted = {str(name) for name in products} if isinstance(products, tuple) else ({str(product)} if product else set())
    if record.product is not None and wanted and not any(_alike(str(record.product.value), name) for name in wanted):
        # Models of a line that the sentence names are no other products, where no row bears the name of the line.
        models = {str(other.product.value) for other in grid.records if other.product is not None}
        if record.product.pattern != "product.column" or any(
            _alike(model, name) for model in models for name in wanted
        ):
            return False
    if (
        record.meter_type is not None
        and draft.get("meter_type") is not None
        and record.meter_type.value != draft.get("meter_type")
        and "mixed_types" not in draft.scalars
    ):
        return False
    mine, theirs = _labels(draft.sizes), _labels(record.sizes)
    return not (mine and theirs and not mine & theirs)


def _labels(found: Found | None) -> set[str]:
    return set(found.value) if found is not None and isinstance(found.value, tuple) else set()


def _alike(left: str, right: str) -> bool:
    a, b = set(left.lower().split()), set(right.lower().split())
    return a <= b or b <= a


def _join_limits(
    drafts: list[Draft], grid: Grid, grids: Sequence[Grid], known: set[str], context: Context
) -> list[Draft]:
    users = [draft for draft in drafts if _refers(draft, grid, grids, known)]
    used: set[int] = set()
    made: dict[int, list[Draft]] = {}
    loose: list[Draft] = []
    levelled = any(record.level is not None for record in grid.records)
    for record in grid.records:
        if not record.has_limits:
            continue
        if record.unnamed:
            if not _may_be_part(record, grid, context):
                continue
            # A part with no name known here: better seen at low confidence than left out.
            record.component = Found(ComponentSpec(Component.OTHER), None, False, "component.unknown")
            said = f"“{record.row.text[:60]}” names no part that is known: say which part it is"
            record.notes.append(("other", said, record.row.page))
        matching = _claimed(record, [draft for draft in users if _compatible(draft, record, grid)], users)
        exact = [draft for draft in matching if record.level is not None and draft.get("level") == record.level.value]
        matching = _of_accuracy(record, matching, levelled=levelled)
        open_ = [draft for draft in (exact or matching) if not (draft.times and draft.volumes and not draft.sizes)]
        for draft in open_ or []:
            if draft.times and not record.volumes and not record.flows and record.times:
                continue  # it has its own time, and the table offers only another
            made.setdefault(id(draft), []).append(_merge(draft, record, grid))
            used.add(id(draft))
        if not open_:
            alone = _alone(record, grid, context, drafts)
            if alone is not None:
                loose.append(alone)
    out: list[Draft] = []
    placed = False
    for draft in drafts:
        if not placed and draft.unit.block > grid.block:
            out.extend(loose)
            placed = True
        if id(draft) in used:
            out.extend(made[id(draft)])
        else:
            out.append(draft)
    if not placed:
        out.extend(loose)
    return out


def _may_be_part(record: Record, grid: Grid, context: Context) -> bool:
    """A row of a table of cover with a time in months or years and no volume: it promises something of a thing."""
    return (
        context.is_warranty
        and about_cover(grid, context)
        and bool(record.times)
        and not record.volumes
        and all(limit.duration.months is not None for limit in record.times)
    )


def _of_accuracy(record: Record, matching: list[Draft], *, levelled: bool) -> list[Draft]:
    """Of the sentences that may claim a row, those that say what kind of accuracy its volume is promised for.

    One sentence may give the times to all types of meter, and others their limits type by type: these claim the rows.
    """
    if levelled and record.level is None and record.component is not None:
        return [draft for draft in matching if draft.get("promise") is not Promise.ACCURACY]
    accurate = [draft for draft in matching if draft.get("promise") is Promise.ACCURACY]
    if accurate and record.volumes:
        matching = [draft for draft in matching if "promise" in draft.scalars]
    told = [draft for draft in accurate if draft.bands or {"level", "standard"} & set(draft.scalars)]
    return told if told and len(accurate) == len(matching) else matching


_OTHERS = re.compile(
    r"\bother (?:parts?|products?|items?|components?|goods|articles?|lines?|entries)\b|\bthe (?:rest|remaining \w+|others)\b|\beverything else\b|\ball others\b"
    r"|\bübrigen (?:teile|positionen|artikel)\b|\bautres (?:pièces|éléments|articles)\b|\bdemás (?:piezas|partes|elementos|artículos)\b",
    re.IGNORECASE,
)


def _claimed(record: Record, matching: list[Draft], users: Sequence[Draft]) -> list[Draft]:
    """Where one sentence takes the complete meters, one some parts and one "the other parts": each takes its own rows."""
    rest = [draft for draft in matching if _OTHERS.search(draft.unit.text)]
    if not any(_OTHERS.search(draft.unit.text) for draft in users):
        return matching
    part = _component(record.component)
    named = [draft for draft in matching if draft not in rest and part in _named(draft)]
    return named or rest or matching


def _named(draft: Draft) -> set[Component | None]:
    """The components a sentence names itself."""
    several = draft.get("components")
    hits = list(several) if isinstance(several, list) else []
    found: set[Component | None] = {_component(Found.of(hit)) for hit in hits}
    one = draft.scalars.get("component")
    if one is not None and not one.inherited:
        found.add(_component(one))
    return found


def _merge(draft: Draft, record: Record, grid: Grid) -> Draft:
    own = draft.copy()
    own.table = True
    _put_record(own, record, grid)
    return own


def _put_record(own: Draft, record: Record, grid: Grid) -> None:
    if record.component is not None and (
        _component(record.component) is not Component.WHOLE_METER or own.get("component") is None
    ):
        own.put("component", record.component, over=True)
        own.scalars.pop("components", None)
        if record.parts:
            own.put("components", Found(list(record.parts), record.component.hit))
    if record.product is not None and (record.product.pattern != "product.column" or "product" not in own.scalars):
        own.put("product", record.product, over=True)
        own.scalars.pop("products", None)
        if record.products:
            own.scalars["products"] = Found(record.products, record.product.hit)
    if record.meter_type is not None:
        own.put("meter_type", record.meter_type, over=True)
        own.scalars.pop("mixed_types", None)
    if record.level is not None:
        own.put("level", record.level, over=own.get("level") is None)
        own.put("promise", Found(Promise.ACCURACY, record.level.hit, False, record.level.pattern))
    # "Register | fogging and illegible figures" under a sentence about defects: the row says what it is about.
    works = record.promise is not None and record.promise.value is Promise.FUNCTION and not record.promise.inherited
    own.put("promise", record.promise, over=works and own.get("promise") is Promise.MATERIALS_WORKMANSHIP)
    own.put("standard", record.standard)
    if record.variant is not None:
        own.put("variant", Found(record.variant, record.component.hit if record.component else None))
    if record.sizes is not None:
        own.sizes = record.sizes
    if not own.times:
        own.times = list(record.times)
        own.full = own.full or record.full
        _keep_fitting_credits(own, record)
        if record.credits:
            own.credits, own.full = list(record.credits), record.full
    if not own.volumes:
        own.volumes = list(record.volumes)
    own.put("life", record.life)
    if record.start is not None:
        own.put("start", record.start, over=True)
    elif grid.start is not None:
        own.put("start", grid.start.passed_on())
    own.put("rule", record.rule)
    if grid.rule is not None:
        own.put("rule", grid.rule.passed_on())
    if not own.bands and record.bands:
        own.bands = list(record.bands)
        own.put("promise", Found(Promise.ACCURACY, record.bands[0].hit, True, "promise.by_band"))
    if own.get("promise") is None and record.volumes and record.sizes is not None and own.get("rule") is not None:
        # Common practice: what a meter of a size is promised for a volume is its accuracy.
        own.put("promise", Found(Promise.ACCURACY, record.volumes[0][1], True, "promise.by_volume"))
        own.doubts.append("promise_default")
    _put_flows(own, record)
    own.notes.extend(record.notes)
    if record.clash:
        own.doubts.append("clash")
    if record.unnamed:
        own.doubts.append("component_default")
    if record.doubtful:
        own.doubts.append("unread")
    if record.row.words:
        from firstcap.extract.assembly.unit import Hit
        from firstcap.extract.patterns.base import Mention

        own.rows.append(
            Hit(Mention(Family.REFERENCE, 0, len(record.row.text), None, "table.row", record.row.text), record.row)
        )


def _keep_fitting_credits(own: Draft, record: Record) -> None:
    """Stages that a sentence explains for all rows ("(10/10) means …") hold only for a row of that length."""
    total = record.times[0].duration.months if record.times else None
    if own.credits and total is not None and max(step.to_month for step in own.credits) != total:
        own.credits = []
        own.full = record.full


def _put_flows(own: Draft, record: Record) -> None:
    labels = tuple(record.sizes.value) if record.sizes is not None else ("",)  # type: ignore[arg-type]
    for label in labels:
        for name, (rate, _) in record.flows.items():
            own.per_size_flows[(label, name)] = rate
    if record.flows and record.row.words:
        own.rows = own.rows or []


def _alone(record: Record, grid: Grid, context: Context, drafts: Sequence[Draft]) -> Draft | None:
    """A record that no sentence claims stands on its own words, where the table is about cover at all."""
    if not context.is_warranty or not (
        record.component or record.level or record.promise or record.product or record.meter_type
    ):
        return None
    if not about_cover(grid, context):
        return None
    around = _around(grid, context)
    unit = Unit(record.row, 0, len(record.row.text), hits_of(record.row, context.reader), grid.block, grid.headings)
    draft = Draft(unit, table=True)
    draft.doubts.append("alone")
    _put_record(draft, record, grid)
    if around is not None:
        if "promise" not in draft.scalars:
            found = promise_of(around)
            if found is not None:
                component = _component(record.component)
                if not (found.value is Promise.ACCURACY and component not in (None, Component.WHOLE_METER)):
                    draft.put("promise", found.passed_on())
        if draft.get("promise") is Promise.ACCURACY and record.standard is None and "standard" not in draft.scalars:
            standard = around.first(Family.STANDARD)
            if standard is not None and len({hit.value for hit in around.of(Family.STANDARD)}) == 1:
                draft.put("standard", Found.of(standard).passed_on())
        starts = around.of(Family.START)
        if starts:
            draft.put("start", Found.of(starts[0]).passed_on())
        rules = around.of(Family.RULE)
        if rules:
            draft.put("rule", Found.of(rules[0]).passed_on())
        if draft.get("meter_type") is None:
            kinds = {hit.value for hit in around.of(Family.METER_TYPE)}
            if len(kinds) == 1:
                draft.put("meter_type", Found.of(around.of(Family.METER_TYPE)[0]).passed_on())
    return draft


def about_cover(grid: Grid, context: Context) -> bool:
    """Whether the words over and in a table say that it is about what is promised."""
    around = _around(grid, context)
    words = " ".join(
        [
            around.run.text if around else "",
            " ".join(run.text for run in context.heading_runs(grid.headings)[:1]),
            grid.table.caption.text if grid.table.caption else "",
            _headers(grid),
        ]
    )
    if _NOT_COVER.search(grid.table.caption.text if grid.table.caption else "") or (
        around is not None
        and any(
            hit.family is Family.NEGATION
            and hit.mention.pattern in ("negation.no_warranty", "negation.typical", "negation.optional")
            for hit in around.hits
        )
    ):
        return False
    return _COVER.search(words) is not None or any(
        _value(record.promise) is Promise.MATERIALS_WORKMANSHIP for record in grid.records
    )


def _headers(grid: Grid) -> str:
    return " ".join(grid.table.header(col).text for col in range(grid.table.cols))


def _around(grid: Grid, context: Context) -> Unit | None:
    """The paragraph before a table in its section: its introduction."""
    for index in range(grid.block - 1, max(-1, grid.block - 4), -1):
        block = context.layout.blocks[index]
        if block.kind.value in ("paragraph", "list_item") and block.headings == grid.headings:
            return Unit(block.run, 0, len(block.run.text), hits_of(block.run, context.reader), index, block.headings)
        if block.kind.value == "heading":
            break
    return None


def _join_flows(drafts: list[Draft], grid: Grid, known: set[str]) -> list[Draft]:
    """A table of flows splits an accuracy promise into sizes, where its bands hold at flows that only the table gives."""
    out: list[Draft] = []
    for draft in drafts:
        wants = draft.get("promise") is Promise.ACCURACY and any(
            band.flow is None or not isinstance(band.flow, FlowRate) for band in draft.bands
        )
        wants = wants or _wants_bands(draft, grid)
        labels = _labels_of(draft) & known
        named = grid.label in labels if labels and grid.label else bool(draft.refs) or _near(draft, grid)
        if not wants or not named or (labels and grid.label not in labels and not draft.refs):
            out.append(draft)
            continue
        if draft.per_size_flows:
            out.append(draft)
            continue
        if draft.sizes is not None:
            for record in grid.records:
                if record.sizes is not None and set(record.sizes.value) & set(draft.sizes.value):  # type: ignore[call-overload]
                    _put_flows(draft, record)
            out.append(draft)
            continue
        fitting = [
            record
            for record in grid.records
            if record.sizes is not None and (record.flows or record.bands) and _compatible(draft, record, grid)
        ]
        if not fitting:
            out.append(draft)
            continue
        for record in fitting:
            own = draft.copy()
            own.sizes = record.sizes
            own.table = True
            _put_flows(own, record)
            if not own.bands and record.bands:
                own.bands = list(record.bands)
                own.put("promise", Found(Promise.ACCURACY, record.bands[0].hit, True, "promise.by_band"))
            out.append(own)
    return out


_OF_LIMITS = re.compile(
    r"\b(?:limits?|accura\w*|within|regist\w*|errors?|measur\w*|toleran\w*|deviat\w*|exact\w*|precis\w*|grenz\w*|mess\w*|erreurs?|límites?|limites?)\b",
    re.IGNORECASE,
)


def _wants_bands(draft: Draft, grid: Grid) -> bool:
    """ "For 15 years every meter will keep within the limits of this table": a time, and limits that only the table has."""
    return (
        draft.complete
        and not draft.bands
        and not draft.credits
        and not {"level", "standard"} & set(draft.scalars)
        and draft.get("promise") in (None, Promise.ACCURACY)
        and _component(draft.scalars.get("component")) in (None, Component.WHOLE_METER)
        and any(record.bands for record in grid.records)
        and (bool(draft.refs) or draft.get("promise") is Promise.ACCURACY)
        and _OF_LIMITS.search(draft.unit.text) is not None
    )


def level_of(draft: Draft) -> AccuracyLevel | None:
    """The accuracy level: named, or a low-flow promise of its own, or the document's own percentages."""
    level = draft.get("level")
    if isinstance(level, AccuracyLevel):
        return level
    if draft.get("promise") is not Promise.ACCURACY:
        return None
    roles = {band.role for band in draft.bands}
    if roles == {FlowRole.EXTENDED_LOW}:
        return AccuracyLevel.EXTENDED_LOW_FLOW
    return AccuracyLevel.STATED
