package server

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/go-cmp/cmp"
)

// operations returns an item's operations by method.
func operations(item *huma.PathItem) map[string]*huma.Operation {
	out := map[string]*huma.Operation{
		http.MethodGet: item.Get, http.MethodPost: item.Post, http.MethodPut: item.Put,
		http.MethodPatch: item.Patch, http.MethodDelete: item.Delete, http.MethodHead: item.Head,
	}
	for method, o := range out {
		if o == nil {
			delete(out, method)
		}
	}
	return out
}

func ginPath(path string) string { return strings.NewReplacer("{", ":", "}", "").Replace(path) }

// at returns the field of a JSON text that a path of dots names: films.0.id
func at(text, pointer string) (any, error) {
	var v any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		return nil, err
	}
	for key := range strings.SplitSeq(pointer, ".") {
		switch in := v.(type) {
		case map[string]any:
			v = in[key]
		case []any:
			i, err := strconv.Atoi(key)
			if err != nil || i >= len(in) {
				return nil, fmt.Errorf("no %s", pointer)
			}
			v = in[i]
		default:
			return nil, fmt.Errorf("no %s", pointer)
		}
	}
	if v == nil {
		return nil, fmt.Errorf("no %s", pointer)
	}
	return v, nil
}

func TestDocumentListsEveryRoute(t *testing.T) {
	s := New(Deps{})
	documented := map[string]bool{}
	ids := map[string]string{}
	for path, item := range s.Document().Paths {
		for method, o := range operations(item) {
			documented[method+" "+ginPath(path)] = true
			if other, taken := ids[o.OperationID]; taken {
				t.Errorf("%s and %s are both called %s", other, path, o.OperationID)
			}
			ids[o.OperationID] = path
			if o.Summary == "" {
				t.Errorf("%s says nothing about itself", o.OperationID)
			}
			for _, name := range pathNames(path) {
				if !hasParam(o, name) {
					t.Errorf("%s does not document {%s}", o.OperationID, name)
				}
			}
			if o.Responses["default"] == nil {
				t.Errorf("%s does not document its errors", o.OperationID)
			}
		}
	}
	routed := map[string]bool{}
	for _, r := range s.engine.Routes() {
		routed[r.Method+" "+r.Path] = true
	}
	if diff := cmp.Diff(routed, documented); diff != "" {
		t.Errorf("routes (-) and document (+) differ:\n%s", diff)
	}
}

func hasParam(o *huma.Operation, name string) bool {
	for _, p := range o.Parameters {
		if p.Name == name && p.In == "path" {
			return true
		}
	}
	return false
}

func TestDocumentIsServedAsItIsPrinted(t *testing.T) {
	h := newHouse(t)
	a := h.ask(t, http.MethodGet, "/api/openapi.json", nil)
	want, err := json.Marshal(h.server.Document())
	if err != nil {
		t.Fatal(err)
	}
	if a.status != http.StatusOK || a.body != string(want) {
		t.Errorf("served %d, %d bytes; printed %d bytes", a.status, len(a.body), len(want))
	}
	if v, err := at(a.body, "openapi"); err != nil || v != "3.1.0" {
		t.Errorf("openapi is %v, %v", v, err)
	}
}

// Every property says what unit it is in where it is a number that has one, and
// enums are closed: spot checks of what the page's types hang on.
func TestDocumentSchemas(t *testing.T) {
	text, err := json.Marshal(New(Deps{}).Document())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ pointer, want string }{
		{"components.schemas.Verdict.enum", "[ too firm in the band soft too soft]"},
		{"components.schemas.Unit.enum", "[mph km/h]"},
		{"components.schemas.RepEdit.required", "[version]"},
		{"components.schemas.Gap.required", "[mph kmh percent]"},
		{"components.schemas.RepEdit.properties.reading.anyOf.1.enum", "[<nil>]"},
		{"components.schemas.Film.properties.seconds.description", "length in the file, seconds"},
		{"components.schemas.Sheet.properties.reps.type", "array"},
	} {
		if v, err := at(string(text), c.pointer); err != nil || fmt.Sprint(v) != c.want {
			t.Errorf("%s is %v (%v), want %s", c.pointer, v, err, c.want)
		}
	}
}
