package motion

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestReach(t *testing.T) {
	d := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		target := Vec{d.Float64() - .2, d.Float64() - .5, d.Float64() - .8}
		if n := target.Len(); n < .15 || n > .6 {
			continue
		}
		var v [channels]float64
		v[pelvisZ] = standing
		swing, yaw, flex := reach(Vec{}, target)
		v[arm(left, armSwing)], v[arm(left, armYaw)], v[arm(left, armFlex)] = swing, yaw, flex
		j := joints(&v)
		if got := j.Grip[left].Sub(j.Shoulder[left]); got.Sub(target).Len() > 1e-9 {
			t.Fatalf("reaches %+v for %+v", got, target)
		}
	}
}

// Limbs keep their length, whatever she does.
func TestLimbsKeepTheirLength(t *testing.T) {
	d := rand.New(rand.NewPCG(2, 2))
	var all []Delivery
	for i := range 6 {
		all = append(all, Delivery{
			Release: 3 + 7*float64(i), Timing: Nominal(), Style: Style{Stride: 1, Open: 1, Stiff: i%2 == 1},
			Between: Between{Ball: Source(1 + i%2), Turn: i%2 == 0, Restless: true, Dice: d},
		})
	}
	a, handlings, err := NewPitcher(Thrower{}, all)
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range handlings {
		if !(h.Caught > all[i].Release+1 && h.Taken > h.Caught && h.Taken < all[i+1].Release+nominalLoad) {
			t.Errorf("ball %d is handled at %+v", i+1, h)
		}
	}
	for s := 0.0; s < 42; s += 1. / 60 {
		j := a.Joints(s)
		for side := range 2 {
			lengths := [][3]float64{
				{j.Hip[side].Sub(j.Knee[side]).Len(), thigh, .02}, {j.Knee[side].Sub(j.Ankle[side]).Len(), shin, .02},
				{j.Shoulder[side].Sub(j.Elbow[side]).Len(), upperArm, 1e-9}, {j.Elbow[side].Sub(j.Grip[side]).Len(), lowerArm, 1e-9},
			}
			for k, l := range lengths {
				if math.Abs(l[0]-l[1]) > l[2] || math.IsNaN(l[0]) {
					t.Fatalf("at %.2f s limb %d of side %d is %.3f m long, not %.3f", s, k, side, l[0], l[1])
				}
			}
			if j.Toe[side].Z < -.005 || j.Heel[side].Z < -.02 {
				t.Fatalf("at %.2f s foot %d is under the ground: %.3f, %.3f", s, side, j.Toe[side].Z, j.Heel[side].Z)
			}
		}
	}
}

// Nobody teleports: no point of a body goes faster than a pitching hand.
func TestNobodyJumps(t *testing.T) {
	d := rand.New(rand.NewPCG(3, 3))
	pitcher, _, err := NewPitcher(Thrower{Left: true}, []Delivery{
		{Release: 3, Timing: Nominal(), Style: Style{Stride: 1, Open: 1}, Between: Between{Ball: ThrownBack, Turn: true, Dice: d}},
		{Release: 7.5, Timing: Nominal(), Style: Style{Stride: .92, Open: .8, Lean: .1}},
	})
	if err != nil {
		t.Fatal(err)
	}
	catcher, err := NewCatcher(Vec{X: 14}, []Catch{{At: 3.6, Where: Vec{13.7, .5, .4}, Return: 4.5}, {At: 8.1, Where: Vec{13.6, -.2, .8}}})
	if err != nil {
		t.Fatal(err)
	}
	walker, err := NewPasser(Vec{X: -7, Y: 3}, Vec{X: 8, Y: 3}, 1, 11)
	if err != nil {
		t.Fatal(err)
	}
	for name, test := range map[string]struct {
		a          *Actor
		hand, head float64 // m/s, the most
	}{"pitcher": {pitcher, 22, 5}, "catcher": {catcher, 16, 4}, "walker": {walker, 5, 2.6}} {
		last := test.a.Joints(0)
		for s := 1. / 240; s < 12; s += 1. / 240 {
			j := test.a.Joints(s)
			for side := range 2 {
				if v := j.Grip[side].Sub(last.Grip[side]).Len() * 240; v > test.hand {
					t.Fatalf("%s: hand %d goes %.1f m/s at %.2f s", name, side, v, s)
				}
			}
			if v := j.Head.Sub(last.Head).Len() * 240; v > test.head {
				t.Fatalf("%s: the head goes %.1f m/s at %.2f s", name, v, s)
			}
			last = j
		}
	}
}

func TestLeftHanderIsTheMirror(t *testing.T) {
	one := []Delivery{{Release: 2, Timing: Nominal(), Style: Style{Stride: 1, Open: 1}}}
	r, _, err := NewPitcher(Thrower{}, one)
	if err != nil {
		t.Fatal(err)
	}
	l, _, err := NewPitcher(Thrower{Left: true}, one)
	if err != nil {
		t.Fatal(err)
	}
	a, b := r.Joints(1.9).Grip[Throw], l.Joints(1.9).Grip[Throw]
	b.Y = -b.Y
	if a.Sub(b).Len() > 1e-12 {
		t.Errorf("%+v, mirrored %+v", a, b)
	}
}

func TestTop(t *testing.T) {
	n := Nominal()
	if top := n.Top(); math.Abs(top+.128) > .002 {
		t.Errorf("the top is %.4f s before release", top)
	}
	if a := n.swing(n.Top(), .2); math.Abs(a-TopAngle) > 1e-9 {
		t.Errorf("the arm is at %.3f rad then", a)
	}
	// Braking starts from the speed at release: no jerk.
	before, after := n.swing(0, .2)-n.swing(-1e-6, .2), n.swing(1e-6, .2)-n.swing(0, .2)
	if math.Abs(before/after-1) > 1e-3 {
		t.Errorf("arm speed jumps from %.1f to %.1f rad/s", before*1e6, after*1e6)
	}
}
