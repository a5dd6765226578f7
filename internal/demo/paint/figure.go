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

// limb adds a limb; near moves it towards the camera in the order of drawing.
func (f *figure) limb(a, b motion.Vec, ra, rb float64, c Color, near float64) {
	if s, depth, ok := f.camera.limb(a, b, ra, rb); ok {
		f.pieces = append(f.pieces, newCapsulePiece(s, c, depth-near))
	}
}

// bone is one capsule of a blob.
type bone struct {
	a, b   motion.Vec
	ra, rb float64
}

// blob adds limbs that flow into each other.
func (f *figure) blob(c Color, blend, near float64, bones ...bone) {
	var b blob
	var sum float64
	for _, n := range bones {
		s, depth, ok := f.camera.limb(n.a, n.b, n.ra, n.rb)
		if !ok {
			return
		}
		b.parts = append(b.parts, s)
		sum += depth
	}
	_, _, scale := f.camera.project(bones[0].a)
	b.blend, b.core = blend*scale, .10*scale
	f.pieces = append(f.pieces, newBlobPiece(b, c, sum/float64(len(bones))-near))
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
	f.blob(d.Shorts, .06, -.01,
		bone{j.Hip[0].Add(hips.Mul(-.06)), j.Hip[1].Add(hips.Mul(.06)), .112, .112},
		bone{j.Pelvis.Add(up.Mul(-.02)), waist, .118, .098})
	f.blob(d.Shirt, .07, 0,
		bone{waist.Add(up.Mul(-.08)), j.Chest.Add(up.Mul(-.12)), .112, .118},
		bone{waist.Add(side.Mul(.35)), j.Chest.Add(l.Mul(.72)).Add(up.Mul(-.05)), .092, .072},
		bone{waist.Sub(side.Mul(.35)), j.Chest.Add(r.Mul(.72)).Add(up.Mul(-.05)), .092, .072},
		bone{j.Chest.Add(l.Mul(.93)), j.Chest.Add(r.Mul(.93)), .058, .058})
	if d.Mask { // chest guard
		front := j.Front.Mul(.075)
		f.blob(d.Trim, .05, .03, bone{waist.Add(front), j.Chest.Add(up.Mul(-.1)).Add(front), .105, .115})
	}
	f.limb(j.Chest.Add(up.Mul(.02)), j.Head.Add(j.Crown.Mul(-.07)), .052, .047, d.Skin.lit(.94), -.02)
}

func (f *figure) head() {
	j, d := f.body, f.dress
	at := func(forward, up float64) motion.Vec { return j.Head.Add(j.Face.Mul(forward)).Add(j.Crown.Mul(up)) }
	f.blob(d.Skin, .05, .005, bone{at(.005, -.02), at(-.005, .035), .082, .090}, bone{at(.025, -.075), at(.045, -.06), .045, .040})
	f.limb(at(.098, -.012), at(.088, .012), .014, .010, d.Skin, .01) // nose
	f.blob(d.Hair, .04, 0, bone{at(-.045, .01), at(-.03, -.045), .082, .070})
	cap := d.Cap
	f.blob(cap, .04, .02, bone{at(-.018, .055), at(.012, .052), .091, .088})
	if d.Mask {
		f.limb(at(.08, .03), at(.075, -.07), .055, .05, d.Trim.lit(.5), .03)
		f.limb(at(.06, .05), at(-.02, -.06), .075, .06, cap, -.01)
	} else {
		f.limb(at(.085, .043), at(.165, .028), .050, .036, cap.lit(.85), .015)
	}
	if d.Ponytail {
		root := at(-.105, .035)
		drag := f.tail.Sub(j.Head).Mul(2.2)
		hang := motion.Vec{Z: -.26}.Add(drag)
		if hang.Len() > .27 {
			hang = hang.Unit().Mul(.27)
		}
		mid := root.Add(hang.Mul(.45)).Add(j.Face.Mul(-.045))
		f.limb(root, mid, .026, .040, d.Hair, 0)
		f.limb(mid, root.Add(hang), .040, .014, d.Hair.lit(.92), -.005)
		f.limb(root, root.Add(j.Face.Mul(-.01)), .024, .024, d.Trim, .005)
	}
}

func (f *figure) leg(s int) {
	j, d := f.body, f.dress
	hip, knee, ankle := j.Hip[s], j.Knee[s], j.Ankle[s]
	f.limb(hip, knee, .082, .058, d.Skin, 0)
	f.limb(hip, hip.Lerp(knee, .55), .103, .088, d.Shorts, .012)
	f.limb(knee, ankle, .054, .040, d.Skin, .004)
	calf := knee.Lerp(ankle, .3).Add(knee.Sub(hip).Unit().Mul(-.012))
	f.limb(calf, ankle, .056, .041, d.Socks, .010)
	if d.Mask { // shin guard
		f.limb(knee, knee.Lerp(ankle, .9), .068, .05, d.Trim, .03)
	} else {
		f.limb(knee.Lerp(ankle, .24), knee.Lerp(ankle, .30), .056, .057, d.Trim, .014)
	}
	f.blob(d.Shoes, .03, .005, bone{j.Heel[s], j.Toe[s], .042, .036}, bone{ankle.Lerp(j.Heel[s], .3), ankle.Lerp(j.Toe[s], .25), .046, .040})
}

func (f *figure) arm(s int) {
	j, d := f.body, f.dress
	shoulder, elbow, wrist, grip := j.Shoulder[s], j.Elbow[s], j.Wrist[s], j.Grip[s]
	f.limb(shoulder, elbow, .052, .041, d.Skin, 0)
	f.limb(elbow, wrist, .042, .029, d.Skin, .003)
	f.limb(shoulder, shoulder.Lerp(elbow, .52), .066, .060, d.Shirt, .014)
	f.limb(shoulder.Lerp(elbow, .47), shoulder.Lerp(elbow, .53), .060, .061, d.Trim, .016)
	hand := grip.Sub(wrist)
	if s == motion.Glove && d.Gloved {
		f.blob(d.Glove, .04, .02,
			bone{wrist.Add(hand.Mul(.5)), grip.Add(hand.Mul(.75)), .062, .092},
			bone{wrist.Add(hand.Mul(.7)).Add(motion.Vec{Z: .05}), grip.Add(hand.Mul(.9)).Add(motion.Vec{Z: .085}), .035, .034})
		return
	}
	f.limb(wrist, wrist.Add(hand.Mul(.72)), .030, .037, d.Skin, .006)
	f.limb(wrist.Add(hand.Mul(.5)), grip.Add(hand.Mul(.35)), .032, .024, d.Skin.lit(.95), .008)
}
