"""Files as forms over nodes with spans: keys fold, and every fault is gathered."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any, ClassVar, Generic, Self, TypeVar, cast

from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Table, Text, kind_of
from optimiser.text.quantities import Misread
from optimiser.text.source import Source

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
F = TypeVar("F", bound="Form")

Schema = dict[str, Any]
SchemaOf = Callable[[type["Form"]], Schema]
"""Gives a part of a JSON Schema its inner forms: `files.form_schema` passes it in."""
PART = "x-part"
NEEDED: Any = object()
"""Stands for the default of a field that must be written."""


class Faults(ValueError):
    """What is wrong with one part of a file."""

    def __init__(self, *diagnostics: Diagnostic) -> None:
        super().__init__("; ".join(item.message for item in diagnostics))
        self.diagnostics = diagnostics


class Gathering:
    """Collects faults from one part after another: ``with faults: ...`` keeps what the block raised and goes on."""

    def __init__(self) -> None:
        self.found: list[Diagnostic] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        if isinstance(error, Faults):
            self.found.extend(error.diagnostics)
            return True
        return False

    def add(self, *diagnostics: Diagnostic) -> None:
        """Keeps more faults."""
        self.found.extend(diagnostics)

    def settle(self) -> None:
        """Raises all that was kept.

        Raises:
            Faults: there was any.
        """
        if self.found:
            raise Faults(*self.found)


class Read(Generic[T_co]):
    """Says how a field is read from its node, and what its JSON Schema is.

    `reader` takes the node, what to call it, and the context of the file; it raises `Misread` or `Faults`.
    """

    def __init__(
        self,
        what: str,
        reader: Callable[[Node, str, Any], T_co],
        schema: Schema | Callable[[SchemaOf], Schema],
    ) -> None:
        self.what = what.replace("_", " ")
        self.reader = reader
        self.schema = schema

    def read(self, node: Node, context: Any) -> T_co:
        """The field's value.

        Raises:
            Faults: everything that is wrong with it.
        """
        return told(node, lambda: self.reader(node, self.what, context))


class Field:
    """One key of a form: how it is read, what stands where it is not written, and what it is for.

    `alias` is the key as people write it, where Python does not take its name.
    """

    def __init__(self, read: Read[Any], default: Any, description: str, alias: str) -> None:
        self.read = read
        self.default = default
        self.description = description
        self.alias = alias

    @property
    def is_needed(self) -> bool:
        """Whether it must be written."""
        return self.default is NEEDED


def field(read: Read[T], *, default: T = NEEDED, description: str = "", alias: str = "") -> T:
    """Declares a key of a form; to a type checker it is what a form that was read has there."""
    return cast("T", Field(read, default, description, alias))


def names_of(part: str) -> Schema:
    """The place of a part of a JSON Schema that lists names, to be filled in where the names are known."""
    return {PART: part}


def told(node: Node, read: Callable[[], T]) -> T:
    """The outcome of `read`, a misreading turned into a fault at the node.

    Raises:
        Faults: the figure could not be read.
    """
    try:
        return read()
    except Misread as error:
        raise Faults(Diagnostic(error.code, error.message, error.help, node.span)) from None


def scalar(node: Node, what: str) -> Text:
    """The node as one value.

    Raises:
        Faults: it is a list or a mapping, or nothing was written.
    """
    if not isinstance(node, Text):
        raise Faults(
            Diagnostic(Code.WRONG_SHAPE, f"{what} is a single value, and this is {kind_of(node)}", "", node.span)
        )
    if node.is_blank:
        raise Faults(
            Diagnostic(
                Code.NO_VALUE,
                f"nothing is given for {what}",
                "write a value after the colon, or take the line out",
                node.span,
            )
        )
    return node


def table(node: Node, what: str, example: str) -> Table:
    """The node as a mapping.

    Raises:
        Faults: it is something else.
    """
    if isinstance(node, Table):
        return node
    help_ = f"write it like {example}"
    if isinstance(node, Text) and not node.quoted and re.search(r":\S", node):
        help_ = "a space is missing after the colon"
    message = f"{what} holds 'key: value' entries, and this is {kind_of(node)}"
    raise Faults(Diagnostic(Code.WRONG_SHAPE, message, help_, node.span))


def unknown_key(
    key: Text, value: Node, what: str, names: Iterable[str], usual: Mapping[str, str] | None = None
) -> Diagnostic:
    """The fault of a key that is not known here.

    `usual` maps other people's words to ours, or to what to write instead where that may be two things: a share in it is an
    example, in whose place the maker's own stands if there is one.
    """
    help_ = offer(key, names)
    if usual and fold(key) in usual:
        ours = usual[fold(key)]
        share = re.fullmatch(r"\s*([\d.]+ ?%)\s*", value) if isinstance(value, Text) else None
        two = re.sub(r"\d+ %", share.group(1), ours, count=1) if share else ours
        help_ = two if " " in ours else f"here it is written '{ours}'"
    if ":" in key and isinstance(value, Text) and value.is_blank:
        spaced = f": {key.replace(':', ': ', 1)}" if len(key) <= 60 else ""
        help_ = f"a space is missing after the colon{spaced}"
    elif re.match(r"\s*\d", key) and isinstance(value, Text) and value.is_blank:
        help_ = "a comma parts entries here: use a point in figures, as in 1.5"
    return Diagnostic(Code.UNKNOWN_KEY, f"{shown(key)} is no key of {what}", help_, key.span)


class Form:
    """A part of a file with a fixed set of keys. Keys match regardless of case, blanks, underscores and hyphens.

    A subclass declares them by `field`; one that was read has their values in their place, and in `given` the names of
    those that were written. It is not changed any more.
    """

    what: ClassVar[str] = "the file"
    example: ClassVar[str] = ""
    usual: ClassVar[Mapping[str, str]] = {}
    blank_is_absent: ClassVar[bool] = False
    beside: ClassVar[Schema] = {}  # what its JSON Schema says beside the keys
    fields: ClassVar[Mapping[str, Field]] = {}

    given: frozenset[str]

    def __init_subclass__(cls) -> None:
        cls.fields = MappingProxyType({name: one for name, one in vars(cls).items() if isinstance(one, Field)})

    def __init__(self, values: Mapping[str, Any]) -> None:
        """Take the values of the fields that were written; every needed one is among them."""
        whole = {name: values.get(name, one.default) for name, one in self.fields.items()}
        self.__dict__.update(whole, given=frozenset(values))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a form is not changed: {name}")

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Raises faults of entries that cannot stand together; `entries` by field, with their `keys` as written."""

    @classmethod
    def written(cls) -> tuple[str, ...]:
        """The keys as people write them: a field's alias, where its name is taken in Python, or its name."""
        return tuple(one.alias or name for name, one in cls.fields.items())

    @classmethod
    def unknown(cls, key: Text, value: Node) -> Diagnostic:
        """The fault of a key that no field answers to."""
        return unknown_key(key, value, cls.what, cls.written(), cls.usual)

    @classmethod
    def known(cls, entries: Table, faults: Gathering) -> tuple[dict[str, Node], dict[str, Text]]:
        """The entries by field name; unknown and repeated keys become faults."""
        fields = {fold(name): name for name in cls.written()}
        known: dict[str, Node] = {}
        keys: dict[str, Text] = {}
        for key, value in entries.items():
            field = fields.get(fold(key))
            if field is None:
                faults.add(cls.unknown(key, value))
            elif field in keys:
                faults.add(repeated(key, keys[field]))
            else:
                keys[field] = key
                if not (cls.blank_is_absent and isinstance(value, Text) and value.is_blank):
                    known[field] = value
        return known, keys


