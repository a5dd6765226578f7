package paint

import (
	"bytes"
	"math"
	"testing"

	"tenoff/internal/demo/motion"
)

// A capsule covers as many pixels as its area says, wherever it lies.
func TestCapsuleArea(t *testing.T) {
	tests := []capsule{
		{point{30, 30}, point{70, 45}, 6, 6},
		{point{30.3, 60.7}, point{70.1, 60.2}, 3.3, 3.3},
		{point{50, 20}, point{50.4, 80}, 4, 4},
		{point{50.5, 50.5}, point{50.5, 50.5}, 10, 10},
		{point{20, 20}, point{80, 80}, 1.2, 1.2},
	}
	for _, c := range tests {
		p := plane{bytes.Repeat([]byte{16}, 100*100), 100, 100}
		c.draw(p, 216, false)
		var got float64
		for _, v := range p.pix {
			got += float64(v-16) / 200
		}
		want := 2*c.ra*math.Hypot(c.b.x-c.a.x, c.b.y-c.a.y) + math.Pi*c.ra*c.ra
		if math.Abs(got/want-1) > .02+.04/c.ra { // thin ones come out a little bolder
			t.Errorf("%+v covers %.1f pixels, not %.1f", c, got, want)
		}
	}
}

// Drawing outside the picture touches nothing and does not panic.
func TestOutOfThePicture(t *testing.T) {
	c := NewCanvas(32, 18, false)
	before := bytes.Clone(c.Bytes())
	far := capsule{point{-400, 3}, point{-300, 900}, 20, 5}
	newCapsulePiece(far, Ball(), 1).paint(c)
	newBlobPiece(blob{[]capsule{far}, 3, 3}, Ball(), 1).paint(c)
	behind := motion.Joints{Pelvis: motion.Vec{Y: -9}, Chest: motion.Vec{Y: -9, Z: 1}}
	castShadow(c, NewCamera(motion.Vec{Y: -5, Z: 1}, motion.Vec{Y: 5, Z: 5}, 32, 18, 2), []motion.Joints{behind})
	if !bytes.Equal(before, c.Bytes()) {
		t.Error("something out of sight is drawn")
	}
	across := capsule{point{-400, 9}, point{400, 9}, 2, 2}
	newCapsulePiece(across, Ball(), 1).paint(c)
	if c.Y[9*32+16] < 150 {
		t.Error("a limb that crosses the picture is not seen")
	}
}

func TestCameraSeesWhereItLooks(t *testing.T) {
	c := NewCamera(motion.Vec{X: -3, Y: -5, Z: 1.5}, motion.Vec{X: 1, Z: 1}, 640, 360, 3)
	if x, y, ok := c.Project(motion.Vec{X: 1, Z: 1}); !ok || math.Abs(x-320) > 1e-9 || math.Abs(y-180) > 1e-9 {
		t.Errorf("the target is at %.2f, %.2f", x, y)
	}
	for _, v := range []motion.Vec{{X: 1, Y: 2, Z: .5}, {X: -1, Y: -1, Z: 2}, {X: 4, Y: 3, Z: 0}} {
		x, y, ok := c.Project(v)
		dir := v.Sub(c.eye).Unit()
		if got := c.ray(x, y); !ok || got.Sub(dir).Len() > 1e-9 {
			t.Errorf("%+v is seen at %.1f, %.1f, which looks along %+v", v, x, y, got)
		}
	}
	if _, _, ok := c.Project(motion.Vec{X: -9, Y: -12, Z: 1}); ok {
		t.Error("sees behind itself")
	}
}

