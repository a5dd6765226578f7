package convert

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// document is model.json.
type document struct {
	Topology struct {
		Node []node `json:"node"`
	} `json:"modelTopology"`
	Manifest []struct {
		Weights []struct {
			Name         string `json:"name"`
			Shape        []int  `json:"shape"`
			Type         string `json:"dtype"`
			Quantization *struct {
				Type string `json:"dtype"`
			} `json:"quantization"`
		} `json:"weights"`
	} `json:"weightsManifest"`
}

// node is one operation, as TensorFlow's NodeDef in JSON.
type node struct {
	Name  string               `json:"name"`
	Op    string               `json:"op"`
	Input []string             `json:"input"`
	Attr  map[string]attribute `json:"attr"`
}

type attribute struct {
	B    bool   `json:"b"`
	S    []byte `json:"s"` // JSON has it in base64
	List struct {
		I []json.RawMessage `json:"i"` // numbers, or texts of numbers
		S [][]byte          `json:"s"`
	} `json:"list"`
}

func (n node) text(name string) string { return string(n.Attr[name].S) }

func (n node) texts(name string) []string {
	var out []string
	for _, s := range n.Attr[name].List.S {
		out = append(out, string(s))
	}
	return out
}

// ints returns a list of whole numbers; nil if it is none.
func (n node) ints(name string) []int {
	var out []int
	for _, raw := range n.Attr[name].List.I {
		v, err := strconv.Atoi(strings.Trim(string(raw), `"`))
		if err != nil {
			return nil
		}
		out = append(out, v)
	}
	return out
}

// tensor is an array of 16-bit floats, 32-bit floats or whole numbers.
type tensor struct {
	shape []int
	bytes []byte // of floats, little-endian, row by row
	each  int    // bytes a float: 2 or 4
	whole []int
}

// transposed returns the tensor with its axes in another order.
func (t tensor) transposed(axes ...int) tensor {
	strides := make([]int, len(t.shape))
	stride := t.each
	for i := len(t.shape) - 1; i >= 0; i-- {
		strides[i] = stride
		stride *= t.shape[i]
	}
	out := tensor{each: t.each, bytes: make([]byte, 0, len(t.bytes))}
	for _, a := range axes {
		out.shape = append(out.shape, t.shape[a])
	}
	var walk func(axis, at int)
	walk = func(axis, at int) {
		if axis == len(axes) {
			out.bytes = append(out.bytes, t.bytes[at:at+t.each]...)
			return
		}
		for i := range out.shape[axis] {
			walk(axis+1, at+i*strides[axes[axis]])
		}
	}
	walk(0, 0)
	return out
}

// weights takes the arrays out of the file of weights, in the manifest's order.
func (d document) weights(file []byte) (map[string]tensor, error) {
	out := map[string]tensor{}
	for _, group := range d.Manifest {
		for _, w := range group.Weights {
			n := 1
			for _, d := range w.Shape {
				n *= d
			}
			t := tensor{shape: w.Shape, each: 4}
			kind := w.Type
			if w.Quantization != nil {
				kind = w.Quantization.Type
			}
			if kind == "float16" {
				t.each = 2
			}
			if n < 0 || n*t.each > len(file) {
				return nil, fmt.Errorf("convert: the weights end before %s", w.Name)
			}
			t.bytes, file = file[:n*t.each], file[n*t.each:]
			switch kind {
			case "float16", "float32":
			case "int32":
				for i := range n {
					t.whole = append(t.whole, int(int32(binary.LittleEndian.Uint32(t.bytes[4*i:]))))
				}
			default:
				return nil, fmt.Errorf("convert: %s is of %s, which is not known", w.Name, kind)
			}
			out[w.Name] = t
		}
	}
	if len(file) != 0 {
		return nil, fmt.Errorf("convert: %d bytes of weights belong to nothing", len(file))
	}
	return out, nil
}
