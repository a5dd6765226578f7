package paint

// Dress is what somebody looks like.
type Dress struct {
	Skin, Hair, Cap, Shirt, Trim, Shorts, Socks, Shoes, Glove Color
	Ponytail                                                  bool
	Mask                                                      bool // a catcher's helmet, mask and guards
	Gloved                                                    bool
}

// Ball is the colour of the ball.
func Ball() Color { return RGB(226, 240, 70) }

// Pitcher, Catcher, Neighbour and Stroller dress people so that they can be told
// apart.
func Pitcher() Dress {
	return Dress{
		Skin: RGB(222, 172, 138), Hair: RGB(84, 52, 30), Cap: RGB(30, 52, 96), Shirt: RGB(38, 72, 138), Trim: RGB(240, 240, 236),
		Shorts: RGB(44, 46, 54), Socks: RGB(34, 60, 118), Shoes: RGB(232, 232, 230), Glove: RGB(140, 82, 40),
		Ponytail: true, Gloved: true,
	}
}

// Catcher returns the dress of a catcher.
func Catcher() Dress {
	return Dress{
		Skin: RGB(202, 148, 112), Hair: RGB(40, 30, 26), Cap: RGB(44, 46, 52), Shirt: RGB(66, 70, 80), Trim: RGB(150, 40, 40),
		Shorts: RGB(186, 188, 190), Socks: RGB(60, 64, 74), Shoes: RGB(40, 40, 42), Glove: RGB(112, 62, 30),
		Mask: true, Gloved: true,
	}
}

// Neighbour returns the dress of a second pitcher.
func Neighbour() Dress {
	d := Pitcher()
	d.Shirt, d.Cap, d.Socks, d.Shorts = RGB(150, 44, 50), RGB(120, 34, 40), RGB(228, 228, 226), RGB(206, 206, 204)
	d.Hair = RGB(30, 24, 22)
	return d
}

// Stroller returns the dress of the n-th passer-by.
func Stroller(n int) Dress {
	shirts := []Color{RGB(196, 182, 92), RGB(96, 130, 92), RGB(170, 96, 130), RGB(90, 92, 100)}
	return Dress{
		Skin: RGB(206, 158, 126), Hair: RGB(60, 44, 34), Cap: RGB(60, 44, 34), Shirt: shirts[n%len(shirts)], Trim: shirts[n%len(shirts)],
		Shorts: RGB(70, 76, 98), Socks: RGB(206, 158, 126), Shoes: RGB(70, 60, 54), Glove: RGB(206, 158, 126),
	}
}
