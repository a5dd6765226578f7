package e2e

import (
	"encoding/csv"
	"fmt"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"tenoff/internal/film/filmtest"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
)

// realFilm is a film that was not generated, and what somebody saw who stepped through it.
type realFilm struct {
	path     string
	releases []int // the first frames without the ball in the hand; none on a film without a throw
}

// realTruth reads truth.csv of the folder that TENOFF_REAL_CLIPS names: a header, then
// file and release frame, a row for each throw; a film without one has a row without a
// frame.
func realTruth(t *testing.T) []realFilm {
	t.Helper()
	dir := os.Getenv("TENOFF_REAL_CLIPS")
	if dir == "" {
		t.Skip("TENOFF_REAL_CLIPS names no folder of films with a table truth.csv of their releases")
	}
	table, err := os.Open(filepath.Join(dir, "truth.csv"))
	if os.IsNotExist(err) {
		t.Skip(err)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	rows, err := csv.NewReader(table).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) == 0 {
		t.Fatal("truth.csv is empty: it begins with a header")
	}
	var films []realFilm
	for i, row := range rows[1:] {
		path := filepath.Join(dir, row[0])
		k := slices.IndexFunc(films, func(f realFilm) bool { return f.path == path })
		if k < 0 {
			k, films = len(films), append(films, realFilm{path: path})
		}
		if row[1] == "" {
			continue
		}
		frame, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatalf("truth.csv, row %d: %v", i+2, err)
		}
		films[k].releases = append(films[k].releases, frame)
	}
	return films
}

const (
	sameThrow = 1.2 // seconds that a proposal may be off and still be of that throw
	wellFound = 2   // frames that one is off at most that is right, by eye, unless more are said
	// slower is how many times slower a clip is shown again: a change-up of a slowed body.
	slower = 1.08
)

// throwIn is where a throw is proposed.
type throwIn struct {
	proposal *wire.Proposal // the nearest one that may be a rep; nil: none is near
	off      int            // frames
}

// rep reports whether somebody surely throws there.
func (c throwIn) rep() bool { return c.proposal != nil && c.proposal.Sure }

// found reports whether the release was found from one that was marked.
func (c throwIn) found() bool { return c.proposal != nil && c.proposal.Within > 0 }

func (c throwIn) String() string {
	switch {
	case c.proposal == nil:
		return "none"
	case c.found():
		return fmt.Sprintf("%+d of %d said", c.off, c.proposal.Within)
	case c.rep():
		return fmt.Sprintf("%+d sure", c.off)
	}
	return fmt.Sprintf("%+d asked", c.off)
}

// right reports whether the throw is proposed where it was by eye, or within as many frames
// of it as is said.
func (c throwIn) right() bool {
	return c.proposal != nil && max(c.off, -c.off) <= max(wellFound, c.proposal.Within)
}

// throwAt finds the proposal for a throw at a frame.
func throwAt(all []wire.Proposal, film wire.Film, frame int) (c throwIn) {
	for i, p := range all {
		off := p.Release - frame
		if p.FilmID == film.ID && propose.IsRep(p.Reason) && math.Abs(float64(off)) <= sameThrow*film.Rate &&
			(c.proposal == nil || max(off, -off) < max(c.off, -c.off)) {
			c = throwIn{&all[i], off}
		}
	}
	return c
}

// settled returns a bullpen's sheet when nothing is being done for it any more.
func (p *program) settled(t *testing.T, penID string) (sheet wire.Sheet) {
	t.Helper()
	p.until(t, "/api/bullpens/"+penID, &sheet, func() bool { return len(sheet.Jobs) == 0 })
	return sheet
}

// marked marks a release, and returns the sheet when all was looked at again.
func (p *program) marked(t *testing.T, pen wire.Bullpen, film wire.Film, release int) wire.Sheet {
	t.Helper()
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{FilmID: film.ID, Release: &release}, nil)
	return p.settled(t, pen.ID)
}

// shownAgain makes a film of a clip by a graph of filters, whose frames keep the times that
// it gives them.
func shownAgain(t *testing.T, clip, graph string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "again.mp4")
	if err := filmtest.FFmpeg(t.Context(), "-i", clip, "-filter_complex", "scale=trunc(iw/2)*2:trunc(ih/2)*2,setsar=1,settb=1/90000,"+graph,
		"-an", "-fps_mode", "passthrough", "-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-pix_fmt", "yuv420p", path); err != nil {
		t.Fatal(err)
	}
	return path
}