def form_schema(form: type[Form], *, many: bool = False, keys: tuple[str, ...] = ()) -> Callable[[SchemaOf], Schema]:
    """The JSON Schema of a form, of a list of them, or of a mapping of `keys` to them."""

    def build(schema_of: SchemaOf) -> Schema:
        inner = schema_of(form)
        if keys:
            return {"type": "object", "properties": dict.fromkeys(keys, inner), "additionalProperties": False}
        return {"type": "array", "items": inner} if many else dict(inner)

    return build


def read_form(form: type[F], source: Source, context: Any = None) -> F:
    """A whole file as a form.

    Raises:
        BadInput: with every fault of the file, in file order.
    """
    found: tuple[Diagnostic, ...] = ()
    made: F | None = None
    if isinstance(source.root, Row | Text) or (source.root is not None and not source.root and source.faults):
        found = _no_mapping(source.root, form)
    elif source.root is not None:
        try:
            made = read_part(form, source.root, context)
        except Faults as error:
            found = error.diagnostics
    faults = source.all_faults(list(found))
    if faults or made is None:
        raise BadInput(faults)
    return made


def read_part(form: type[F], node: Node, context: Any = None) -> F:
    """One part of a file as a form: each field by its own reader, in the order of the fields.

    Raises:
        Faults: everything that is wrong with it.
    """
    entries = table(node, form.what, form.example)
    faults = Gathering()
    known, keys = form.known(entries, faults)
    with faults:
        form.contradictions(known, keys)
    values: dict[str, Any] = {}
    for name, one in form.fields.items():
        written = one.alias or name
        if written in known:
            with faults:
                values[name] = one.read.read(known[written], context)
        elif one.is_needed:
            faults.add(_missing(form, written, entries, keys))
    faults.settle()
    return form(values)


def _missing(form: type[Form], field: str, entries: Table, keys: Mapping[str, Text]) -> Diagnostic:
    named = "" if field not in keys else ": nothing stands after the colon"
    span = keys[field].span if field in keys else entries.span
    return Diagnostic(
        Code.MISSING_KEY, f"{form.what} has no '{field}'{named}", form.example and f"write it like {form.example}", span
    )


def _no_mapping(root: Node, form: type[Form]) -> tuple[Diagnostic, ...]:
    if isinstance(root, Table):
        return ()
    if isinstance(root, Text) and root.is_blank:
        return (Diagnostic(Code.EMPTY_FILE, "the file is empty", f"write it like {form.example}", root.span),)
    try:
        table(root, form.what, form.example)
    except Faults as error:
        return error.diagnostics
    return ()
