package shelf

import (
	"context"
	"errors"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// Send makes the draft of a homework the answer that its slip's page shows, with copies
// of its clips: what was sent stays what it was when a clip is made again. shown is what
// the page shows beside. The clips have to be made, and to show what is true now where
// they can be made again: of an original that is not kept any more they can't.
func (s *Shelf) Send(ctx context.Context, h bullpen.Homework, shown *bullpen.Shown) error {
	var copies []store.ClipCopy
	var files []store.File
	sent := false
	defer func() {
		if !sent {
			s.discard(ctx, files)
		}
	}()
	for _, id := range h.Draft.ClipIDs {
		e, err := s.Entry(ctx, id)
		switch {
		case err != nil:
			return err
		case !e.Made || e.State != ready:
			return bullpen.Errorf(bullpen.Unavailable, "The clip “%s” is not ready yet; send the reply when it is.", e.FileName)
		case e.Stale && s.canBeMadeAgain(ctx, e.Clip):
			return bullpen.Errorf(bullpen.Conflict, "Something that the clip “%s” shows has changed since it was made; make it again, then send the reply.", e.FileName)
		}
		c, err := s.copyOf(ctx, e.Clip)
		files = append(files, c.Files...)
		if err != nil {
			return err
		}
		copies = append(copies, c)
	}
	_, loose, err := s.store.SendReply(ctx, h, shown, copies)
	if err != nil {
		return err
	}
	sent = true
	s.discard(ctx, loose)
	return nil
}

// CopyAnswers copies, in every academy, the clips of answers that were sent before
// copies were kept, as they are now: from here on what was sent stays what it is. Of a
// clip that is gone there is no copy. Done again, or after it broke off, it does what is
// left to do.
func (s *Shelf) CopyAnswers(ctx context.Context) error {
	return s.store.InEach(ctx, func(ctx context.Context) error {
		old, err := s.store.UncopiedAnswers(ctx)
		errs := []error{err}
		for _, h := range old {
			errs = append(errs, s.copyAnswer(ctx, h))
		}
		return errors.Join(errs...)
	})
}

func (s *Shelf) copyAnswer(ctx context.Context, h bullpen.Homework) error {
	var copies []store.ClipCopy
	var files []store.File
	kept := false
	defer func() {
		if !kept {
			s.discard(ctx, files)
		}
	}()
	for _, id := range h.Sent.ClipIDs {
		c, err := s.store.Clip(ctx, id)
		if bullpen.CodeOf(err) == bullpen.NotFound || err == nil && c.Made == "" {
			continue
		}
		if err != nil {
			return err
		}
		out, err := s.copyOf(ctx, c)
		files = append(files, out.Files...)
		if errors.Is(err, error(store.ErrMadeAgain)) {
			continue // its files are lost
		}
		if err != nil {
			return err
		}
		copies = append(copies, out)
	}
	if len(copies) == 0 {
		return nil
	}
	err := s.store.CopyAnswer(ctx, h, copies)
	kept = err == nil
	return err
}

// Sent returns the clip that went with a homework's answer for one on the shelf: its
// copy, or, of an answer from before copies were kept, itself.
func (s *Shelf) Sent(ctx context.Context, h bullpen.Homework, clipID string) (store.Clip, error) {
	if h.Sent.Copies == nil {
		return s.store.Clip(ctx, clipID)
	}
	return s.store.SentClip(ctx, h.ID, h.Sent.Copies[clipID])
}

// SentFile opens the film of a clip that went with a homework's answer, see Sent.
func (s *Shelf) SentFile(ctx context.Context, h bullpen.Homework, clipID string) (blob.File, store.Clip, error) {
	c, err := s.Sent(ctx, h, clipID)
	return s.open(ctx, c, err, func(m made) string { return m.Film })
}

// SentVTT opens its captions for the page.
func (s *Shelf) SentVTT(ctx context.Context, h bullpen.Homework, clipID string) (blob.File, store.Clip, error) {
	c, err := s.Sent(ctx, h, clipID)
	return s.open(ctx, c, err, func(m made) string { return m.VTT })
}

// canBeMadeAgain reports whether the originals of a clip's films are there.
func (s *Shelf) canBeMadeAgain(ctx context.Context, c store.Clip) bool {
	sc, err := s.scene(ctx, c, map[string]judged.Bullpen{})
	if err != nil {
		return true // what it shows was taken out: it is no longer to be sent
	}
	for _, x := range sc.shots {
		if _, _, err := s.cutting(ctx, x.film); err != nil {
			return false
		}
	}
	return true
}

// copyOf copies the files of a finished clip. They take no room twice.
func (s *Shelf) copyOf(ctx context.Context, c store.Clip) (store.ClipCopy, error) {
	out := store.ClipCopy{ID: store.NewClipID(), Of: c.ID, Was: c.Made}
	m, err := madeFrom(c)
	if err != nil {
		return out, err
	}
	out.Made, out.Files, err = s.adopt(ctx, out.ID, func(name, key string) (blob.Info, string, error) {
		from := m.named(name)
		sum, err := s.files.Sum(ctx, from)
		if err != nil {
			return blob.Info{}, "", err
		}
		info, err := s.files.Copy(ctx, from, key)
		return info, sum, err
	})
	if bullpen.CodeOf(err) == bullpen.NotFound {
		err = store.ErrMadeAgain
	}
	return out, err
}
