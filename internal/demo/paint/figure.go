package paint

import (
	"tenoff/internal/demo/motion"
)

// figure is somebody at one instant, ready to be cut into pieces.
type figure struct {
	camera Camera
	dress  Dress
	body   motion.Joints
	tail   motion.Vec // where the head was a moment ago: a ponytail trails
	pieces []piece
}

// layer orders what is drawn over what: the depth of a limb's middle. All that
// belongs to one limb shares its layer, so that a sleeve stays over its arm.
func (f *figure) layer(a, b motion.Vec) float64 {
	_, depth, _ := f.camera.project(a.Lerp(b, .5))
	return depth
}

// limb adds a limb to a layer; what is added later lies over what came before.
func (f *figure) limb(layer float64, a, b motion.Vec, ra, rb float64, c Color) {
	if s, _, ok := f.camera.limb(a, b, ra, rb); ok {
		f.pieces = append(f.pieces, newCapsulePiece(s, c, layer))
	}
}

// blob adds limbs that flow into each other.
func (f *figure) blob(layer float64, c Color, blend float64, bones ...bone) {
	var b blob
	for _, n := range bones {
		s, _, ok := f.camera.limb(n.a, n.b, n.ra, n.rb)
		if !ok {
			return
		}
		b.parts = append(b.parts, s)
	}
	_, _, scale := f.camera.project(bones[0].a)
	b.blend, b.core = blend*scale, .10*scale
	f.pieces = append(f.pieces, newBlobPiece(b, c, layer))
}

// cut returns the pieces of the whole figure.
func (f *figure) cut() []piece {
	f.trunk()
	f.head()
	for s := range 2 {
		f.leg(s)
		f.arm(s)
	}
	return f.pieces
}

func (f *figure) trunk() {
	j, d := f.body, f.dress
	up := j.Chest.Sub(j.Pelvis)
	waist := j.Pelvis.Add(up.Mul(.26))
	hips := j.Hip[0].Sub(j.Hip[1])
	side := hips.Mul(.5)
	l, r := j.Shoulder[0].Sub(j.Chest), j.Shoulder[1].Sub(j.Chest)
	layer := f.layer(j.Pelvis, j.Chest)
	f.limb(layer, j.Chest.Add(up.Mul(.08)), j.Head.Add(j.Crown.Mul(-.07)), .050, .047, d.Skin.lit(.92))
	f.blob(layer, d.Shorts, .06,
		bone{j.Hip[0].Add(hips.Mul(-.06)), j.Hip[1].Add(hips.Mul(.06)), .112, .112},
		bone{j.Pelvis.Add(up.Mul(-.02)), waist, .118, .098})
	f.blob(layer, d.Shirt, .07,
		bone{waist.Add(up.Mul(-.08)), j.Chest.Add(up.Mul(-.12)), .112, .118},
		bone{waist.Add(side.Mul(.35)), j.Chest.Add(l.Mul(.72)).Add(up.Mul(-.05)), .092, .072},
		bone{waist.Sub(side.Mul(.35)), j.Chest.Add(r.Mul(.72)).Add(up.Mul(-.05)), .092, .072},
		bone{j.Chest.Add(l.Mul(.93)), j.Chest.Add(r.Mul(.93)), .060, .060})
	if d.Mask { // chest guard
		front := j.Front.Mul(.075)
		guard := f.layer(waist.Add(front), j.Chest.Add(front))
		f.blob(guard, d.Trim, .05, bone{waist.Add(front), j.Chest.Add(up.Mul(-.1)).Add(front), .105, .115})
	}
}

