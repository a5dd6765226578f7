package posture

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// stride is a delivery of a stick body whose numbers are known: at release, 1.3 s from the
// first frame, the trunk leans 20 degrees forward; the hips move forward by 3 torsos at 4
// torsos a second at most, half way at plant; the front knee is bent to 150 degrees. It
// pitches to the right, or to the left.
func stride(rate float64, left bool) Track {
	const torso, release = 0.2, 1.3
	var t Track
	for i := 0; float64(i)/rate <= 1.6; i++ {
		s := float64(i) / rate
		p := Pose{Frame: i, Seconds: s}
		// A logistic curve of height 3 has its greatest slope, 3 k/4, in its middle.
		k := 4 * 4 / 3.0
		hips := 3 / (1 + math.Exp(-k*(s-(release-0.1))))
		lean := 20 * math.Pi / 180
		put := func(j Joint, x, y float64) {
			at := 0.4 + torso*x
			if left {
				at = 1.4 - torso*x
			}
			p.Points[j] = Point{X: at, Y: 0.8 - torso*y, Sure: 0.9}
		}
		for n, side := range []float64{-0.1, 0.1} { // left, right
			j := Joint(n)
			put(LeftHip+j, hips-side, 1.6)
			put(LeftShoulder+j, hips+math.Sin(lean)-side, 1.6+math.Cos(lean))
			put(LeftElbow+j, hips+math.Sin(lean)-side, 1.8)
			put(LeftWrist+j, hips+0.3, 1.4)
			put(LeftKnee+j, hips-side, 0.8)
			put(LeftAnkle+j, hips-side+0.8*math.Sin(math.Pi/6), 0.8-0.8*math.Cos(math.Pi/6))
		}
		t = append(t, p)
	}
	return t
}

// Measures of a body whose geometry is known, by hand, at the rates of phones, both ways.
func TestMeasuresOfStickBody(t *testing.T) {
	// Over a tenth of a second a logistic curve of height 3 rises by 3 tanh(k/40).
	overTenth := 10 * 3 * math.Tanh(4*4/3.0/40)
	for _, rate := range []float64{30, 60, 120, 240} {
		for _, left := range []bool{false, true} {
			b, err := Of(stride(rate, left), rate)
			if err != nil {
				t.Fatal(err)
			}
			got := b.Measures(Instants{Plant: 1.2, Release: 1.3, U: 0.001}, true)
			for k, want := range map[Kind]float64{LeanPlant: 20, LeanRelease: 20, FrontKnee: 150, ArmSlot: 0.3, HipSpeed: overTenth} {
				if m, ok := got[k]; !ok || math.Abs(m.Value-want) > 0.02*math.Abs(want)+0.005 {
					t.Errorf("%.0f frames a second, left %v: %s is %.3f (%v), want %.3f", rate, left, k, m.Value, ok, want)
				}
			}
		}
	}
}

// strideOf is stride with feet that stand: the back one at 0 until 0.4 s before release
// unless it slides before, the front one from 1.15 s on 2 torsos ahead of it.
func strideOf(slides float64) Track {
	t := stride(60, false)
	ease := func(s float64) float64 { s = min(max(s, 0), 1); return s * s * (3 - 2*s) }
	for i := range t {
		s := t[i].Seconds
		put := func(j Joint, x float64) { t[i].Points[j].X = 0.4 + 0.2*x }
		put(LeftAnkle, 2*ease((s-0.75)/0.4))
		put(RightAnkle, ease((s-0.9)/0.5)+slides*s)
	}
	return t
}

// The stride is from where the back foot stood to where the front one stands, and hardly
// depends on when plant was marked; a foot that does not stand gives none.
func TestStride(t *testing.T) {
	b, err := Of(strideOf(0), 60)
	if err != nil {
		t.Fatal(err)
	}
	for _, plant := range []float64{1.15, 1.165, 1.2} {
		got, ok := b.Measures(Instants{Plant: plant, Release: 1.3, U: 0.01}, true)[Stride]
		if !ok || math.Abs(got.Value-2) > 0.02 {
			t.Errorf("plant at %.3f s: the stride is %.3f (%v), want 2", plant, got.Value, ok)
		}
	}
	if b, err = Of(strideOf(1), 60); err != nil {
		t.Fatal(err)
	}
	if got, ok := b.Measures(Instants{Plant: 1.15, Release: 1.3}, true)[Stride]; ok {
		t.Errorf("a foot that slides all along gives a stride of %.2f", got.Value)
	}
}

