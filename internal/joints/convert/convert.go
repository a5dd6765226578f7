// Package convert turns a pose model as TensorFlow.js keeps it, a graph and its weights,
// into one ONNX file, which ONNX Runtime reads. It runs when the program is built, and
// knows only the operators that such a model has.
//
// Pictures come in as rows of pixels with their colours together (NHWC) there, and as
// one plane a colour (NCHW) here. Weights stay the 16-bit numbers that they are kept as.
package convert

import (
	"encoding/json"
	"fmt"
	"slices"
)

// Model is what ToONNX makes an ONNX file of.
type Model struct {
	Graph   []byte // model.json
	Weights []byte // the one file of weights that it names
	Outputs []Output
	Size    int // the picture is Size x Size
}

// Output is a node whose value is wanted, and what it is called in the ONNX file.
type Output struct{ Node, Name string }

// Input is the name of the ONNX model's input: floats of 1 x 3 x Size x Size, red, green
// and blue, 0 to 255.
const Input = "input"

// ToONNX returns the model as an ONNX file of opset 13. The same model gives the same
// bytes.
func ToONNX(m Model) ([]byte, error) {
	var doc document
	if err := json.Unmarshal(m.Graph, &doc); err != nil {
		return nil, fmt.Errorf("convert: the graph: %w", err)
	}
	weights, err := doc.weights(m.Weights)
	if err != nil {
		return nil, err
	}
	c := converter{nodes: map[string]node{}, weights: weights, names: map[string]string{}, shapes: map[string][4]int{}, size: m.Size}
	for _, n := range doc.Topology.Node {
		c.nodes[n.Name] = n
	}
	for _, want := range m.Outputs {
		value, err := c.value(want.Node)
		if err != nil {
			return nil, fmt.Errorf("convert: %s: %w", want.Name, err)
		}
		c.outputs = append(c.outputs, output{want.Name, value, c.shapes[value]})
	}
	return c.file(), nil
}

// converter walks the graph from its outputs to its input.
type converter struct {
	nodes   map[string]node
	weights map[string]tensor
	names   map[string]string // of a node's value in ONNX, by the node's name
	shapes  map[string][4]int // of a value in ONNX: pictures, planes, rows, columns
	size    int
	made    []byte // the nodes so far, coded
	kept    []byte // the weights so far, coded
	count   int
	outputs []output
}

type output struct {
	name, value string
	shape       [4]int
}

// value returns ONNX's name of a node's value, after making what it takes.
func (c *converter) value(name string) (string, error) {
	if known, ok := c.names[name]; ok {
		return known, nil
	}
	n, ok := c.nodes[name]
	if !ok {
		return "", fmt.Errorf("there is no node %q", name)
	}
	made, err := c.make(n)
	if err != nil {
		return "", fmt.Errorf("%s %s: %w", n.Op, n.Name, err)
	}
	c.names[name] = made
	return made, nil
}

func (c *converter) make(n node) (string, error) {
	switch n.Op {
	case "Placeholder":
		c.shapes[Input] = [4]int{1, 3, c.size, c.size}
		return Input, nil
	case "Cast", "Unpack", "ExpandDims", "Squeeze":
		// Between the input and the first convolution: one picture is taken out of a
		// batch of one and put back, and becomes floats, which it is here.
		return c.value(n.Input[0])
	case "Const":
		return c.constant(n.Name)
	case "_FusedConv2D", "Conv2D":
		return c.convolution(n, false)
	case "FusedDepthwiseConv2dNative", "DepthwiseConv2dNative":
		return c.convolution(n, true)
	case "AddV2", "Add":
		return c.of(n, "Add", 2)
	case "Mul", "Sub", "Sigmoid":
		return c.of(n, n.Op, len(n.Input))
	case "ResizeBilinear":
		return c.resize(n)
	}
	return "", fmt.Errorf("this operator is not known")
}

// of makes a node of the same operator value by value; its shape is the largest of what
// it takes.
func (c *converter) of(n node, op string, inputs int) (string, error) {
	if len(n.Input) != inputs {
		return "", fmt.Errorf("it takes %d values, not %d", len(n.Input), inputs)
	}
	var names []string
	var shape [4]int
	for _, in := range n.Input {
		name, err := c.value(in)
		if err != nil {
			return "", err
		}
		names = append(names, name)
		for i, v := range c.shapes[name] {
			shape[i] = max(shape[i], v)
		}
	}
	return c.add(op, names, shape), nil
}

