"""Holds JSON documents against a schema: python3 schema.py SCHEMA FILE... prints what does not fit, one line each.

It knows the words of JSON Schema that the schemas of this project use, and stops at any other. It is stricter than the standard in one thing: a
key that the schema does not name is wrong, so that none stands in a document without standing in the reference.
"""
import json
import os
import re
import sys

KNOWN = {"$schema", "$defs", "$ref", "title", "description", "type", "required", "properties", "additionalProperties", "items", "enum", "const",
         "anyOf", "minimum", "pattern"}
TYPES = {"object": dict, "array": list, "string": str, "boolean": bool, "null": type(None), "number": (int, float), "integer": int}
files = {}


def load(path):
    if path not in files:
        with open(path, encoding="utf-8") as file:
            files[path] = json.load(file)
    return files[path]


def find(reference, path):
    name, _, inside = reference.partition("#/")
    path = os.path.join(os.path.dirname(path), name) if name else path
    schema = load(path)
    for key in inside.split("/"):
        schema = schema[key]
    return schema, path


def is_of(value, name):
    if isinstance(value, bool):
        return name == "boolean"
    return isinstance(value, TYPES[name]) or (name == "integer" and isinstance(value, float) and value.is_integer())


def wrong(value, schema, path, at):
    """What is wrong with VALUE, which stands AT a place of the document."""
    unknown = set(schema) - KNOWN
    if unknown:
        sys.exit(f"{path}: {', '.join(sorted(unknown))} is not known here")
    if "$ref" in schema:
        inner, inner_path = find(schema["$ref"], path)
        yield from wrong(value, inner, inner_path, at)
        return
    if "anyOf" in schema:
        tries = [list(wrong(value, one, path, at)) for one in schema["anyOf"]]
        if all(tries):
            yield min(tries, key=lambda found: -max(len(line) for line in found))[0]
        return
    if "const" in schema and value != schema["const"]:
        yield f"{at}: {value!r} is not {schema['const']!r}"
    if "enum" in schema and value not in schema["enum"]:
        yield f"{at}: {value!r} is none of {schema['enum']}"
    if "type" in schema:
        names = [schema["type"]] if isinstance(schema["type"], str) else schema["type"]
        if not any(is_of(value, name) for name in names):
            yield f"{at}: {str(value)[:60]!r} is no {' or '.join(names)}"
            return
    if "minimum" in schema and isinstance(value, (int, float)) and value < schema["minimum"]:
        yield f"{at}: {value} is less than {schema['minimum']}"
    if "pattern" in schema and isinstance(value, str) and not re.search(schema["pattern"], value):
        yield f"{at}: {value!r} is not as {schema['pattern']}"
    if isinstance(value, dict):
        named = schema.get("properties", {})
        for key in schema.get("required", []):
            if key not in value:
                yield f"{at}: {key} is missing"
        for key, inner in value.items():
            if key in named:
                yield from wrong(inner, named[key], path, f"{at}.{key}")
            elif "additionalProperties" in schema:
                yield from wrong(inner, schema["additionalProperties"], path, f"{at}.{key}")
            else:
                yield f"{at}: {key} is not in the schema"
    if isinstance(value, list) and "items" in schema:
        for number, inner in enumerate(value):
            yield from wrong(inner, schema["items"], path, f"{at}[{number}]")


def main():
    for name in sys.argv[2:]:
        with open(name, encoding="utf-8") as file:
            document = json.load(file)
        for line in wrong(document, load(sys.argv[1]), sys.argv[1], "document"):
            print(f"{os.path.basename(name)}: {line}")


main()