// Real throws, by eye and as proposed: before any mark; then the first throw of the clip
// again, slower, where it was marked the first time it is shown on that film, or on another
// film; and the clip's other throws. What is surely proposed is where somebody throws, and
// what was found from a mark is where it was by eye, within as many frames as is said. A throw
// that is shown again has the same pixels, only slower: what is found of it bounds from above
// what is found of two real throws. With -v the figures are a table.
//
//	TENOFF_REAL_CLIPS=FOLDER go test ./internal/e2e -run RealThrows -v -timeout 60m
func TestRealThrows(t *testing.T) {
	films := realTruth(t)
	p := serve(t, t.TempDir())
	var before, sameFilm, otherFilm, others []throwIn
	without, sureWithout, askedWithout, slowed, short := 0, 0, 0, 0, 0
	found := func(t *testing.T, c throwIn, how string, all *[]throwIn) {
		t.Helper()
		*all = append(*all, c)
		if c.found() && !c.right() {
			t.Errorf("%s: the release is said to be found to within %d frames and is %+d frames off", how, c.proposal.Within, c.off)
		}
	}
	for _, f := range films {
		name := filepath.Base(f.path)
		t.Run(name, func(t *testing.T) {
			pen, film := p.begin(t, f.path)
			sheet := p.settled(t, pen.ID)
			film = sheet.Films[0]
			throws := map[string]bool{} // by proposal
			for i, release := range f.releases {
				c := throwAt(sheet.Proposals, film, release)
				found(t, c, "before any mark", &before)
				if c.proposal != nil {
					throws[c.proposal.ID] = true
				}
				t.Logf("%s, %.3g frames a second: throw %d by eye at %d, before any mark %v", name, film.Rate, i+1, release, c)
			}
			sure, asked := 0, 0
			for _, c := range sheet.Proposals {
				switch {
				case throws[c.ID] || !propose.IsRep(c.Reason):
				case c.Sure:
					sure++
					t.Errorf("nobody throws at %d, which is surely a rep", c.Release)
				default:
					asked++
				}
			}
			if len(f.releases) == 0 {
				without++
				sureWithout, askedWithout = sureWithout+sure, askedWithout+asked
			}
			slowed += len(sheet.SlowDoubts)
			if film.TooShort {
				short++
			}
			t.Logf("%s: %d frames, sound %v; besides its %d throws %d sure, %d asked about; asked whether it is slowed %d times, too short to tell: %v",
				name, film.Frames, film.HasSound, len(f.releases), sure, asked, len(sheet.SlowDoubts), film.TooShort)
			if len(f.releases) == 0 {
				return
			}
			release, pause := f.releases[0], int(math.Round(1.5*film.Rate))

			twice, both := p.begin(t, shownAgain(t, f.path, fmt.Sprintf("split[a][b];[a]setpts=PTS-STARTPTS,tpad=stop=%d:stop_mode=clone[once];"+
				"[b]setpts=%g*(PTS-STARTPTS)[again];[once][again]concat", pause, slower)))
			again := throwAt(p.marked(t, twice, both, release).Proposals, both, both.Frames-film.Frames+release)
			found(t, again, "again on the same film", &sameFilm)

			other := p.send(t, pen.ID, shownAgain(t, f.path, fmt.Sprintf("setpts=%g*(PTS-STARTPTS)", slower)))
			sheet = p.marked(t, pen, film, release)
			elsewhere := throwAt(sheet.Proposals, other, release)
			found(t, elsewhere, "on another film", &otherFilm)
			t.Logf("%s: with its first throw marked, again on the same film %v, on another film %v", name, again, elsewhere)
			for i, release := range f.releases[1:] {
				c := throwAt(sheet.Proposals, film, release)
				found(t, c, "another throw of the clip", &others)
				t.Logf("%s: with its first throw marked, throw %d %v", name, i+2, c)
			}
		})
	}
	for _, group := range []struct {
		name string
		in   []throwIn
	}{{"before any mark", before}, {"marked, again on the same film", sameFilm}, {"marked, on another film", otherFilm}, {"marked, the clip's other throws", others}} {
		proposed, right, sure, found := 0, 0, 0, 0
		for _, c := range group.in {
			if c.proposal != nil {
				proposed++
			}
			if c.right() {
				right++
			}
			if c.rep() {
				sure++
			}
			if c.found() {
				found++
			}
		}
		t.Logf("%s: %d throws, %d proposed, %d within %d frames or as many as is said, %d surely reps, %d releases found from a mark", group.name, len(group.in), proposed, right, wellFound, sure, found)
	}
	t.Logf("%d films without a throw: %d sure reps, %d asked about; of all films %d asked whether they are slowed, %d too short to tell", without, sureWithout, askedWithout, slowed, short)
}