// convolution makes a convolution and, where they are fused with it, the bias and the
// rectifier after it.
func (c *converter) convolution(n node, depthwise bool) (string, error) {
	from, err := c.value(n.Input[0])
	if err != nil {
		return "", err
	}
	w, ok := c.weights[n.Input[1]]
	if !ok || len(w.shape) != 4 {
		return "", fmt.Errorf("its weights %q are not there", n.Input[1])
	}
	strides, dilations := n.ints("strides"), n.ints("dilations")
	if len(strides) != 4 || len(dilations) != 4 || slices.Max(dilations) != 1 {
		return "", fmt.Errorf("strides %v and dilations %v are not known", strides, dilations)
	}
	in, group, planes := c.shapes[from], 1, w.shape[3]
	if depthwise { // rows, columns, planes, 1
		if w.shape[3] != 1 {
			return "", fmt.Errorf("%d outputs a plane are not known", w.shape[3])
		}
		group, planes = w.shape[2], w.shape[2]
		w = w.transposed(2, 3, 0, 1)
	} else { // rows, columns, planes in, planes out
		w = w.transposed(3, 2, 0, 1)
	}
	shape := [4]int{1, planes, in[2], in[3]}
	attributes := [][]byte{
		ints("kernel_shape", w.shape[2], w.shape[3]),
		ints("strides", strides[1], strides[2]), integer("group", group),
	}
	switch pad := n.text("padding"); pad {
	case "SAME":
		// TensorFlow puts the odd row of padding after the picture.
		attributes = append(attributes, text("auto_pad", "SAME_UPPER"))
		shape[2], shape[3] = (in[2]+strides[1]-1)/strides[1], (in[3]+strides[2]-1)/strides[2]
	case "VALID":
		shape[2], shape[3] = (in[2]-w.shape[2])/strides[1]+1, (in[3]-w.shape[3])/strides[2]+1
	default:
		return "", fmt.Errorf("padding %q is not known", pad)
	}
	takes := []string{from, c.keep(w)}
	fused := n.texts("fused_ops")
	if len(fused) > 0 && fused[0] == "BiasAdd" {
		bias, ok := c.weights[n.Input[2]]
		if !ok {
			return "", fmt.Errorf("its bias %q is not there", n.Input[2])
		}
		takes, fused = append(takes, c.keep(bias)), fused[1:]
	}
	made := c.add("Conv", takes, shape, attributes...)
	switch {
	case len(fused) == 0:
		return made, nil
	case slices.Equal(fused, []string{"Relu"}):
		return c.add("Relu", []string{made}, shape), nil
	case slices.Equal(fused, []string{"Relu6"}):
		return c.add("Clip", []string{made, c.keep(single(0)), c.keep(single(6))}, shape), nil
	}
	return "", fmt.Errorf("%v after it is not known", fused)
}

func (c *converter) resize(n node) (string, error) {
	from, err := c.value(n.Input[0])
	if err != nil {
		return "", err
	}
	size, ok := c.weights[n.Input[1]]
	if !ok || len(size.whole) != 2 || !n.Attr["half_pixel_centers"].B || n.Attr["align_corners"].B {
		return "", fmt.Errorf("resizing in this way is not known")
	}
	shape := c.shapes[from]
	shape[2], shape[3] = size.whole[0], size.whole[1]
	return c.add("Resize", []string{from, "", "", c.keep(sizes(shape))}, shape,
		text("mode", "linear"), text("coordinate_transformation_mode", "half_pixel")), nil
}

// constant keeps a weight that is computed with value by value.
func (c *converter) constant(name string) (string, error) {
	w, ok := c.weights[name]
	if !ok || w.whole != nil {
		return "", fmt.Errorf("it is no floats")
	}
	switch len(w.shape) {
	case 0:
		return c.keep(w), nil
	case 3: // rows, columns, planes
		w.shape = append([]int{1}, w.shape...)
		fallthrough
	case 4:
		w = w.transposed(0, 3, 1, 2)
		kept := c.keep(w)
		c.shapes[kept] = [4]int(w.shape)
		return kept, nil
	}
	return "", fmt.Errorf("its shape %v is not known", w.shape)
}
