package convert

import (
	"bytes"
	"strings"
	"testing"
)

// A graph of one convolution, as the model's file has it; its one weight of 16 bits is 1.
const one = `{"modelTopology":{"node":[
	{"name":"in","op":"Placeholder"},
	{"name":"w","op":"Const"},
	{"name":"out","op":"OP","input":["in","w"],"attr":{
		"strides":{"list":{"i":["1","STRIDE",2,"1"]}},"dilations":{"list":{"i":["1","1","1","1"]}},"padding":{"s":"U0FNRQ=="}}}]},
	"weightsManifest":[{"weights":[{"name":"w","shape":[1,1,3,1],"dtype":"float32","quantization":{"dtype":"float16"}}]}]}`

var weights = []byte{0, 0x3c, 0, 0x3c, 0, 0x3c}

func graph(op string) []byte {
	return []byte(strings.NewReplacer("OP", op, "STRIDE", "2").Replace(one))
}

// The same graph gives the same bytes, and what is kept in them are the weights as they
// were. That the whole model computes what it did is shown beside internal/joints.
func TestConvolution(t *testing.T) {
	m := Model{Graph: graph("Conv2D"), Weights: weights, Size: 8, Outputs: []Output{{"out", "end"}}}
	first, err := ToONNX(m)
	if err != nil {
		t.Fatal(err)
	}
	again, err := ToONNX(m)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, again) {
		t.Error("the same graph gives other bytes")
	}
	for _, want := range [][]byte{weights, []byte("Conv"), []byte("SAME_UPPER"), []byte("end")} {
		if !bytes.Contains(first, want) {
			t.Errorf("%q is missing in the file", want)
		}
	}
}

// What is not known is an error, never a file that computes something else.
func TestUnknown(t *testing.T) {
	for _, c := range []struct {
		what  string
		model Model
		says  string
	}{
		{"an operator", Model{Graph: graph("Softmax"), Weights: weights}, "not known"},
		{"weights that end early", Model{Graph: graph("Conv2D"), Weights: weights[:4]}, "end before"},
		{"weights of nothing", Model{Graph: graph("Conv2D"), Weights: append(bytes.Clone(weights), 0)}, "belong to nothing"},
		{"no graph", Model{Graph: []byte("{"), Weights: weights}, "graph"},
	} {
		c.model.Size, c.model.Outputs = 8, []Output{{"out", "end"}}
		if _, err := ToONNX(c.model); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, want an error that says %q", c.what, err, c.says)
		}
	}
}

// A transposed array has each value where its axes say: checked by hand.
func TestTransposed(t *testing.T) {
	in := tensor{shape: []int{2, 3}, each: 2, bytes: []byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}}
	out := in.transposed(1, 0)
	if want := []byte{0, 1, 6, 7, 2, 3, 8, 9, 4, 5, 10, 11}; !bytes.Equal(out.bytes, want) || out.shape[0] != 3 || out.shape[1] != 2 {
		t.Errorf("%v of shape %v, want %v", out.bytes, out.shape, want)
	}
}
