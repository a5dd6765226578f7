package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) jobRoutes() {
	serve(s, op("listJobs", http.MethodGet, "/api/jobs", "Jobs that are queued, running or failed"), s.listJobs)
	serve(s, answering(http.StatusOK, op("cancelJob", http.MethodPost, "/api/jobs/{id}/cancel", "Stop a job")), s.cancelJob)
	serve(s, answering(http.StatusOK, op("retryJob", http.MethodPost, "/api/jobs/{id}/retry", "Try a failed or cancelled job again")), s.retryJob)
}

func (s *Server) listJobs(ctx context.Context, _ *struct{}) (wire.JobList, error) {
	jobs, err := s.deps.Store.Jobs(ctx, "")
	return wire.JobList{Jobs: jobsOf(jobs)}, err
}

func (s *Server) cancelJob(ctx context.Context, in *byID) (wire.Job, error) {
	job, err := s.deps.Jobs.Cancel(ctx, in.ID)
	return jobOf(job), err
}

func (s *Server) retryJob(ctx context.Context, in *byID) (wire.Job, error) {
	job, err := s.deps.Jobs.Retry(ctx, in.ID)
	return jobOf(job), err
}

func jobsOf(jobs []store.Job) []wire.Job {
	out := make([]wire.Job, len(jobs))
	for i, j := range jobs {
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
