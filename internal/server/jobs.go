package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
)

func (s *Server) jobRoutes() {
	serve(s, op("listJobs", http.MethodGet, "/api/jobs", "Jobs that are queued, running or failed"), s.listJobs)
	serve(s, answering(http.StatusOK, op("cancelJob", http.MethodPost, "/api/jobs/{id}/cancel", "Stop a job")), s.cancelJob)
	serve(s, answering(http.StatusOK, op("retryJob", http.MethodPost, "/api/jobs/{id}/retry", "Try a failed or cancelled job again")), s.retryJob)
}

func (s *Server) listJobs(context.Context, *struct{}) (wire.JobList, error) {
	return wire.JobList{}, notYet()
}

func (s *Server) cancelJob(context.Context, *byID) (wire.Job, error) { return wire.Job{}, notYet() }
func (s *Server) retryJob(context.Context, *byID) (wire.Job, error)  { return wire.Job{}, notYet() }
