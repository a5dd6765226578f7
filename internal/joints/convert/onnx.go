package convert

import (
	"encoding/binary"
	"math"
	"strconv"
)

// An ONNX file is one message of protocol buffers (onnx.proto3 of the ONNX project). The
// field numbers below are that file's; the coding is
// https://protobuf.dev/programming-guides/encoding/.

// Types of a tensor's elements, TensorProto.DataType.
const (
	float32s = 1
	int64s   = 7
	float16s = 10
)

func tag(field, kind int) []byte { return binary.AppendUvarint(nil, uint64(field<<3|kind)) }

func number(field int, v int) []byte {
	return binary.AppendUvarint(tag(field, 0), uint64(int64(v)))
}

func data(field int, b []byte) []byte {
	return append(binary.AppendUvarint(tag(field, 2), uint64(len(b))), b...)
}

func join(parts ...[]byte) []byte {
	var out []byte
	for _, p := range parts {
		out = append(out, p...)
	}
	return out
}

// The attributes of a node, AttributeProto: name 1, i 3, s 4, ints 8, type 20.

func integer(name string, v int) []byte {
	return join(data(1, []byte(name)), number(3, v), number(20, 2))
}

func text(name, v string) []byte {
	return join(data(1, []byte(name)), data(4, []byte(v)), number(20, 3))
}

func ints(name string, vs ...int) []byte {
	out := data(1, []byte(name))
	for _, v := range vs {
		out = append(out, number(8, v)...)
	}
	return append(out, number(20, 7)...)
}

// add makes a node, NodeProto (input 1, output 2, op_type 4, attribute 5), and returns
// the name of its value.
func (c *converter) add(op string, takes []string, shape [4]int, attributes ...[]byte) string {
	name := c.next()
	var n []byte
	for _, t := range takes {
		n = append(n, data(1, []byte(t))...)
	}
	n = append(n, join(data(2, []byte(name)), data(4, []byte(op)))...)
	for _, a := range attributes {
		n = append(n, data(5, a)...)
	}
	c.made = append(c.made, data(1, n)...)
	c.shapes[name] = shape
	return name
}

func (c *converter) next() string {
	c.count++
	return "v" + strconv.Itoa(c.count)
}

// keep puts an array into the file, TensorProto (dims 1, data_type 2, name 8, raw_data
// 9), and returns the name of its value. 16-bit floats are made 32-bit ones by a node,
// which ONNX Runtime does once when it loads the file.
func (c *converter) keep(t tensor) string {
	name := c.next()
	kind, raw := float32s, t.bytes
	switch {
	case t.whole != nil:
		kind, raw = int64s, nil
		for _, v := range t.whole {
			raw = binary.LittleEndian.AppendUint64(raw, uint64(v))
		}
	case t.each == 2:
		kind = float16s
	}
	var p []byte
	for _, d := range t.shape {
		p = append(p, number(1, d)...)
	}
	p = append(p, join(number(2, kind), data(8, []byte(name)), data(9, raw))...)
	c.kept = append(c.kept, data(5, p)...)
	if kind != float16s {
		return name
	}
	return c.add("Cast", []string{name}, [4]int{}, integer("to", float32s))
}

func single(v float32) tensor {
	return tensor{each: 4, bytes: binary.LittleEndian.AppendUint32(nil, math.Float32bits(v))}
}

func sizes(shape [4]int) tensor { return tensor{shape: []int{4}, whole: shape[:]} }

// file returns the whole file: ModelProto (ir_version 1, producer_name 2, graph 7,
// opset_import 8) with its GraphProto (node 1, name 2, initializer 5, input 11,
// output 12).
func (c *converter) file() []byte {
	for _, o := range c.outputs { // give them the names that they are asked for by
		c.made = append(c.made, data(1, join(data(1, []byte(o.value)), data(2, []byte(o.name)), data(4, []byte("Identity"))))...)
	}
	graph := join(c.made, data(2, []byte("pose")), c.kept, data(11, described(Input, [4]int{1, 3, c.size, c.size})))
	for _, o := range c.outputs {
		graph = append(graph, data(12, described(o.name, o.shape))...)
	}
	return join(number(1, 8), data(2, []byte("tenoff")), data(7, graph), data(8, number(2, 13)))
}

// described is a ValueInfoProto (name 1, type 2) of floats: TypeProto (tensor_type 1) of
// elem_type 1 and shape 2, whose dim 1 has a dim_value 1.
func described(name string, shape [4]int) []byte {
	var dims []byte
	for _, d := range shape {
		dims = append(dims, data(1, number(1, d))...)
	}
	return join(data(1, []byte(name)), data(2, data(1, join(number(1, float32s), data(2, dims)))))
}
