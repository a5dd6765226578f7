package motion

// Style is how one delivery differs from the next in shape.
type Style struct {
	Stride float64 // of the stride's length; 1 is usual
	Lean   float64 // radians more towards the plate
	Open   float64 // of the opening of hips and shoulders; 1 is usual
	Place  Vec     // where she stands on the rubber, off its middle
	Stiff  bool    // the arm is braked and stays low after release
}

// sketch is one channel of the delivery through nominal time.
type sketch struct {
	channel channel
	keys    []key
}

// legwork is what the body does, by body time; x and y off her place on the
// rubber, angles in degrees. The drive leg is the right one.
func legwork() []sketch {
	l, r := func(c channel) channel { return foot(left, c) }, func(c channel) channel { return foot(right, c) }
	return []sketch{
		{pelvisX, []key{{-1.15, -.13}, {-.95, -.20}, {-.78, -.16}, {-.56, .08}, {-.36, .52}, {-.11, 1.12}, {0, 1.31}, {.22, 1.39}, {.95, 1.42}}},
		{pelvisY, []key{{-1.15, 0}, {-.56, -.02}, {-.11, 0}, {.95, -.06}}},
		{pelvisZ, []key{{-1.15, .87}, {-.95, .84}, {-.78, .80}, {-.56, .775}, {-.36, .805}, {-.22, .825}, {-.11, .79}, {0, .80}, {.22, .83}, {.6, .87}, {.95, .88}}},
		{leanX, []key{{-1.15, 4}, {-.95, 16}, {-.78, 27}, {-.56, 26}, {-.36, 8}, {-.11, -5}, {0, -3}, {.22, 10}, {.5, 12}, {.95, 6}}},
		{leanY, []key{{-1.15, 0}, {-.36, 2}, {-.11, -3}, {0, -8}, {.22, -3}, {.95, 0}}},
		{heading, []key{{-1.15, 0}, {-.78, -4}, {-.56, -14}, {-.36, -48}, {-.13, -70}, {-.06, -62}, {0, -40}, {.16, -14}, {.4, -4}, {.95, 0}}},
		{twist, []key{{-1.15, 0}, {-.78, 3}, {-.56, -2}, {-.36, -6}, {-.11, -8}, {0, -14}, {.16, 4}, {.3, 6}, {.95, 0}}},
		{gaze, []key{{-1.15, 0}, {-.11, -6}, {.95, 0}}},
		{nod, []key{{-1.15, 4}, {-.78, 8}, {.95, 4}}},

		{l(footX), []key{{-1.15, -.34}, {-.56, -.34}, {-.45, -.06}, {-.33, .56}, {-.21, 1.20}, {-.11, 1.50}, {.95, 1.50}}},
		{l(footY), []key{{-1.15, .11}, {-.56, .11}, {-.33, .08}, {-.11, .04}, {.95, .04}}},
		{l(footZ), []key{{-1.15, 0}, {-.56, 0}, {-.45, .17}, {-.33, .27}, {-.21, .15}, {-.11, 0}, {.95, 0}}},
		{l(footYaw), []key{{-1.15, -4}, {-.56, -8}, {-.33, -20}, {-.11, -36}, {.95, -32}}},
		{l(footPitch), []key{{-1.15, 12}, {-.78, 4}, {-.62, 22}, {-.5, 40}, {-.33, 14}, {-.2, -10}, {-.13, -8}, {-.08, 0}, {.95, 0}}},

		{r(footX), []key{{-1.15, -.05}, {-.42, -.05}, {-.30, .13}, {-.11, .68}, {0, .89}, {.22, 1.14}, {.5, 1.30}, {.95, 1.30}}},
		{r(footY), []key{{-1.15, -.10}, {-.42, -.10}, {-.11, -.13}, {.1, -.13}, {.5, -.26}, {.95, -.26}}},
		{r(footZ), []key{{-1.15, 0}, {.22, 0}, {.36, .05}, {.5, 0}, {.95, 0}}},
		{r(footYaw), []key{{-1.15, -8}, {-.56, -14}, {-.36, -45}, {-.11, -62}, {0, -50}, {.22, -30}, {.5, -10}, {.95, -6}}},
		{r(footPitch), []key{{-1.15, 0}, {-.7, 3}, {-.56, 14}, {-.45, 40}, {-.34, 64}, {-.11, 58}, {0, 56}, {.22, 48}, {.45, 8}, {.55, 0}, {.95, 0}}},

		{arm(left, armSwing), []key{{-.78, 12}, {-.56, 26}, {-.38, 82}, {-.28, 102}, {-.2, 102}, {-.11, 82}, {0, 32}, {.12, 14}, {.35, 26}, {.95, 40}}},
		{arm(left, armYaw), []key{{-.78, -10}, {-.38, -6}, {-.11, 4}, {0, 14}, {.35, -10}, {.95, -16}}},
		{arm(left, armFlex), []key{{-.78, 24}, {-.56, 22}, {-.28, 8}, {-.11, 22}, {0, 46}, {.12, 62}, {.35, 78}, {.95, 74}}},
	}
}

