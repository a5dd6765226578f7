package server

import (
	"context"
	"fmt"
	"strings"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// little is how much room on the disk is worth a word, bytes.
const little = 2 << 30

func (s *Server) doctor(ctx context.Context, _ *struct{}) (wire.Doctor, error) {
	out, err := Tools(ctx)
	if err != nil {
		return out, err
	}
	data, err := Data(ctx, s.deps.Store, s.deps.Blobs)
	out.Checks = append(out.Checks, data...)
	out.OK = allWell(out.Checks)
	return out, err
}

// Tools looks at the programs this machine needs for the job.
func Tools(ctx context.Context) (wire.Doctor, error) {
	box, err := film.Tools(ctx)
	if err != nil {
		return wire.Doctor{}, err
	}
	checks := []wire.Check{
		found("ffmpeg", box.FFmpeg),
		found("ffprobe", box.FFprobe),
		{Name: "what ffmpeg can do", OK: true, Found: "everything the job needs"},
	}
	for _, lack := range box.Lacks {
		at := 2
		for i, c := range checks[:2] {
			if !c.OK && c.Todo == "" && strings.HasPrefix(lack, c.Name) {
				at = i
				break
			}
		}
		c := &checks[at]
		c.OK, c.Found, c.Todo = false, "something is missing", strings.TrimSpace(c.Todo+" "+lack)
	}
	return wire.Doctor{Checks: checks, OK: allWell(checks)}, nil
}

func found(name, version string) wire.Check {
	return wire.Check{Name: name, OK: version != "", Found: version}
}

// Data looks at a data folder: whether the database answers, whether every file it
// names is there, and whether there are files it does not name.
func Data(ctx context.Context, st *store.Store, blobs *blob.Store) ([]wire.Check, error) {
	if err := st.Ping(ctx); err != nil {
		return []wire.Check{{Name: "database", Found: "no answer", Todo: bullpen.MessageOf(err)}}, nil
	}
	room, err := roomCheck(blobs)
	if err != nil {
		return nil, err
	}
	missing, stray, strayBytes, err := compare(ctx, st, blobs)
	if err != nil {
		return nil, err
	}
	files := wire.Check{Name: "files", OK: len(missing) == 0, Found: "every file is there"}
	if !files.OK {
		files.Found = fmt.Sprintf("%d files are missing, for instance %s", len(missing), missing[0])
		files.Todo = "Bring them back from a backup, or delete the films and clips they belong to."
	}
	strays := wire.Check{Name: "stray files", OK: len(stray) == 0, Found: "none"}
	if !strays.OK {
		strays.Found = fmt.Sprintf("%d files (%d MB) belong to nothing, for instance %s", len(stray), strayBytes>>20, stray[0])
		strays.Todo = "They can be deleted by hand while tenoff is not running."
	}
	return []wire.Check{{Name: "database", OK: true, Found: "answers"}, room, files, strays}, nil
}

func roomCheck(blobs *blob.Store) (wire.Check, error) {
	free, err := blobs.Free()
	if err != nil {
		return wire.Check{}, err
	}
	c := wire.Check{Name: "room on the disk", OK: free >= little, Found: fmt.Sprintf("%.1f GB free", float64(free)/1e9)}
	if !c.OK {
		c.Todo = "Make room: a long film takes half as much again as its own size."
	}
	return c, nil
}

// compare returns what is named and not there, and what is there and not named.
func compare(ctx context.Context, st *store.Store, blobs *blob.Store) (missing, stray []string, strayBytes int64, err error) {
	// The disk first: what is stored meanwhile is named later, and so is no stray.
	there, err := blobs.List("")
	if err != nil {
		return nil, nil, 0, err
	}
	named, err := st.NamedFiles(ctx)
	if err != nil {
		return nil, nil, 0, err
	}
	loose, err := st.LooseFiles(ctx)
	if err != nil {
		return nil, nil, 0, err
	}
	known := map[string]bool{}
	for _, f := range loose {
		known[f.Key] = true // on its way, or about to go
	}
	for _, f := range named {
		known[f.Key] = true
		if _, err := blobs.Stat(f.Key); bullpen.CodeOf(err) == bullpen.NotFound {
			missing = append(missing, f.Key)
		} else if err != nil {
			return nil, nil, 0, err
		}
	}
	for _, f := range there {
		if !known[f.Key] {
			stray = append(stray, f.Key)
			strayBytes += f.Size
		}
	}
	return missing, stray, strayBytes, nil
}

func allWell(checks []wire.Check) bool {
	for _, c := range checks {
		if !c.OK {
			return false
		}
	}
	return true
}
