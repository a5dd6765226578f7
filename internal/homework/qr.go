package homework

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"net/url"

	"rsc.io/qr"
)

// QR returns a link as a QR code, as data: URLs of an SVG and of a PNG.
func QR(link string) (svg, png string, err error) {
	code, err := qr.Encode(link, qr.M)
	if err != nil {
		return "", "", fmt.Errorf("QR code: %w", err)
	}
	const quiet = 4 // modules of white around it (ISO/IEC 18004)
	side := code.Size + 2*quiet
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" shape-rendering="crispEdges"><path fill="#fff" d="M0 0h%dv%dH0z"/><path d="`, side, side, side, side)
	for y := range code.Size {
		for x := 0; x < code.Size; x++ {
			from := x
			for x < code.Size && code.Black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&b, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	b.WriteString(`"/></svg>`)
	code.Scale = 8
	return "data:image/svg+xml," + url.PathEscape(b.String()), "data:image/png;base64," + base64.StdEncoding.EncodeToString(code.PNG()), nil
}
