"""What no single key can tell: names that must be known, a barometer from somewhere, wires that end."""

from collections.abc import Collection, Iterator

from hvaccalc.errors import InputError, MissingReading, WrongKind
from hvaccalc.job.accuracy import FORMS, READS, Accuracy, fits, that_read
from hvaccalc.job.causes import OF_A_CIRCUIT
from hvaccalc.job.checks.refusals import Placed
from hvaccalc.job.fields import NAME, Reading, Table, nearest, quoted, shown
from hvaccalc.job.reference import typed_name
from hvaccalc.job.schema import Job
from hvaccalc.job.text.key_lines import Location
from hvaccalc.job.unit_tables import Wiring
from hvaccalc.physics.refrigerant import DESIGNATIONS, NAMES
from hvaccalc.unit_table import KINDS


def values_of(table: Table, place: Location = ()) -> Iterator[tuple[Location, object]]:
    """Every value that the file gives in a table and below it, with its place; an empty list is a value."""
    for name in type(table).model_fields:
        if name in table.model_fields_set:
            typed = typed_name(name, type(table).model_fields[name])
            yield from _below(getattr(table, name), (*place, typed))


def _below(value: object, place: Location) -> Iterator[tuple[Location, object]]:
    if isinstance(value, Table):
        yield from values_of(value, place)
    elif isinstance(value, dict) and value:
        for name, entry in value.items():
            yield from _below(entry, (*place, name))
    elif isinstance(value, tuple) and value:
        for number, entry in enumerate(value):
            yield from _below(entry, (*place, number))
    else:
        yield place, value


NAMED = ("circuit", "instruments")
"""Tables below which the user's own names stand."""


def key_without_names(location: Location) -> str:
    """A key with its tables, without numbers and without the names of circuits and instruments."""
    words = [part for part in location if isinstance(part, str)]
    return ".".join(word for number, word in enumerate(words) if not (number and words[number - 1] in NAMED))


def cross_checks(job: Job) -> list[Placed]:
    """Refusals that need more than one key."""
    return [*_names(job), *_refrigerants(job), *_circuits(job), *_mends(job), *_instruments(job), *_site(job)]


def _names(job: Job) -> Iterator[Placed]:
    for table, names in (("circuit", job.circuit), ("instruments", job.instruments)):
        for name in names:
            if not NAME.fullmatch(name):
                message = "a name of other characters than letters, digits, _ and -"
                yield (
                    (table, name),
                    InputError(message, found=shown(name), allowed="such as 1, north or gauge_a"),
                )


NOT_KNOWN = "unknown"
"""Where nobody could read the plate: the circuit is left out, and said to be."""


def _refrigerants(job: Job) -> Iterator[Placed]:
    """A typing error, or text that is no refrigerant; one that is only not carried is left out later."""
    for name, circuit in job.circuit.items():
        typed = circuit.refrigerant
        if typed != NOT_KNOWN and typed not in DESIGNATIONS:
            near = nearest(typed, NAMES) or nearest(typed, DESIGNATIONS)
            allowed = f"carried: {', '.join(NAMES)}; another is left out; {NOT_KNOWN} where no plate tells it"
            yield (
                ("circuit", name, "refrigerant"),
                InputError(f"no such refrigerant{near}", shown(typed), allowed),
            )


def _not_defined(name: str, known: Collection[str], what: str) -> InputError:
    message = f"no such {what} in this job{nearest(name, known)}"
    return InputError(message, found=shown(name), allowed=", ".join(known) or f"define it in [{what}s]")


def _circuits(job: Job) -> Iterator[Placed]:
    for v, visit in enumerate(job.visit):
        for c, condition in enumerate(visit.condition):
            place = ("visit", v, "condition", c)
            for name in condition.circuit:
                if name not in job.circuit:
                    yield (*place, "circuit", name), _not_defined(name, job.circuit, "circuit")
            for n, name in enumerate(condition.compressors_running or ()):
                if name not in job.circuit:
                    yield (*place, "compressors_running", n), _not_defined(name, job.circuit, "circuit")
        for w, work in enumerate(visit.work):
            if work.circuit is not None and work.circuit not in job.circuit:
                yield ("visit", v, "work", w, "circuit"), _not_defined(work.circuit, job.circuit, "circuit")


def _mends(job: Job) -> Iterator[Placed]:
    """The circuit of a mended cause: one, known, and the same as the work's."""
    for v, visit in enumerate(job.visit):
        for w, work in enumerate(visit.work):
            if work.mends and work.kind == "temporary measure":
                message = "a temporary measure puts nothing right"
                allowed = "mends with another kind, such as repaired or cleaned"
                found = shown(", ".join(str(one) for one in work.mends))
                yield ("visit", v, "work", w, "mends"), InputError(message, found=found, allowed=allowed)
            for number, one in enumerate(work.mends or ()):
                place = ("visit", v, "work", w, "mends", number)
                if one.circuit is not None and one.circuit not in job.circuit:
                    yield place, _not_defined(one.circuit, job.circuit, "circuit")
                elif one.circuit is not None and work.circuit not in (None, one.circuit):
                    message = f"the work names circuit {work.circuit}, this cause another one"
                    yield place, InputError(message, found=shown(str(one)), allowed="one circuit for both")
                elif one.cause in OF_A_CIRCUIT and job.mended(work)[number].circuit is None:
                    message = "which circuit was put right is not said"
                    allowed = " or ".join(f"{one.cause}:{name}" for name in job.circuit)
                    yield place, InputError(message, found=shown(str(one)), allowed=allowed)


