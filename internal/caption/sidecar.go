package caption

import (
	"bytes"
	"io"
	"strings"

	"github.com/asticode/go-astisub"
)

// WriteVTT writes cues as WebVTT; a pair's halves stand left and right.
func WriteVTT(w io.Writer, cues []Cue) error {
	return sidecar(cues, vttText).WriteToWebVTT(w)
}

// WriteSRT writes cues as SubRip text. Players disagree about entities in it, so
// that typed text has none: what would be a tag is broken by a word joiner.
func WriteSRT(w io.Writer, cues []Cue) error {
	var b bytes.Buffer
	if err := sidecar(cues, srtText).WriteToSRT(&b); err != nil {
		return err
	}
	_, err := w.Write(bytes.ReplaceAll(bytes.ReplaceAll(b.Bytes(), []byte("&lt;"), []byte("<")), []byte("&amp;"), []byte("&")))
	return err
}

var (
	vttText = strings.NewReplacer("-->", "--\u2060>")
	srtText = strings.NewReplacer("-->", "--\u2060>", "<", "<\u2060", "{", "{\u2060")
)

func sidecar(cues []Cue, literal *strings.Replacer) *astisub.Subtitles {
	subs := astisub.NewSubtitles()
	for _, c := range cues {
		if c.Place == Clock {
			continue
		}
		item := &astisub.Item{StartAt: c.Start, EndAt: c.End, InlineStyle: c.Place.vtt()}
		for _, row := range c.Rows {
			var text strings.Builder
			for i, s := range row {
				if i > 0 {
					text.WriteString(s.Join)
				}
				text.WriteString(s.Text)
			}
			item.Lines = append(item.Lines, astisub.Line{Items: []astisub.LineItem{{Text: literal.Replace(text.String())}}})
		}
		subs.Items = append(subs.Items, item)
	}
	return subs
}

// vtt places a half's text under its picture.
func (p Place) vtt() *astisub.StyleAttributes {
	switch p {
	case Left:
		return &astisub.StyleAttributes{WebVTTPosition: "25%", WebVTTSize: "50%"}
	case Right:
		return &astisub.StyleAttributes{WebVTTPosition: "75%", WebVTTSize: "50%"}
	}
	return nil
}
