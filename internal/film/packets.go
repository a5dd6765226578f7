package film

import (
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"
)

// packet is what ffprobe says of one packet.
type packet struct {
	Stream int    `json:"stream_index"`
	Pts    *int64 `json:"pts"` // nil: not stated
	Dts    *int64 `json:"dts"`
	Flags  string `json:"flags"`
}

// table is the times of a stream's packets.
type table struct {
	ticks  []int64 // of every shown frame, rising, in the stream's time base
	stated bool    // all come from the packets' presentation times
}

// errTooMany says that a stream has more packets than MaxFrames.
var errTooMany = errors.New("film: too many frames")

// errFlood says that a film has more than maxPackets packets in all.
var errFlood = errors.New("film: too many packets")

// add notes one packet. Frames that the file hides (an edit list cuts into them)
// are not part of the table.
func (t *table) add(p packet) error {
	tick := p.Pts
	switch {
	case strings.Contains(p.Flags, "D"): // decoded, not shown
		return nil
	case tick == nil && p.Dts == nil:
		t.stated = false
		return nil
	case tick == nil:
		t.stated = false
		tick = p.Dts
	}
	if len(t.ticks) == MaxFrames {
		return errTooMany
	}
	t.ticks = append(t.ticks, *tick)
	return nil
}

// finish puts the frames in the order of their times.
func (t *table) finish() {
	slices.Sort(t.ticks)
	t.ticks = slices.Compact(t.ticks)
}

// read takes ffprobe's report, of which the packets come first and are many.
func (r *report) read(from io.Reader) error {
	d := json.NewDecoder(from)
	if err := expect(d, json.Delim('{')); err != nil {
		return err
	}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return err
		}
		switch key {
		case "packets":
			err = r.readPackets(d)
		case "streams":
			err = d.Decode(&r.Streams)
		case "format":
			err = d.Decode(&r.Format)
		default:
			var ignored json.RawMessage
			err = d.Decode(&ignored)
		}
		if err != nil {
			return err
		}
	}
	for _, t := range r.tables {
		t.finish()
	}
	return expect(d, json.Delim('}'))
}

func (r *report) readPackets(d *json.Decoder) error {
	if err := expect(d, json.Delim('[')); err != nil {
		return err
	}
	r.tables = map[int]*table{}
	for n := 0; d.More(); n++ {
		if n == maxPackets {
			return errFlood
		}
		var p packet
		if err := d.Decode(&p); err != nil {
			return err
		}
		t := r.tables[p.Stream]
		if t == nil {
			t = &table{stated: true}
			r.tables[p.Stream] = t
		}
		if err := t.add(p); err != nil {
			return err
		}
	}
	return expect(d, json.Delim(']'))
}

func expect(d *json.Decoder, want json.Delim) error {
	got, err := d.Token()
	if err != nil {
		return err
	}
	if got != want {
		return errors.New("film: ffprobe's report has another form")
	}
	return nil
}