// What is not seen is not measured.
func TestNotSeenIsNotMeasured(t *testing.T) {
	track := stride(60, false)
	for i := range track {
		if s := track[i].Seconds; s > 1.2 && s < 1.4 {
			track[i].Points[RightWrist].Sure = 0.4
			track[i].Points[LeftHip].Sure = 0
		}
	}
	b, err := Of(track, 60)
	if err != nil {
		t.Fatal(err)
	}
	got := b.Measures(Instants{Plant: 1.1, Release: 1.3}, true)
	for _, k := range []Kind{ArmSlot, LeanRelease} {
		if m, ok := got[k]; ok {
			t.Errorf("%s is %v though it is not seen", k, m)
		}
	}
	if _, ok := got[LeanPlant]; !ok {
		t.Error("the lean at plant is not measured though the trunk is seen")
	}
	if got := b.Measures(Instants{Plant: math.NaN(), Release: math.NaN()}, true); len(got) != 0 {
		t.Errorf("without instants it measures %v", got)
	}
	for i := range track {
		track[i].Points = [Joints]Point{}
	}
	if _, err := Of(track, 60); !errors.Is(err, ErrNotSeen) {
		t.Errorf("nothing seen: %v", err)
	}
	if _, err := Of(track[:5], 60); !errors.Is(err, ErrFew) {
		t.Errorf("five frames: %v", err)
	}
}

// Left and right that the finder mixed up, and points that it threw somewhere, come out as
// they were.
func TestRepairs(t *testing.T) {
	clean := stride(60, false)
	dirty := make(Track, len(clean))
	copy(dirty, clean)
	dice := rand.New(rand.NewPCG(9, 9))
	for _, span := range [][2]int{{20, 23}, {50, 51}, {70, 78}} {
		for i := span[0]; i < span[1]; i++ {
			for _, j := range legs {
				dirty[i].Points[j] = clean[i].Points[j.Other()]
			}
		}
	}
	for _, i := range []int{10, 35, 60, 85} {
		dirty[i].Points[RightWrist].X += 0.3 * (dice.Float64() + 0.5)
	}
	want, err := Of(clean, 60)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Of(dirty, 60)
	if err != nil {
		t.Fatal(err)
	}
	for j := range Joint(Joints) {
		for i := range want.Len() {
			if d := math.Hypot(got.joints[j].x[i]-want.joints[j].x[i], got.joints[j].y[i]-want.joints[j].y[i]); d > 0.05 {
				t.Fatalf("joint %d at sample %d is off by %.2f torso", j, i, d)
			}
		}
	}
	if got.Switched < 11.0/float64(len(clean)) || got.Bridged == 0 {
		t.Errorf("switched %.3f, bridged %.4f: the quality does not say so", got.Switched, got.Bridged)
	}
}

// The filter halves the power at its cutoff, leaves slow movement alone, takes quick
// movement off by 12 dB an octave twice, and delays nothing (Winter, chapter 3: two runs of
// second order, the cutoff corrected for both).
func TestLowPass(t *testing.T) {
	const rate, cut = 240.0, 8.0
	gain := func(f float64) (float64, float64) {
		var x []float64
		for i := range 2400 {
			x = append(x, math.Sin(2*math.Pi*f*float64(i)/rate))
		}
		y := lowPass(x, rate, cut)
		var s, c float64
		for i := 480; i < 1920; i++ {
			s += y[i] * x[i] / 720
			c += y[i] * math.Cos(2*math.Pi*f*float64(i)/rate) / 720
		}
		return math.Hypot(s, c), math.Atan2(c, s)
	}
	for _, at := range []struct{ f, want, within float64 }{{1, 1, 0.001}, {cut, math.Sqrt2 / 2, 0.003}, {4 * cut, 1 / (1 + math.Pow(4*0.802, 4)), 0.003}} {
		got, phase := gain(at.f)
		if math.Abs(got-at.want) > at.within || math.Abs(phase) > 0.01 {
			t.Errorf("%.0f Hz passes as %.4f, turned by %.3f; want %.4f, 0", at.f, got, phase, at.want)
		}
	}
}
