package server

import (
	"io"

	"github.com/danielgtaylor/huma/v2"
	quickjson "github.com/goccy/go-json"

	"tenoff/internal/server/wire"
)

// formats are what answers are written in: JSON, always.
func formats() map[string]huma.Format {
	f := huma.Format{Marshal: writeJSON, Unmarshal: huma.DefaultJSONFormat.Unmarshal}
	return map[string]huma.Format{"application/json": f, "json": f}
}

// writeJSON writes v. A sheet of thousands of reps is the one answer that takes
// encoding/json longer than all that is computed for it; it goes through a quicker
// encoder that says the same (it writes 1e-07 where encoding/json has 1e-7).
func writeJSON(w io.Writer, v any) error {
	sheet, ok := v.(wire.Sheet)
	if !ok {
		return huma.DefaultJSONFormat.Marshal(w, v)
	}
	enc := quickjson.NewEncoder(w)
	enc.SetEscapeHTML(false)
	return enc.Encode(sheet)
}
