package shelf

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/clip"
	"tenoff/internal/disk"
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
	plan, err := sc.plan(s.cutting, s.motion)
	if err != nil {
		return err
	}
	desk, err := s.files.Desk()
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

// The names of a finished clip's files.
const (
	filmName = "clip.mp4"
	vttName  = "clip.vtt"
	srtName  = "clip.srt"
)

// adopt takes the files of a finished clip in from a desk. The files are to be
// discarded when nothing comes to name them, after an error too.
func (s *Shelf) adopt(ctx context.Context, clipID, desk string) (names string, files []store.File, err error) {
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
		info, err := s.files.Adopt(f.Key, filepath.Join(desk, path.Base(f.Key)))
		if err != nil {
			return "", files, err
		}
		files[i].Bytes = info.Size
		if files[i].Sum, err = s.files.Sum(f.Key); err != nil {
			return "", files, err
		}
	}
	return string(text), files, nil
}

// keep takes the files on the desk in, and lets go of those they replace.
func (s *Shelf) keep(ctx context.Context, c store.Clip, desk string) error {
	m, files, err := s.adopt(ctx, c.ID, desk)
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
