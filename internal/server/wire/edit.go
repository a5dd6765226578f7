package wire

import (
	"bytes"
	"encoding/json"
	"reflect"

	"github.com/danielgtaylor/huma/v2"
)

// Edit is a clearable field of a PATCH body: not sent (leave it), null (clear it)
// or a value.
type Edit[T any] struct {
	Sent  bool
	Value *T // nil: cleared
}

// Set returns an Edit that sends v.
func Set[T any](v T) Edit[T] { return Edit[T]{Sent: true, Value: &v} }

// Clear returns an Edit that sends null.
func Clear[T any]() Edit[T] { return Edit[T]{Sent: true} }

// IsZero reports whether the field was not sent; encoding/json's omitzero asks it.
func (e Edit[T]) IsZero() bool { return !e.Sent }

// UnmarshalJSON implements json.Unmarshaler.
func (e *Edit[T]) UnmarshalJSON(data []byte) error {
	e.Sent, e.Value = true, nil
	if bytes.Equal(data, []byte("null")) {
		return nil
	}
	e.Value = new(T)
	return json.Unmarshal(data, e.Value)
}

// MarshalJSON implements json.Marshaler.
func (e Edit[T]) MarshalJSON() ([]byte, error) { return json.Marshal(e.Value) }

// Schema implements huma.SchemaProvider: T's schema, or null.
func (Edit[T]) Schema(r huma.Registry) *huma.Schema {
	return &huma.Schema{AnyOf: []*huma.Schema{
		r.Schema(reflect.TypeFor[T](), true, ""),
		{Enum: []any{nil}},
	}}
}
