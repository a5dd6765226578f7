package server

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/go-cmp/cmp"

	"tenoff/internal/server/wire"
)

// TestSheetSaysWhatEncodingJSONWould fills every field of sheets by chance, awkward
// texts and numbers among them, and reads back what encoding/json would have said.
func TestSheetSaysWhatEncodingJSONWould(t *testing.T) {
	dice := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		var sheet wire.Sheet
		fillIn(reflect.ValueOf(&sheet).Elem(), dice, 0)
		var got, want bytes.Buffer
		if err := huma.DefaultJSONFormat.Marshal(&want, sheet); err != nil {
			t.Fatal(err)
		}
		if err := writeJSON(&got, sheet); err != nil {
			t.Fatal(err)
		}
		var said, meant any
		if err := errors.Join(json.Unmarshal(got.Bytes(), &said), json.Unmarshal(want.Bytes(), &meant)); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(meant, said); d != "" {
			t.Fatal(d)
		}
	}
}

// fillIn sets v to something; every now and then a pointer, slice, map or value is
// left empty.
func fillIn(v reflect.Value, dice *rand.Rand, depth int) {
	if dice.IntN(6) == 0 && depth > 1 {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fillIn(v.Elem(), dice, depth+1)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				fillIn(v.Field(i), dice, depth+1)
			}
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), dice.IntN(4), 4))
		for i := range v.Len() {
			fillIn(v.Index(i), dice, depth+1)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range dice.IntN(4) {
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			fillIn(key, dice, 0)
			fillIn(value, dice, depth+1)
			v.SetMapIndex(key, value)
		}
	case reflect.String:
		texts := []string{"ch", "<b>&\"\\\u2028\n\t", "Zoë 🥎 \u200fאב", "\x00\x1f\xff", "}{][,:"}
		v.SetString(texts[dice.IntN(len(texts))])
	case reflect.Bool:
		v.SetBool(dice.IntN(2) == 0)
	case reflect.Int, reflect.Int64, reflect.Int32:
		v.SetInt(int64(dice.Uint64() >> dice.IntN(63)))
	case reflect.Uint8:
		v.SetUint(uint64(dice.IntN(256)))
	case reflect.Float64:
		numbers := []float64{46, 45.7, 0.1 + 0.2, -1e-7, 1e21, 123456789.125, math.MaxFloat64, math.SmallestNonzeroFloat64, math.Copysign(0, -1)}
		v.SetFloat(numbers[dice.IntN(len(numbers))])
	default:
		panic(fmt.Sprint("a sheet holds a ", v.Kind()))
	}
}
