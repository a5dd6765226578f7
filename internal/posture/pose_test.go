package posture

import "testing"

// The pairs of the COCO keypoints, published as flip_indices of its person category:
// 0, 2 1, 4 3, 6 5, ... (cocodataset.org; here from memory).
func TestOtherSide(t *testing.T) {
	want := []Joint{0, 2, 1, 4, 3, 6, 5, 8, 7, 10, 9, 12, 11, 14, 13, 16, 15}
	if Joints != len(want) {
		t.Fatalf("%d joints, want %d", Joints, len(want))
	}
	for j, w := range want {
		if got := Joint(j).Other(); got != w {
			t.Errorf("the other of joint %d is %d, want %d", j, got, w)
		}
	}
}
