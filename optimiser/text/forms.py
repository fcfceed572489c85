"""Files as pydantic models over nodes with spans: keys fold, every fault is gathered, and none is told in pydantic's words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, ClassVar, Generic, Self, TypeVar

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema, core_schema

from optimiser.text.build import repeated
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import fold, offer, shown
from optimiser.text.nodes import Node, Row, Table, Text, kind_of
from optimiser.text.quantities import Misread
from optimiser.text.source import Source

T = TypeVar("T")
F = TypeVar("F", bound="Form")

Schema = dict[str, Any]
PART = "x-part"


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


class Read(Generic[T]):
    """Says how a field is read from its node, and what its JSON Schema is.

    `reader` takes the node, what to call it, and the context of the file; it raises `Misread` or `Faults`.
    """

    def __init__(
        self,
        what: str,
        reader: Callable[[Node, str, Any], T],
        schema: Schema | Callable[[GetJsonSchemaHandler], Schema],
    ) -> None:
        self.what = what.replace("_", " ")
        self.reader = reader
        self.schema = schema

    def read(self, node: Node, context: Any) -> T:
        """The field's value.

        Raises:
            Faults: everything that is wrong with it.
        """
        return told(node, lambda: self.reader(node, self.what, context))

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.any_schema()  # only its JSON Schema is asked of pydantic

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> Schema:
        return dict(self.schema(handler) if callable(self.schema) else self.schema)


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
    """The fault of a key that is not known here; `usual` maps other people's words to ours."""
    help_ = offer(key, names)
    if usual and fold(key) in usual:
        help_ = f"here it is written '{usual[fold(key)]}'"
    if ":" in key and isinstance(value, Text) and value.is_blank:
        spaced = f": {key.replace(':', ': ', 1)}" if len(key) <= 60 else ""
        help_ = f"a space is missing after the colon{spaced}"
    elif re.match(r"\s*\d", key) and isinstance(value, Text) and value.is_blank:
        help_ = "a comma parts entries here: use a point in figures, as in 1.5"
    return Diagnostic(Code.UNKNOWN_KEY, f"{shown(key)} is no key of {what}", help_, key.span)


class Form(BaseModel):
    """A part of a file with a fixed set of keys. Keys match regardless of case, blanks, underscores and hyphens."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True, arbitrary_types_allowed=True)

    what: ClassVar[str] = "the file"
    example: ClassVar[str] = ""
    usual: ClassVar[Mapping[str, str]] = {}
    blank_is_absent: ClassVar[bool] = False

    @classmethod
    def contradictions(cls, entries: Mapping[str, Node], keys: Mapping[str, Text]) -> None:
        """Raises faults of entries that cannot stand together; `entries` by field, with their `keys` as written."""

    @classmethod
    def written(cls) -> tuple[str, ...]:
        """The keys as people write them: a field's alias, where its name is taken in Python, or its name."""
        return tuple(field.alias or name for name, field in cls.model_fields.items())

    @classmethod
    def known(cls, entries: Table, faults: Gathering) -> tuple[dict[str, Node], dict[str, Text]]:
        """The entries by field name; unknown and repeated keys become faults."""
        fields = {fold(name): name for name in cls.written()}
        known: dict[str, Node] = {}
        keys: dict[str, Text] = {}
        for key, value in entries.items():
            field = fields.get(fold(key))
            if field is None:
                faults.add(unknown_key(key, value, cls.what, cls.written(), cls.usual))
            elif field in keys:
                faults.add(repeated(key, keys[field]))
            else:
                keys[field] = key
                if not (cls.blank_is_absent and isinstance(value, Text) and value.is_blank):
                    known[field] = value
        return known, keys


def form_schema(
    model: type[Form], *, many: bool = False, keys: tuple[str, ...] = ()
) -> Callable[[GetJsonSchemaHandler], Schema]:
    """The JSON Schema of a form, of a list of them, or of a mapping of `keys` to them."""

    def build(handler: GetJsonSchemaHandler) -> Schema:
        model.model_rebuild()
        inner = handler(model.__pydantic_core_schema__)
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

    Pydantic declares the fields and writes their JSON Schema; reading by its validators would take longer to set up than
    a command has.

    Raises:
        Faults: everything that is wrong with it.
    """
    entries = table(node, form.what, form.example)
    faults = Gathering()
    known, keys = form.known(entries, faults)
    with faults:
        form.contradictions(known, keys)
    values: dict[str, Any] = {}
    for name, field in form.model_fields.items():
        written = field.alias or name
        if written in known:
            with faults:
                values[name] = reader_of(field).read(known[written], context)
        elif field.is_required():
            faults.add(_missing(form, written, entries, keys))
    faults.settle()
    return form.model_construct(_fields_set=set(values), **values)


def reader_of(field: FieldInfo) -> Read[Any]:
    """What reads a field of a form."""
    return next(item for item in field.metadata if isinstance(item, Read))


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
