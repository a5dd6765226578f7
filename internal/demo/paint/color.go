package paint

// Color is a colour of limited-range video, BT.709.
type Color struct{ Y, U, V float32 }

// RGB converts red, green and blue in 0..255 (ITU-R BT.709-6, items 3.2 to 3.4).
func RGB(r, g, b float64) Color {
	y := 0.2126*r + 0.7152*g + 0.0722*b
	return Color{
		Y: float32(16 + y*219/255),
		U: float32(128 + (b-y)/1.8556*224/255),
		V: float32(128 + (r-y)/1.5748*224/255),
	}
}

// mix returns the colour a share k of the way from c to d.
func (c Color) mix(d Color, k float32) Color {
	return Color{c.Y + (d.Y-c.Y)*k, c.U + (d.U-c.U)*k, c.V + (d.V-c.V)*k}
}

// lit scales the brightness above black.
func (c Color) lit(k float32) Color { return Color{16 + (c.Y-16)*k, c.U, c.V} }

func clip(v float32) byte { return byte(min(max(v+.5, 16), 235)) }
