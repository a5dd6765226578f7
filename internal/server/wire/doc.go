// Package wire is what the HTTP API says: one file per resource, each a plain
// struct with its JSON names, units and limits. The OpenAPI document, and from it
// the page's types, are generated from these structs.
//
// Two conventions hold throughout. In answers, a field that may be missing is
// left out and never null. In a PATCH body, a field left out stays as it is; null
// clears it.
package wire
