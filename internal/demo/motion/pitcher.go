package motion

// Delivery is one full motion to throw, with a ball or without.
type Delivery struct {
	Release float64 // seconds into the film
	Timing  Timing
	Style   Style
	Between Between // what follows it
}

// The pitching arm of every body is its right one; see Thrower.Left.
const (
	Glove = int(left)  // index of the glove side in a pair of Joints
	Throw = int(right) // index of the throwing side
)

// Thrower says who pitches, and where.
type Thrower struct {
	At   Vec     // the middle of her rubber's front edge
	Left bool    // she is a left-hander: everything is mirrored
	Size float64 // of the standard body; 0 is 1
}

// NewPitcher returns a pitcher who throws the given deliveries, in order of
// time, and how she comes by the ball after each but the last.
func NewPitcher(who Thrower, deliveries []Delivery) (*Actor, []Handling, error) {
	var s script
	var circles []circle
	var handlings []Handling
	for i, d := range deliveries {
		c, err := s.deliver(d.Release, d.Timing, d.Style, i)
		if err != nil {
			return nil, nil, err
		}
		brake := d.Style.brake() * d.Timing.Finish
		circles = append(circles, circle{
			from: d.Release + d.Timing.ArmStart, release: d.Release, to: d.Release + brake,
			timing: d.Timing, brake: brake, base: float64(i) * 360 * degree,
		})
		if i+1 < len(deliveries) {
			n := deliveries[i+1]
			from, to := c.bodyAt(nominalEnd), n.Release+n.Timing.Load-0.02
			handlings = append(handlings, s.rest(from, to, n.Style.Place, d.Between))
		}
	}
	a, err := newActor(&s, place{at: who.At, mirror: who.Left, size: who.Size}, circles)
	return a, handlings, err
}

// DriveFoot and StrideFoot are indices into a pair of Joints.
const (
	StrideFoot = int(left)
	DriveFoot  = int(right)
)
