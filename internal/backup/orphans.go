package backup

import (
	"context"
	"strings"

	"tenoff/internal/blob"
	"tenoff/internal/store"
)

// Orphans is where files and rows don't agree.
type Orphans struct {
	Files []blob.Info  // on the disk, and nothing knows of them
	Alien []blob.Info  // those of Files that are of films and clips this database knows nothing of: it may be the wrong one
	Rows  []store.File // named by a film or a clip, and not on the disk or of another size
}

// FindOrphans compares the files on the disk with those that the database names. It can
// run while others work: what is just arriving or just being removed is no orphan.
func FindOrphans(ctx context.Context, s *store.Store, blobs *blob.Store) (Orphans, error) {
	// Rows are written before their files' names appear and go after they went, so
	// the list of the disk is taken between two of the rows.
	before, err := s.AllFiles(ctx)
	if err != nil {
		return Orphans{}, err
	}
	disk, err := blobs.List(ctx, "")
	if err != nil {
		return Orphans{}, err
	}
	after, err := s.AllFiles(ctx)
	if err != nil {
		return Orphans{}, err
	}
	var o Orphans
	sizes := map[string]int64{}
	known := map[string]bool{} // films and clips
	for key := range after {
		known[owner(key)] = true
	}
	for _, f := range disk {
		sizes[f.Key] = f.Size
		_, was := before[f.Key]
		_, is := after[f.Key]
		if !was && !is {
			o.Files = append(o.Files, f)
			if !known[owner(f.Key)] {
				o.Alien = append(o.Alien, f)
			}
		}
	}
	named, err := s.NamedFiles(ctx)
	if err != nil {
		return Orphans{}, err
	}
	for _, f := range named {
		if _, was := before[f.Key]; !was {
			continue // it came while we looked
		}
		if size, there := sizes[f.Key]; !there || size != f.Bytes {
			o.Rows = append(o.Rows, f)
		}
	}
	return o, nil
}

// owner returns the part of a file's key that names its film or clip.
func owner(key string) string {
	parts := strings.SplitN(key, "/", 3)
	return strings.Join(parts[:min(2, len(parts))], "/")
}
