"""JSON Schemas of forms: pydantic writes them, from models that are made of the forms' fields and read nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler, create_model
from pydantic import Field as Declared
from pydantic_core import core_schema

if TYPE_CHECKING:
    from pydantic_core import CoreSchema

    from optimiser.text.forms import Field, Form, Read, Schema


def json_schema(form: type[Form]) -> Schema:
    """The JSON Schema of a form, those of its parts under `$defs`."""
    return model_of(form).model_json_schema(mode="validation")


_MODELS: dict[type[Form], type[BaseModel]] = {}


def model_of(form: type[Form]) -> type[BaseModel]:
    """A model with the keys of a form: their names, which are needed, and what they are for."""
    if form not in _MODELS:
        _MODELS[form] = _made(form)
    return _MODELS[form]


def _made(form: type[Form]) -> type[BaseModel]:
    config = ConfigDict(extra="forbid", json_schema_extra=dict(form.beside) or None)
    fields: dict[str, Any] = {
        name: (Annotated[object, Told(one.read)], _declared(one)) for name, one in form.fields.items()
    }
    made: type[BaseModel] = create_model(form.__name__, __config__=config, __doc__=form.__doc__, **fields)
    return made


def _declared(one: Field) -> Any:
    return Declared(... if one.is_needed else one.default, alias=one.alias or None, description=one.description or None)


class Told:
    """Stands in a model for how a field is read; only its JSON Schema is asked of pydantic."""

    def __init__(self, read: Read[Any]) -> None:
        self.read = read

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.any_schema()

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> Schema:
        def schema_of(form: type[Form]) -> Schema:
            return dict(handler(model_of(form).__pydantic_core_schema__))

        told = self.read.schema
        return dict(told(schema_of) if callable(told) else told)