def _instruments(job: Job) -> Iterator[Placed]:
    """Each instrument known, of a kind that takes the reading, and as accurate as such a reading can be."""
    for name, typed in job.instruments.items():
        own = READS[typed.kind].own if typed.kind is not None else ()
        for key in ("accuracy", "repeatability"):
            width = getattr(typed, key)
            if width is not None and own and not any(fits(width, kind) for kind in own):
                yield ("instruments", name, key), _not_its_unit(width, own[0], f"a {typed.kind}")
    for place, value in values_of(job):
        if not isinstance(value, Reading) or value.instrument is None:
            continue
        place = (*place, "instrument")
        if value.instrument not in job.instruments:
            yield place, _not_defined(value.instrument, job.instruments, "instrument")
            continue
        typed, kind = job.instruments[value.instrument], value.quantity.kind
        if typed.kind is not None and typed.kind not in that_read(kind):
            message = f"a {typed.kind} takes no reading of {KINDS[kind].title}"
            allowed = quoted(that_read(kind)) or "an instrument without a kind"
            yield place, InputError(message, found=shown(value.instrument), allowed=allowed)
        elif typed.kind is None:
            for width in filter(None, (typed.accuracy, typed.repeatability)):
                if not fits(width, kind):
                    yield place, _not_its_unit(width, kind, f'instrument "{value.instrument}"')


def _not_its_unit(width: Accuracy, kind: str, of: str) -> InputError:
    message = f"the accuracy of {of} has a unit of something else than {KINDS[kind].title}"
    return WrongKind(message, found=shown(width.text), allowed=FORMS)


def _site(job: Job) -> Iterator[Placed]:
    if job.job.elevation is not None:
        return
    conditions = [condition for visit in job.visit for condition in visit.condition]
    if not conditions or any(condition.air.barometer is None for condition in conditions):
        yield (
            ("job", "elevation"),
            MissingReading(
                "missing; without it every condition needs a barometer reading",
                found="nothing",
                allowed='the site\'s elevation, such as "640 ft", or barometer in every condition',
            ),
        )


RAILS = ("R", "RH", "RC", "C", "COM")
"""Letters of a supply: usual meanings hold for them where a device is known, listed or not."""


def wiring_checks(job: Job) -> list[Placed]:
    """Refusals of the wiring table."""
    table = job.wiring
    if not table.given:
        return []
    known = known_terminals(table)
    return [*_pairs(table, known), *_rows(table, known), *_switches(table)]


def known_terminals(table: Wiring) -> frozenset[str]:
    """Terminals that the table introduces: listed, else of the design; inputs and dry contacts."""
    listed = table.terminals or tuple(end for pair in table.designed or () for end in pair)
    inputs = tuple(row.input for row in table.fan_speed if row.input)
    return frozenset((*listed, *inputs, *(table.dry_contact or ())))


def _is_known(terminal: str, known: frozenset[str]) -> bool:
    device, _, letter = terminal.partition(".")
    return terminal in known or (
        letter.upper() in RAILS and any(other.partition(".")[0] == device for other in known)
    )


def _unknown(terminal: str, known: frozenset[str], what: str) -> InputError:
    message = what + nearest(terminal, known)
    return InputError(
        message, found=shown(terminal), allowed="one of wiring.terminals; add it there if it is real"
    )


def _pairs(table: Wiring, known: frozenset[str]) -> Iterator[Placed]:
    for key in ("designed", "found", "temporary"):
        for n, pair in enumerate(getattr(table, key) or ()):
            for e, end in enumerate(pair):
                if not _is_known(end, known):
                    yield ("wiring", key, n, e), _unknown(end, known, "unknown terminal in a pair")
            if pair[0] == pair[1]:
                yield ("wiring", key, n), _itself(pair[0], "a pair")


def _itself(terminal: str, what: str) -> InputError:
    return InputError(
        f"{what} from a terminal to itself", found=shown(terminal), allowed="two different terminals"
    )


def _rows(table: Wiring, known: frozenset[str]) -> Iterator[Placed]:
    whats = {
        "supply": "a supply to nowhere",
        "load": "a load to nowhere",
        "switch": "a switch to nowhere",
        "safety": "a safety to nowhere",
    }
    for key, what in whats.items():
        for n, row in enumerate(getattr(table, key)):
            for e, end in enumerate(row.between):
                if not _is_known(end, known):
                    yield ("wiring", key, n, "between", e), _unknown(end, known, f"{what}: unknown terminal")
            if row.between[0] == row.between[1]:
                yield ("wiring", key, n, "between"), _itself(row.between[0], f"a {key}")


def _switches(table: Wiring) -> Iterator[Placed]:
    names = [row.name for row in table.load if row.name]
    for n, row in enumerate(table.switch):
        if row.call is None and row.closed_by is None:
            allowed = 'call, such as "cool 1", or closed_by with the name of a load'
            yield ("wiring", "switch", n), MissingReading("a switch without a call", "nothing", allowed)
        elif row.closed_by is not None and row.closed_by not in names:
            message = f"no load of this name closes a switch{nearest(row.closed_by, names)}"
            allowed = ", ".join(names) or "name it in [[wiring.load]]"
            yield ("wiring", "switch", n, "closed_by"), InputError(message, shown(row.closed_by), allowed)
