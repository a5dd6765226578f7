package shelf

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"io"
	"os"
	"path"
	"path/filepath"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/clip"
	"tenoff/internal/disk"
	"tenoff/internal/film"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// States of a clip's row.
const (
	rendering = "rendering"
	ready     = "ready"
)

// made is the files of a finished clip, by their keys.
type made struct {
	Film string `json:"film"`
	VTT  string `json:"vtt"`
	SRT  string `json:"srt"`
}

func madeFrom(c store.Clip) (made, error) {
	var m made
	if c.Made == "" {
		return m, bullpen.Errorf(bullpen.NotFound, "This clip is not made yet.")
	}
	return m, json.Unmarshal([]byte(c.Made), &m)
}

// Render is the handler of the jobs of Kind: it renders the clip that is the job's
// subject, showing what is true now. The files of an earlier rendering stay until
// the new ones are there; a cancelled or failed one leaves nothing.
func (s *Shelf) Render(ctx context.Context, job store.Job, progress func(done float64)) error {
	c, err := s.store.Clip(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // taken off the shelf before its turn came
	}
	if err != nil {
		return err
	}
	sc, err := s.scene(ctx, c, map[string]judged.Bullpen{})
	if err != nil {
		return err
	}
	digest, err := sc.digest()
	if err != nil {
		return err
	}
	c.FileName = sc.name()
	if c.Made != "" && c.Shows == digest { // what was changed was changed back
		c.State, c.Problem = ready, ""
		return s.store.SaveClip(ctx, c)
	}
	c.State = rendering
	if err := s.store.SaveClip(ctx, c); err != nil {
		return err
	}
	c.Shows = digest
	return s.render(ctx, c, sc, progress)
}

// render makes the files of a scene and puts them in place of what the clip was.
func (s *Shelf) render(ctx context.Context, c store.Clip, sc scene, progress func(float64)) error {
	here, done := s.here(ctx)
	defer done()
	plan, err := sc.plan(here, s.motion(ctx))
	if err != nil {
		return err
	}
	desk, err := s.files.TempDir()
	if err != nil {
		return err
	}
	defer disk.RemoveAll(desk)
	if err := clip.Run(ctx, plan, filepath.Join(desk, filmName), progress); err != nil {
		return err
	}
	for name, write := range map[string]func(io.Writer, []caption.Cue) error{vttName: caption.WriteVTT, srtName: caption.WriteSRT} {
		var b bytes.Buffer
		if err := write(&b, plan.Cues); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(desk, name), b.Bytes(), 0o600); err != nil {
			return err
		}
	}
	c.Seconds, c.ReleaseAt = plan.Length.Seconds(), plan.Release.Seconds()
	// It is made: a stop that comes now changes nothing about that.
	return s.keep(context.WithoutCancel(ctx), c, desk)
}

// here says where on this machine the files lie that films are cut from; they stay until
// done is called.
func (s *Shelf) here(ctx context.Context) (where func(store.Film) (string, film.Cut, error), done func()) {
	var all []func()
	where = func(f store.Film) (string, film.Cut, error) {
		key, cut, err := s.cutting(ctx, f)
		if err != nil {
			return "", cut, err
		}
		path, done, err := s.files.Local(ctx, key)
		all = append(all, done)
		return path, cut, err
	}
	return where, func() {
		for _, done := range all {
			done()
		}
	}
}

// The names of a finished clip's files.
const (
	filmName = "clip.mp4"
	vttName  = "clip.vtt"
	srtName  = "clip.srt"
)

// named is the key of one of them by its name.
func (m made) named(name string) string {
	return map[string]string{filmName: m.Film, vttName: m.VTT, srtName: m.SRT}[name]
}

// fromDesk takes a file in from a desk under a key, and returns its SHA-256 in hex too.
func (s *Shelf) fromDesk(ctx context.Context, desk string) func(name, key string) (blob.Info, string, error) {
	return func(name, key string) (blob.Info, string, error) {
		path := filepath.Join(desk, name)
		f, err := os.Open(path)
		if err != nil {
			return blob.Info{}, "", err
		}
		digest := sha256.New()
		_, err = io.Copy(digest, f)
		f.Close() // only read from; Windows moves no file that is open
		if err != nil {
			return blob.Info{}, "", err
		}
		sum := hex.EncodeToString(digest.Sum(nil))
		info, err := s.files.Adopt(ctx, key, path, sum)
		return info, sum, err
	}
}

// adopt takes the files of a finished clip in, each by its name as take does. The files are
// to be discarded when nothing comes to name them, after an error too.
func (s *Shelf) adopt(ctx context.Context, clipID string, take func(name, key string) (info blob.Info, sum string, err error)) (names string, files []store.File, err error) {
	// Every rendering has a folder of its own: what lies under a key never changes.
	folder := "clips/" + clipID + "/" + store.NewFilmID() + "/"
	m := made{Film: folder + filmName, VTT: folder + vttName, SRT: folder + srtName}
	text, err := json.Marshal(m)
	if err != nil {
		return "", nil, err
	}
	if err := s.store.Expect(ctx, m.Film, m.VTT, m.SRT); err != nil {
		return "", nil, err
	}
	files = []store.File{{Key: m.Film}, {Key: m.VTT}, {Key: m.SRT}}
	for i, f := range files {
		info, sum, err := take(path.Base(f.Key), f.Key)
		if err != nil {
			return "", files, err
		}
		files[i].Bytes, files[i].Sum = info.Size, sum
	}
	return string(text), files, nil
}

// keep takes the files on the desk in, and lets go of those they replace.
func (s *Shelf) keep(ctx context.Context, c store.Clip, desk string) error {
	m, files, err := s.adopt(ctx, c.ID, s.fromDesk(ctx, desk))
	kept := false
	defer func() {
		if !kept {
			s.discard(ctx, files)
		}
	}()
	if err != nil {
		return err
	}
	c.Made, c.Bytes = m, files[0].Bytes
	loose, err := s.store.FinishClip(ctx, c, files)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // taken off the shelf meanwhile
	}
	if err != nil {
		return err
	}
	kept = true
	s.discard(ctx, loose)
	return nil
}
