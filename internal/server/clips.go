package server

import (
	"context"
	"net/http"

	"github.com/gin-gonic/gin"

	"tenoff/internal/server/wire"
)

func (s *Server) clipRoutes() {
	serve(s, answering(http.StatusAccepted, op("makeClips", http.MethodPost, "/api/bullpens/{id}/clips", "Make clips of all reps or of some")), s.makeClips)
	serve(s, answering(http.StatusAccepted, op("makePair", http.MethodPost, "/api/pairs", "Make a side by side of two reps")), s.makePair)
	serve(s, op("getClip", http.MethodGet, "/api/clips/{id}", "One clip"), s.getClip)
	serve(s, op("removeClip", http.MethodDelete, "/api/clips/{id}", "Take a clip off the shelf"), s.removeClip)
	s.stream(op("getClipFile", http.MethodGet, "/api/clips/{id}/file.mp4", "The finished clip, by ranges"), "video/mp4", s.getClipFile)
	s.stream(op("getClipVtt", http.MethodGet, "/api/clips/{id}/captions.vtt", "Its captions as WebVTT"), "text/vtt", s.getClipVTT)
	s.stream(op("getClipSrt", http.MethodGet, "/api/clips/{id}/captions.srt", "Its captions as SRT"), "application/x-subrip", s.getClipSRT)
	s.stream(op("downloadClips", http.MethodGet, "/api/bullpens/{id}/clips.zip", "All finished clips with their captions and the reps as CSV"), "application/zip", s.downloadClips)
	s.stream(op("exportCsv", http.MethodGet, "/api/bullpens/{id}/reps.csv", "The reps as CSV (RFC 4180, UTF-8)"), "text/csv", s.exportCSV)
	s.stream(op("exportJson", http.MethodGet, "/api/bullpens/{id}/reps.json", "The reps as JSON, with the CSV's columns"), "application/json", s.exportJSON)
}

func (s *Server) makeClips(context.Context, *to[wire.NewClips]) (wire.ClipList, error) {
	return wire.ClipList{}, notYet()
}

func (s *Server) makePair(context.Context, *sent[wire.NewPair]) (wire.Clip, error) {
	return wire.Clip{}, notYet()
}

func (s *Server) getClip(context.Context, *byID) (wire.Clip, error) { return wire.Clip{}, notYet() }

func (s *Server) removeClip(context.Context, *byID) (wire.Removed, error) {
	return wire.Removed{}, notYet()
}

func (s *Server) getClipFile(*gin.Context) error   { return notYet() }
func (s *Server) getClipVTT(*gin.Context) error    { return notYet() }
func (s *Server) getClipSRT(*gin.Context) error    { return notYet() }
func (s *Server) downloadClips(*gin.Context) error { return notYet() }
func (s *Server) exportCSV(*gin.Context) error     { return notYet() }
func (s *Server) exportJSON(*gin.Context) error    { return notYet() }