func (f *figure) head() {
	j, d := f.body, f.dress
	at := func(forward, up float64) motion.Vec { return j.Head.Add(j.Face.Mul(forward)).Add(j.Crown.Mul(up)) }
	face, back := f.layer(at(.03, 0), at(.03, 0)), f.layer(at(-.04, 0), at(-.04, 0))
	f.blob(back, d.Hair, .04, bone{at(-.045, .015), at(-.035, -.05), .080, .066})
	f.blob(face, d.Skin, .05, bone{at(.005, -.02), at(-.005, .035), .082, .090}, bone{at(.025, -.075), at(.045, -.06), .045, .040})
	f.limb(face, at(.098, -.012), at(.088, .012), .014, .010, d.Skin) // nose
	brim := f.layer(at(.12, 0), at(.12, 0))
	top := min(face, back) - .002
	if d.Mask {
		f.limb(top, at(.02, .05), at(-.03, -.06), .098, .075, d.Cap)
		f.limb(brim, at(.08, .03), at(.075, -.07), .058, .05, d.Trim.lit(.5))
	} else {
		f.limb(brim, at(.085, .043), at(.165, .028), .046, .034, d.Cap.lit(.85))
		f.blob(top, d.Cap, .04, bone{at(-.018, .055), at(.012, .052), .091, .088})
	}
	if d.Ponytail {
		root := at(-.105, .035)
		hang := motion.Vec{Z: -.26}.Add(f.tail.Sub(j.Head).Mul(2.2))
		if hang.Len() > .27 {
			hang = hang.Unit().Mul(.27)
		}
		mid := root.Add(hang.Mul(.45)).Add(j.Face.Mul(-.045))
		tail := f.layer(root, mid)
		f.limb(tail, mid, root.Add(hang), .040, .012, d.Hair.lit(.92))
		f.limb(tail, root, mid, .028, .040, d.Hair)
		f.limb(tail, root, root.Add(j.Face.Mul(-.01)), .026, .026, d.Trim)
	}
}

func (f *figure) leg(s int) {
	j, d := f.body, f.dress
	hip, knee, ankle := j.Hip[s], j.Knee[s], j.Ankle[s]
	up, low, shoe := f.layer(hip, knee), f.layer(knee, ankle), f.layer(j.Heel[s], j.Toe[s])
	f.limb(up, hip, knee, .082, .058, d.Skin)
	f.limb(up, hip, hip.Lerp(knee, .55), .106, .092, d.Shorts)
	f.limb(max(up, low)+.001, knee, ankle, .054, .040, d.Skin) // the thigh hides the knee from behind
	f.limb(low, knee.Lerp(ankle, .28), ankle, .058, .042, d.Socks)
	if d.Mask { // shin guard
		f.limb(low, knee, knee.Lerp(ankle, .9), .068, .05, d.Trim)
	}
	f.blob(shoe, d.Shoes, .03, bone{j.Heel[s], j.Toe[s], .042, .036}, bone{ankle.Lerp(j.Heel[s], .3), ankle.Lerp(j.Toe[s], .25), .046, .040})
}

func (f *figure) arm(s int) {
	j, d := f.body, f.dress
	shoulder, elbow, wrist, grip := j.Shoulder[s], j.Elbow[s], j.Wrist[s], j.Grip[s]
	up, low, hand := f.layer(shoulder, elbow), f.layer(elbow, wrist), f.layer(wrist, grip)
	f.limb(up, shoulder, elbow, .052, .041, d.Skin)
	f.limb(low, elbow, wrist, .042, .029, d.Skin)
	f.limb(min(up, low)-.001, shoulder, shoulder.Lerp(elbow, .52), .066, .060, d.Shirt)
	along := grip.Sub(wrist)
	if s == motion.Glove && d.Gloved {
		f.blob(hand, d.Glove, .04,
			bone{wrist.Add(along.Mul(.5)), grip.Add(along.Mul(.75)), .062, .092},
			bone{wrist.Add(along.Mul(.7)).Add(motion.Vec{Z: .05}), grip.Add(along.Mul(.9)).Add(motion.Vec{Z: .085}), .035, .034})
		return
	}
	f.limb(hand, wrist, wrist.Add(along.Mul(.72)), .030, .037, d.Skin)
	f.limb(hand-.02, wrist.Add(along.Mul(.5)), grip.Add(along.Mul(.35)), .032, .024, d.Skin.lit(.95))
}

// bone is one capsule of a blob.
type bone struct {
	a, b   motion.Vec
	ra, rb float64
}
