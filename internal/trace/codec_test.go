package trace

import (
	"errors"
	"math/rand/v2"
	"reflect"
	"testing"
)

func someMotion() *Motion {
	s := newScene(40, 30, 2, 5)
	m := NewMeter(40, 30, 1)
	for i := range 12 {
		m.Add(s.draw(Shift{X: 0.3 * float32(i)}, disc{5 + 2*float64(i), 15, 4}), float64(i)/30)
	}
	return m.Motion()
}

func someSound() *Sound {
	random := rand.New(rand.NewPCG(3, 3))
	pcm := hiss(3, 8000, 50, random)
	popSound(pcm, 8000, 1.5, 4000, random)
	ear := NewEar(8000, 1)
	ear.Add(pcm)
	return ear.Sound()
}

func TestStoredTracesComeBack(t *testing.T) {
	for _, m := range []*Motion{someMotion(), NewMeter(160, 90, 8).Motion()} {
		b, err := m.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		var got Motion
		if err := got.UnmarshalBinary(b); err != nil {
			t.Fatal(err)
		}
		if got.Len() != m.Len() || got.Cols != m.Cols || got.Rows != m.Rows || got.Slow != m.Slow || got.End != m.End {
			t.Fatalf("got %d samples, %+v", got.Len(), got)
		}
		for i := range m.Len() {
			if !reflect.DeepEqual(got.Cells(i, nil), m.Cells(i, nil)) || got.Times[i] != m.Times[i] ||
				got.Shifts[i] != m.Shifts[i] || got.Doubled[i] != m.Doubled[i] {
				t.Fatalf("sample %d came back otherwise", i)
			}
		}
	}
	s := someSound()
	b, err := s.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	var got Sound
	if err := got.UnmarshalBinary(b); err != nil || !reflect.DeepEqual(&got, s) {
		t.Fatalf("%v: %+v, want %+v", err, got, s)
	}
	if len(s.Onsets) == 0 {
		t.Fatal("no onset to store")
	}
}

func TestStoredTracesOfAnotherVersionOrDamaged(t *testing.T) {
	motion, _ := someMotion().MarshalBinary()
	sound, _ := someSound().MarshalBinary()
	for name, c := range map[string]struct {
		b    []byte
		read func([]byte) error
	}{
		"motion": {motion, new(Motion).UnmarshalBinary},
		"sound":  {sound, new(Sound).UnmarshalBinary},
	} {
		other := append([]byte(nil), c.b...)
		other[4]++
		if err := c.read(other); !errors.Is(err, ErrVersion) {
			t.Errorf("%s of another version: %v", name, err)
		}
		for _, cut := range []int{0, 3, 4, 8, 20, len(c.b) / 2, len(c.b) - 1} {
			if err := c.read(c.b[:cut]); err == nil {
				t.Errorf("%s cut to %d bytes was read", name, cut)
			}
		}
		if err := c.read(append(append([]byte(nil), c.b...), 0)); err == nil {
			t.Errorf("%s with a byte too many was read", name)
		}
	}
}

func FuzzMotion(f *testing.F) {
	good, _ := someMotion().MarshalBinary()
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("TOMo\x02\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, b []byte) {
		var m Motion
		if m.UnmarshalBinary(b) != nil {
			return
		}
		// What was read can be used and written again.
		m.Energy()
		m.Envelope(m.End, 10)
		again, err := m.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		var twice Motion
		if err := twice.UnmarshalBinary(again); err != nil {
			t.Fatal(err)
		}
	})
}

func FuzzSound(f *testing.F) {
	good, _ := someSound().MarshalBinary()
	f.Add(good)
	f.Add(good[:20])
	f.Fuzz(func(t *testing.T, b []byte) {
		var s Sound
		if s.UnmarshalBinary(b) != nil {
			return
		}
		s.Envelope(s.End, 10)
		s.between(0, 1)
		again, err := s.MarshalBinary()
		if err != nil {
			t.Fatal(err)
		}
		var twice Sound
		if err := twice.UnmarshalBinary(again); err != nil || !reflect.DeepEqual(s, twice) {
			t.Fatalf("%v", err)
		}
	})
}
