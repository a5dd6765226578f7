package server

import (
	"context"
	"fmt"
	"strings"

	"tenoff/internal/backup"
	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/homework"
	"tenoff/internal/joints"
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
	data, err := Data(ctx, s.deps.Store, s.deps.Blobs, s.deps.Homework)
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
	if box.FFmpeg == "" {
		checks[2] = wire.Check{Name: checks[2].Name, Found: "not known without ffmpeg"}
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
	return wire.Doctor{Checks: append(checks, jointsCheck()), OK: allWell(checks)}, nil
}

// jointsCheck says whether joints are found in films here. Nothing needs them, so it is
// well without.
func jointsCheck() wire.Check {
	_, lack := joints.FindKit()
	if lack != "" {
		return wire.Check{Name: "joints", OK: true, Found: "not looked for in films", Todo: lack}
	}
	return wire.Check{Name: "joints", OK: true, Found: "looked for in films"}
}

func found(name, version string) wire.Check {
	return wire.Check{Name: name, OK: version != "", Found: version}
}

// Data looks at a data folder: whether the database answers, whether every file it
// names is there, and whether there are files it does not name, uploads included.
func Data(ctx context.Context, st *store.Store, blobs *blob.Store, uploads *homework.Homework) ([]wire.Check, error) {
	if err := st.Ping(ctx); err != nil {
		return []wire.Check{{Name: "database", Found: "no answer", Todo: bullpen.MessageOf(err)}}, nil
	}
	room, err := roomCheck(blobs)
	if err != nil {
		return nil, err
	}
	orphans, err := backup.FindOrphans(ctx, st, blobs)
	if err != nil {
		return nil, err
	}
	files := wire.Check{Name: "files", OK: len(orphans.Rows) == 0, Found: "every file is there"}
	if !files.OK {
		files.Found = fmt.Sprintf("%d files are missing or not whole, for instance %s", len(orphans.Rows), orphans.Rows[0].Key)
		files.Todo = "Bring them back from a backup, or delete the films and clips they belong to."
	}
	strays := wire.Check{Name: "stray files", OK: len(orphans.Files) == 0, Found: "none"}
	switch {
	case len(orphans.Alien) > 0:
		strays.Found = fmt.Sprintf("%d files belong to films or clips that this database does not know, for instance %s", len(orphans.Alien), orphans.Alien[0].Key)
		strays.Todo = "Keep them: the database may be an older or a newer one than they are. If films are missing, bring your latest backup back into a new place with `tenoff restore`."
	case !strays.OK:
		strays.Found = fmt.Sprintf("%d files are left over from films and clips that are here, for instance %s", len(orphans.Files), orphans.Files[0].Key)
		strays.Todo = "They can be deleted by hand while tenoff is not running."
	}
	lost, err := uploads.Strays(ctx)
	if err != nil {
		return nil, err
	}
	arriving := wire.Check{Name: "uploads", OK: len(lost) == 0, Found: "each belongs to a homework"}
	if !arriving.OK {
		arriving.Found = fmt.Sprintf("%d files belong to no homework, for instance %s", len(lost), lost[0])
		arriving.Todo = "They go by themselves within the hour while tenoff runs."
	}
	return []wire.Check{{Name: "database", OK: true, Found: "answers"}, room, files, strays, arriving}, nil
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

func allWell(checks []wire.Check) bool {
	for _, c := range checks {
		if !c.OK {
			return false
		}
	}
	return true
}
