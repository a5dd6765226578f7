package server

import (
	"context"
	"net/http"

	"tenoff/internal/jobs"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// jobList is the long work that waits, runs or failed.
type jobList struct {
	queue *jobs.Queue
	store *store.Store
}

func (j jobList) routes(s *Server) {
	serve(s, op("listJobs", http.MethodGet, "/api/jobs", "Jobs that are queued, running or failed"), j.listJobs)
	serve(s, answering(http.StatusOK, op("cancelJob", http.MethodPost, "/api/jobs/{id}/cancel", "Stop a job")), j.cancelJob)
	serve(s, answering(http.StatusOK, op("retryJob", http.MethodPost, "/api/jobs/{id}/retry", "Try a failed or cancelled job again")), j.retryJob)
}

func (j jobList) listJobs(ctx context.Context, _ *struct{}) (wire.JobList, error) {
	open, err := j.store.Jobs(ctx, "")
	return wire.JobList{Jobs: jobsOf(open)}, err
}

func (j jobList) cancelJob(ctx context.Context, in *byID) (wire.Job, error) {
	job, err := j.queue.Cancel(ctx, in.ID)
	return jobOf(job), err
}

func (j jobList) retryJob(ctx context.Context, in *byID) (wire.Job, error) {
	job, err := j.queue.Retry(ctx, in.ID)
	return jobOf(job), err
}

func jobsOf(all []store.Job) []wire.Job {
	out := make([]wire.Job, len(all))
	for i, j := range all {
		out[i] = jobOf(j)
	}
	return out
}

func jobOf(j store.Job) wire.Job {
	return wire.Job{
		ID: j.ID, Kind: j.Kind, Subject: j.Subject, BullpenID: j.BullpenID, State: string(j.State),
		Progress: j.Progress, Problem: j.Problem, Attempts: j.Attempts, Created: j.Created,
	}
}