// elbow is the pitching arm's flex by arm time, in degrees: nearly straight at
// the top, elbow ahead of the hand on the way down, folding after release.
func elbow(stiff bool) []key {
	keys := []key{{-.5, 10}, {-.25, 16}, {-.128, 6}, {-.085, -18}, {-.05, -34}, {-.02, -24}, {0, -10}}
	if stiff {
		return append(keys, key{.1, 8}, key{.2, 14})
	}
	return append(keys, key{.1, 44}, key{.2, 108}, key{.3, 112})
}

// brake returns how long the arm takes to come to rest, in nominal seconds.
func (s Style) brake() float64 {
	if s.Stiff {
		return 0.07
	}
	return 0.20
}

// deliver writes one delivery into the script. turn is how many circles the
// pitching arm has made before.
func (s *script) deliver(release float64, t Timing, style Style, turn int) (*clock, error) {
	c, err := t.clock(release)
	if err != nil {
		return nil, err
	}
	for _, sk := range legwork() {
		for _, k := range sk.keys {
			s.set(sk.channel, c.bodyAt(k.at), style.shape(sk.channel, k))
		}
	}
	for _, side := range []side{left, right} {
		s.hand(c.bodyAt(nominalLoad), side, 0, together)
		s.hand(c.bodyAt(-.95), side, 0, Vec{.22, .09, -.46})
	}
	base := float64(turn) * 360
	r := func(c channel) channel { return arm(right, c) }
	s.set(r(armSwing), c.bodyAt(nominalBack), (base+4)*degree)
	s.set(r(armFlex), c.bodyAt(nominalBack), 20*degree)
	s.set(r(armYaw), c.bodyAt(nominalBack), -4*degree)
	// Actor.at follows Timing.swing between these two keys.
	brake := style.brake() * t.Finish
	s.set(r(armSwing), c.start+t.ArmStart, base*degree+circleStart)
	rest := base*degree + circleRelease + t.overshoot(brake)
	s.set(r(armSwing), c.start+brake, rest)
	s.set(r(armYaw), c.armAt(nominalArm), -5*degree)
	s.set(r(armYaw), c.armAt(-.05), -3*degree)
	s.set(r(armYaw), c.armAt(.2), 14*degree)
	for _, k := range elbow(style.Stiff) {
		s.set(r(armFlex), c.armAt(k.at), k.value*degree)
	}
	s.turns[right] = turn + 1
	if style.Stiff {
		s.set(r(armSwing), c.armAt(.32), rest)
	}
	s.hand(c.armAt(.62), right, 0, Vec{.26, .03, -.22})
	s.hand(c.armAt(nominalEnd), right, 0, Vec{.24, .02, -.34})
	return c, nil
}

// shape applies the style to one key of the legwork.
func (s Style) shape(c channel, k key) float64 {
	v := k.value
	switch c {
	case pelvisX, foot(left, footX), foot(right, footX):
		if v > 0.1 {
			v *= s.Stride
		}
		return v + s.Place.X
	case pelvisY, foot(left, footY), foot(right, footY):
		return v + s.Place.Y
	case pelvisZ, foot(left, footZ), foot(right, footZ):
		return v
	case leanX:
		if k.at > nominalLoad && k.at < 0.4 {
			v += s.Lean / degree
		}
	case heading, twist:
		v *= s.Open
	}
	return v * degree
}