// A backdrop that is moved shows at each pixel what a moved camera sees there.
func TestBackdropMovesWithTheCamera(t *testing.T) {
	cam := NewCamera(motion.Vec{X: .5, Y: -7, Z: 1.4}, motion.Vec{X: .5, Z: 1}, 160, 90, 3)
	b := NewBackdrop(cam, 160, 90, 20, true, Park{Seed: 1, Plate: 13})
	still, moved := NewCanvas(160, 90, true), NewCanvas(160, 90, true)
	b.lay(still, Shake{}, 0)
	b.lay(moved, Shake{DX: 7, DY: -3}, 0)
	for _, at := range [][2]int{{40, 30}, {100, 60}, {150, 70}} {
		if a, z := still.Y[(at[1]+3)*160+at[0]-7], moved.Y[at[1]*160+at[0]]; a != z {
			t.Errorf("at %v: %d, was %d", at, z, a)
		}
	}
	// Rolled and zoomed: a point of the ground goes where Project says.
	s := Shake{DX: 2.4, DY: 1.3, Roll: .01, Zoom: .008}
	b.lay(moved, s, 0)
	var sum, n float64
	for y := 50; y < 85; y++ {
		for x := 20; x < 140; x++ {
			dx, dy := s.shift(float64(x)+.5-80, float64(y)+.5-45)
			fx, fy := float64(x)+dx, float64(y)+dy
			ix, iy := int(math.Round(fx)), int(math.Round(fy))
			if ix < 0 || iy < 0 || ix >= 160 || iy >= 90 {
				continue
			}
			sum, n = sum+math.Abs(float64(moved.Y[iy*160+ix])-float64(still.Y[y*160+x])), n+1
		}
	}
	if sum/n > 4 {
		t.Errorf("off by %.1f levels on average", sum/n)
	}
}

func TestGrainHasItsDeviation(t *testing.T) {
	for _, sd := range []float64{.6, 2, 4, 9} {
		g := NewGrain(sd, 5)
		c := NewCanvas(256, 144, true)
		for i := range c.Y {
			c.Y[i] = 120
		}
		g.add(c, 3, 1)
		var sum, squares float64
		for _, v := range c.Y {
			d := float64(v) - 120
			sum, squares = sum+d, squares+d*d
		}
		n := float64(len(c.Y))
		got := math.Sqrt(squares / n)
		// Rounding to whole levels adds up to a quarter of a level's square.
		if math.Abs(sum/n) > .1 || got < sd*.95 || got > math.Hypot(sd, .5)*1.03 {
			t.Errorf("asked %.1f, got %.2f round %.2f", sd, got, sum/n)
		}
	}
}

func TestGrainKeepsWithinBytes(t *testing.T) {
	for _, sd := range []float64{4, 20} {
		for _, level := range []byte{16, 235} {
			c := NewCanvas(64, 36, true)
			for i := range c.Y {
				c.Y[i] = level
			}
			NewGrain(sd, 1).add(c, 0, 1)
			for _, v := range c.Y {
				if d := int(v) - int(level); d > 120 || d < -120 {
					t.Fatalf("%d became %d", level, v)
				}
			}
		}
	}
}

func TestNumbersSurviveScaling(t *testing.T) {
	c := NewCanvas(640, 360, false)
	for _, number := range []int{0, 1, 0x5555, 0xAAAA, 0xFFFF, 12345} {
		stamp(c, number)
		for _, k := range []int{1, 2, 4} {
			w, h := 640/k, 360/k
			small := make([]byte, w*h)
			for y := range h {
				for x := range w {
					sum := 0
					for j := range k * k {
						sum += int(c.Y[(y*k+j/k)*640+x*k+j%k])
					}
					small[y*w+x] = byte(sum / (k * k))
				}
			}
			if got, ok := ReadNumber(small, w, h); !ok || got != number {
				t.Errorf("%d at 1/%d reads %d, %v", number, k, got, ok)
			}
		}
	}
	if _, ok := ReadNumber(make([]byte, 640*360), 640, 360); ok {
		t.Error("reads a number off a black picture")
	}
	if _, ok := ReadNumber(nil, 640, 360); ok {
		t.Error("reads a number off nothing")
	}
}
