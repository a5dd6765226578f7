package shelf

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/clip"
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
	sc, err := s.scene(ctx, c, map[string]Board{})
	if err != nil {
		return err
	}
	digest, err := sc.digest()
	if err != nil {
		return err
	}
	c.FileName = sc.name()
	if c.Made == "" || c.Shows != digest {
		c.State = rendering
		if err := s.store.SaveClip(ctx, c); err != nil {
			return err
		}
		if err := s.render(ctx, &c, sc, digest, progress); err != nil {
			return err
		}
	}
	c.State, c.Problem = ready, ""
	return s.publish(ctx, c)
}

// render makes the files of a scene and names them in c.
func (s *Shelf) render(ctx context.Context, c *store.Clip, sc scene, digest string, progress func(float64)) error {
	plan, err := sc.plan(s.cutting)
	if err != nil {
		return err
	}
	desk, err := s.files.Desk()
	if err != nil {
		return err
	}
	defer os.RemoveAll(desk)
	key := func(ext string) string { return folder(c.ID) + "/" + digest + ext }
	m := made{Film: key(".mp4"), VTT: key(".vtt"), SRT: key(".srt")}
	if err := clip.Run(ctx, plan, filepath.Join(desk, "clip.mp4"), progress); err != nil {
		return err
	}
	for name, write := range map[string]func(io.Writer, []caption.Cue) error{"clip.vtt": caption.WriteVTT, "clip.srt": caption.WriteSRT} {
		var b bytes.Buffer
		if err := write(&b, plan.Cues); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(desk, name), b.Bytes(), 0o600); err != nil {
			return err
		}
	}
	for name, key := range map[string]string{"clip.mp4": m.Film, "clip.vtt": m.VTT, "clip.srt": m.SRT} {
		info, err := s.adopt(key, filepath.Join(desk, name))
		if err != nil {
			return err
		}
		if key == m.Film {
			c.Bytes = info.Size
		}
	}
	files, err := json.Marshal(m)
	if err != nil {
		return err
	}
	c.Made, c.Shows = string(files), digest
	c.Seconds, c.ReleaseAt = plan.Length.Seconds(), plan.Release.Seconds()
	return nil
}

// adopt takes a file in, over what an attempt that was cut short left there: it
// was of the same scene.
func (s *Shelf) adopt(key, path string) (blob.Info, error) {
	if err := s.files.Delete(key); err != nil {
		return blob.Info{}, err
	}
	return s.files.Adopt(key, path)
}

// publish stores that the clip is there, then removes what it was before.
func (s *Shelf) publish(ctx context.Context, c store.Clip) error {
	// It is made: a stop that comes now changes nothing about that.
	ctx = context.WithoutCancel(ctx)
	err := s.store.SaveClip(ctx, c)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		_, err := s.files.DeleteTree(folder(c.ID)) // taken off the shelf meanwhile
		return err
	}
	if err != nil {
		return err
	}
	files, err := s.files.List(folder(c.ID))
	if err != nil {
		return err
	}
	for _, f := range files {
		if !strings.HasPrefix(f.Key, folder(c.ID)+"/"+c.Shows) {
			if err := s.files.Delete(f.Key); err != nil {
				return err
			}
		}
	}
	return nil
}
