package server

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// academy is what the owner sees of everybody's use of what all share. She sees no pitcher
// and no film of another instructor.
type academy struct {
	store *store.Store
	blobs *blob.Store
}

func (x academy) routes(s *Server) {
	serve(s, op("getAcademy", http.MethodGet, "/api/academy", "Who uses how much of disk and processor, what waits and what failed; the owner's to see"), x.getAcademy)
}

func (x academy) getAcademy(ctx context.Context, _ *struct{}) (out wire.Academy, err error) {
	uses, err := x.store.Uses(ctx, homework.KeepSetting, []string{intake.Kind, intake.LongKind})
	if err != nil {
		return out, err
	}
	out.Uses, out.Queue = make([]wire.Use, len(uses)), []wire.Waiting{}
	for i, u := range uses {
		keep, _ := strconv.Atoi(u.Keep) // what is no number keeps them, as nothing does
		out.Uses[i] = wire.Use{
			Name: u.Name, Owner: u.Owner, Pitchers: u.Pitchers, Bullpens: u.Bullpens, Films: u.Films, Bytes: u.Bytes,
			Waiting: u.Waiting, Failed: u.Failed, Refused: u.Refused, FilmsRead: u.FilmsRead,
			Processor: u.Processor.Seconds(), ProcessorBefore: u.Before.Seconds(), KeepDays: keep,
		}
	}
	queues, err := x.store.Queues(ctx)
	if err != nil {
		return out, err
	}
	for _, q := range queues {
		out.Queue = append(out.Queue, wire.Waiting{Kind: q.Kind, State: string(q.State), Jobs: q.Jobs, Oldest: q.Oldest.Round(time.Second).Seconds()})
	}
	out.Bucket = x.blobs.InBucket()
	out.Free, err = x.blobs.Free()
	return out, err
}
