package posture

import (
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

// delivery is a rendered one: what was measured, as marks by eye have it, and what is true.
type delivery struct {
	from, what string
	got, want  map[Kind]Measure
	foot       float64 // frames from plant to where the foot is found to land
	ball       float64 // frames from release to where the joints show it, NaN where they don't
}

// rendered reads the deliveries of a file of testdata. Instants are marked to a frame
// by an eye that is off by 8 ms (standard deviation).
func rendered(t *testing.T, name string, dice *rand.Rand) []delivery {
	t.Helper()
	file, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	plain, err := gzip.NewReader(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []delivery
	for list := json.NewDecoder(plain); ; {
		var d struct {
			Name, From, What string
			FPS              int64
			Frames           int
			Plant, Release   float64
			Found, True      []byte
		}
		if err := list.Decode(&d); errors.Is(err, io.EOF) {
			return out
		} else if err != nil {
			t.Fatal(err)
		}
		body := func(packed []byte) *Body {
			track, err := Unpack(packed, clockOf(d.Frames, d.FPS))
			if err != nil {
				t.Fatal(err)
			}
			b, err := Of(track, float64(d.FPS))
			if err != nil {
				t.Fatalf("%s: %v", d.Name, err)
			}
			return b
		}
		rate := float64(d.FPS)
		marked := func(s float64) float64 { return math.Round((s+0.008*dice.NormFloat64())*rate) / rate }
		exact := Instants{Plant: d.Plant, Release: d.Release, U: 0.001}
		by := Instants{Plant: marked(d.Plant), Release: marked(d.Release), U: math.Hypot(0.008, 1/rate/math.Sqrt(12))}
		if half, err := Unpack(d.Found, clockOf(d.Frames, d.FPS)); err != nil {
			t.Fatal(err)
		} else if b, err := Of(everySecond(half), rate/2); err != nil {
			t.Fatal(err)
		} else if m, ok := b.Measures(by, true)[HipsOpen]; ok {
			t.Errorf("%s: at %.0f frames a second, where hips are a blur, they open at %.0f ms", d.Name, rate/2, m.Value)
		}
		found, true_ := body(d.Found), body(d.True)
		contact, ok := found.FootContact(d.Release, true)
		if !ok {
			contact = math.Inf(1)
		}
		ball := math.NaN()
		if leaves := found.Sights(d.Release, true).Release; leaves.Seen() {
			ball = (leaves.Seconds - d.Release) * rate
		}
		out = append(out, delivery{
			from: d.From, what: d.What, foot: (contact - d.Plant) * rate, ball: ball,
			got: found.Measures(by, true), want: true_.Measures(exact, true),
		})
	}
}

func everySecond(t Track) Track {
	var out Track
	for i := 0; i < len(t); i += 2 {
		out = append(out, t[i])
	}
	return out
}

func pick(all []delivery, from, what string) (got, want []map[Kind]Measure) {
	for _, d := range all {
		if d.from == from && d.what == what {
			got, want = append(got, d.got), append(want, d.want)
		}
	}
	return got, want
}

// Of rendered deliveries each measure lies within two standard uncertainties of what is
// true, but for what the finder always sees too far to one side, in nine of ten at least (95 %
// are meant; of 30, nine in ten is what chance lets pass). The foot lands within a frame of
// where it does.
func TestMeasuresOfRenderedDeliveries(t *testing.T) {
	all := rendered(t, "rendered.json.gz", rand.New(rand.NewPCG(4, 4)))
	for _, from := range []string{"a-side", "b-diag"} {
		for _, k := range Kinds() {
			var off, u []float64
			bias := 0.0
			for _, d := range all {
				if got, ok := d.got[k]; ok && d.from == from {
					off, u = append(off, got.Value-d.want[k].Value), append(u, got.U)
					bias += got.Value - d.want[k].Value
				}
			}
			if from == "b-diag" && k == HipsOpen {
				if len(off) > 0 {
					t.Errorf("from the diagonal, where hips never look narrow, %d of them are said to open", len(off))
				}
				continue
			}
			if k == ArmSlot { // the wrist is often lost at release, and then not measured
				continue
			}
			bias /= float64(len(off))
			within := 0
			for i := range off {
				if math.Abs(off[i]-bias) <= 2*u[i] {
					within++
				}
			}
			t.Logf("%s, %s: %d, off by %.2f all alike, %d within", from, k, len(off), bias, within)
			if len(off) < 10 || 10*within < 9*len(off) {
				t.Errorf("%s: %s of %d deliveries is within its uncertainty in %d", from, k, len(off), within)
			}
		}
	}
	for _, d := range all {
		if math.Abs(d.foot) > 1 {
			t.Errorf("%s, %s: the foot lands %.1f frames off", d.from, d.what, d.foot)
		}
	}
}

// A bullpen in which something was planted says it, the right way round, and its ranges of
// 95 % hold what is there, of every measure; one in which nothing was says nothing in 95 of
// 100 ways to part it. That b-side says that the hips opened is no check from outside: where
// hips count as open was set on those very deliveries, the only thing that was.
func TestRenderedBullpens(t *testing.T) {
	dice := rand.New(rand.NewPCG(4, 5))
	all := rendered(t, "rendered.json.gz", dice)
	for _, c := range []struct {
		from, what string
		said       []Kind
	}{
		{"a-side", "lean6", []Kind{LeanPlant, LeanRelease}},
		{"a-side", "stride", []Kind{Stride, HipSpeed}},
		{"a-side", "hips", []Kind{HipsOpen}},
		{"b-side", "hips", []Kind{HipsOpen}},
		{"b-diag", "stride", []Kind{Stride}},
	} {
		fast, fastTrue := pick(all, c.from, "base")
		off, offTrue := pick(all, c.from, c.what)
		said := map[Kind]Difference{}
		for _, d := range Compare(fast, off) {
			if d.Kind == ArmSlot { // of too few
				continue
			}
			planted := groupOf(offTrue, d.Kind).mean - groupOf(fastTrue, d.Kind).mean
			lo, hi := d.By.Interval(0.95)
			t.Logf("%s, %s: %s by %.2f (%.2f to %.2f), planted %.2f, said %v", c.from, c.what, d.Kind, d.By.Value, lo, hi, planted, d.Clear)
			if planted < lo || planted > hi {
				t.Errorf("%s, %s: %s differs by %.2f to %.2f, planted was %.2f", c.from, c.what, d.Kind, lo, hi, planted)
			}
			if d.Clear && d.By.Value*planted < 0 {
				t.Errorf("%s, %s: %s is said the wrong way round", c.from, c.what, d.Kind)
			}
			if d.Clear {
				said[d.Kind] = d
			}
		}
		for _, k := range c.said {
			if _, ok := said[k]; !ok {
				t.Errorf("%s, %s: nothing is said of %s", c.from, c.what, k)
			}
		}
	}
	fast, _ := pick(all, "a-side", "base")
	const ways = 200
	wrong := 0
	for range ways {
		dice.Shuffle(len(fast), func(i, j int) { fast[i], fast[j] = fast[j], fast[i] })
		for _, d := range Compare(fast[:len(fast)/2], fast[len(fast)/2:]) {
			if d.Clear {
				wrong++
				break
			}
		}
	}
	t.Logf("nothing planted: said in %d of %d", wrong, ways)
	if wrong > ways/20 {
		t.Errorf("where nothing was planted, something is said in %d of %d", wrong, ways)
	}
}

// heldOut are bodies and cameras that nothing was set on (testdata/README.md).
var heldOut = []string{"a-diag", "b-side", "c-high"}

// Of deliveries that nothing was set on, where six fastballs are compared with five others: of nine
// in ten differences at least the range of 95 % holds what is there, measure by measure, and
// what is said is said the right way round; of what is large enough to be seen, four in five
// are, less luck; where nothing was planted something is said of one in twenty at most. The
// foot lands and the ball leaves within a frame of where they do, on nine in ten.
func TestHeldOutBullpens(t *testing.T) {
	dice := rand.New(rand.NewPCG(4, 6))
	all := rendered(t, "held-out.json.gz", dice)
	const draws = 20
	some := func(of []map[Kind]Measure, which []int) (out []map[Kind]Measure) {
		for _, i := range which {
			out = append(out, of[i])
		}
		return out
	}
	by := map[Kind]*tally{}
	for _, k := range Kinds() {
		by[k] = &tally{}
	}
	for _, from := range heldOut {
		fast, fastTrue := pick(all, from, "base")
		for _, what := range []string{"lean3", "lean6", "lean10", "hips", "stride", "glove"} {
			off, offTrue := pick(all, from, what)
			for range draws {
				six := dice.Perm(len(fast))[:6]
				differ := Compare(some(fast, six), off)
				for _, d := range differ {
					planted := groupOf(offTrue, d.Kind).mean - groupOf(some(fastTrue, six), d.Kind).mean
					by[d.Kind].count(d, planted, d.Visible(len(differ)))
				}
			}
		}
		wrongly := 0
		for range 10 * draws {
			order := dice.Perm(len(fast))
			half := len(fast) / 2
			if slices.ContainsFunc(Compare(some(fast, order[:half]), some(fast, order[half:])), func(d Difference) bool { return d.Clear }) {
				wrongly++
			}
		}
		t.Logf("%s: nothing planted, said in %d of %d ways to part", from, wrongly, 10*draws)
		if 20*wrongly > 10*draws {
			t.Errorf("%s: where nothing was planted, something is said in %d of %d", from, wrongly, 10*draws)
		}
	}
	found, large := 0, 0
	for _, k := range Kinds() {
		c := by[k]
		t.Logf("%s: %+v", k, *c)
		least := 200
		if k == ArmSlot { // the wrist is lost too often at release
			least = 0
		}
		if c.compared < least || 10*c.within < 9*c.compared || c.wrong > 0 {
			t.Errorf("%s: of %d differences the range of %d holds what is there, and %d are said the wrong way round", k, c.compared, c.within, c.wrong)
		}
		found, large = found+c.found, large+c.large
	}
	if large == 0 || 4*found < 3*large {
		t.Errorf("of %d differences that are large enough %d are said", large, found)
	}
	feet, balls, seen := 0, 0, 0
	for _, d := range all {
		if math.Abs(d.foot) <= 1 {
			feet++
		}
		if !math.IsNaN(d.ball) {
			seen++
			if math.Abs(d.ball) <= 1 {
				balls++
			}
		}
	}
	t.Logf("of %d deliveries the foot lands within a frame on %d; of %d whose release is seen, the ball leaves within one on %d", len(all), feet, seen, balls)
	if 10*feet < 9*len(all) || 10*balls < 9*seen || 3*seen < 2*len(all) {
		t.Errorf("of %d deliveries the foot lands within a frame on %d; of %d whose release is seen, the ball leaves within one on %d", len(all), feet, seen, balls)
	}
}

// tally counts differences: compared, how many ranges of 95 % hold what is there, said, the wrong
// way round, large enough to be seen, and found of those.
type tally struct{ compared, within, said, wrong, large, found int }

func (c *tally) count(d Difference, planted, visible float64) {
	lo, hi := d.By.Interval(0.95)
	c.compared++
	if planted >= lo && planted <= hi {
		c.within++
	}
	if d.Clear {
		c.said++
		if d.By.Value*planted < 0 {
			c.wrong++
		}
	}
	if math.Abs(planted) >= visible {
		c.large++
		if d.Clear {
			c.found++
		}
	}
}
