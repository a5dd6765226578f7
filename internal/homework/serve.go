package homework

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"net/url"
	"strings"

	"github.com/tus/tusd/v2/pkg/handler"

	"tenoff/internal/bullpen"
	"tenoff/internal/intake"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// Pass is what an open slip opens.
type Pass struct {
	Slip     bullpen.Slip
	Homework bullpen.Homework
	Academy  string
	Language texts.Language // that it is read in
}

type passKey struct{}

// ServeHTTP answers a request of the tus protocol under Base for whoever holds p.
// Uploads of another homework are not found.
func (h *Homework) ServeHTTP(w http.ResponseWriter, r *http.Request, p Pass) {
	rest := strings.Trim(strings.TrimPrefix(r.URL.Path, strings.TrimSuffix(Base, "/")), "/")
	if rest != "" && Of(rest) != p.Homework.ID {
		w.WriteHeader(http.StatusNotFound)
		return
	}
	turn := newTurn(w, r.Body)
	turn.upload, turn.why = rest, h.whyLetGo
	ctx := context.WithValue(store.Within(r.Context(), p.Academy), passKey{}, p)
	r = r.Clone(waiting(context.WithValue(ctx, turnKey{}, turn), unseen))
	r.Body = turn
	out := &relative{ResponseWriter: w, turn: turn, language: p.Language}
	if r.Method == http.MethodHead && rest != "" {
		if err := h.arrived(r.Context(), rest); err != nil {
			h.log.WarnContext(r.Context(), "an upload can't be taken in", "upload", rest, "err", err)
			out.refuse(err)
			return
		}
	}
	r.URL.Path = Base + rest
	for _, name := range []string{"X-HTTP-Method-Override", "Upload-Concat", "Forwarded", "X-Forwarded-Host", "X-Forwarded-Proto"} {
		r.Header.Del(name)
	}
	h.tus.ServeHTTP(out, r)
}

// arrived takes in an upload that came whole while its sender could not be told: a phone that
// asks how much of it is here hears that all is when it is a film, and not before.
func (h *Homework) arrived(ctx context.Context, id string) error {
	u, err := h.kept.upload(ctx, id)
	if errors.Is(err, fs.ErrNotExist) || err == nil && (u.taken || !u.whole()) {
		return nil // tusd says so
	}
	if err != nil {
		return err
	}
	return h.locked(ctx, id, func() error { return h.take(ctx, id) })
}

// sentenceHeader carries one of our sentences out of tusd.
const sentenceHeader = "X-Sentence"

// relative makes tusd's answers ours: the address of a new upload without a host,
// which a proxy may have changed, and errors as problem details (RFC 9457).
type relative struct {
	http.ResponseWriter
	turn     *turn
	language texts.Language
	refused  bool
}

// refuse answers with an error of ours.
func (w *relative) refuse(err error) {
	w.Header().Set(sentenceHeader, bullpen.MessageOf(err))
	w.WriteHeader(statusOf(err))
}

// Unwrap lets http.ResponseController reach the connection.
func (w *relative) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// WriteHeader implements http.ResponseWriter.
func (w *relative) WriteHeader(status int) {
	head := w.Header()
	w.turn.answer(head)
	if u, err := url.Parse(head.Get("Location")); err == nil && u.Host != "" {
		head.Set("Location", u.Path)
	}
	if status < http.StatusBadRequest {
		w.ResponseWriter.WriteHeader(status)
		return
	}
	w.refused = true
	sentence := head.Get(sentenceHeader)
	if sentence == "" {
		sentence = sentences[status]
	}
	if sentence == "" {
		sentence = "This upload can't go on; begin it again."
	}
	if status == http.StatusServiceUnavailable {
		head.Set("Retry-After", "5") // seconds
		if !texts.Knows(sentence) {  // what stands in the way is for whoever runs this to mend, and in the log
			sentence = "Films can't be stored at this moment. What has arrived stays; send it again in a few minutes."
		}
	}
	head.Del(sentenceHeader)
	head.Del("Content-Length")
	head.Set("Content-Type", "application/problem+json")
	w.ResponseWriter.WriteHeader(status)
	_ = json.NewEncoder(w.ResponseWriter).Encode(map[string]any{ // the phone may be gone; there is nobody else to tell
		"status": status, "title": http.StatusText(status), "detail": w.language.Given(sentence),
	})
}

// Write implements io.Writer; tusd's own words for an error are left out.
func (w *relative) Write(p []byte) (int, error) {
	if w.refused {
		return len(p), nil
	}
	return w.ResponseWriter.Write(p)
}

// sentences say what tusd's answers mean.
var sentences = map[int]string{
	http.StatusNotFound:              "There is no such upload any more; begin it again.",
	http.StatusConflict:              "Part of this film is here already; choose it again, and it goes on from there.",
	http.StatusRequestEntityTooLarge: "More was sent than the film is long; begin it again.",
	http.StatusPreconditionFailed:    "This page is out of date; load it again.",
}

// statusOf maps an error of ours to HTTP.
func statusOf(err error) int {
	switch bullpen.CodeOf(err) {
	case bullpen.Invalid:
		return http.StatusRequestEntityTooLarge // a phone does not try that again
	case bullpen.NotFound:
		return http.StatusNotFound
	case bullpen.Conflict:
		return http.StatusForbidden
	case bullpen.Unavailable:
		return http.StatusServiceUnavailable
	}
	return http.StatusInternalServerError
}

// begin lets an upload begin that fits into the slip's limits. When it does, it
// returns with h.create held, which NewUpload gives back.
func (h *Homework) begin(event handler.HookEvent) (_ handler.HTTPResponse, changes handler.FileInfoChanges, err error) {
	p, ok := event.Context.Value(passKey{}).(Pass)
	if !ok {
		return handler.HTTPResponse{}, changes, handler.ErrNotFound
	}
	if err := h.create.Lock(event.Context); err != nil {
		return handler.HTTPResponse{}, changes, refuse(err)
	}
	if err := h.fits(event.Context, p, event.Upload); err != nil {
		h.create.Unlock()
		return handler.HTTPResponse{}, changes, refuse(err)
	}
	changes.ID = p.Homework.ID + "-" + strings.ToLower(rand.Text())
	if t, ok := event.Context.Value(turnKey{}).(*turn); ok {
		t.given(changes.ID)
	}
	changes.MetaData = handler.MetaData{"filename": h.nameOf(event.Upload), "slip": p.Slip.ID}
	return handler.HTTPResponse{}, changes, nil
}

func (h *Homework) nameOf(info handler.FileInfo) string {
	return intake.CleanName(info.MetaData["filename"])
}

// fits refuses an upload that the slip has no room for.
func (h *Homework) fits(ctx context.Context, p Pass, info handler.FileInfo) error {
	name := h.nameOf(info)
	if info.Size <= 0 || info.SizeIsDeferred {
		return bullpen.Errorf(bullpen.Invalid, "“%s” is empty; choose another film.", name)
	}
	if _, err := h.store.Homework(ctx, p.Homework.ID); err != nil { // deleted a moment ago
		return err
	}
	if _, _, err := h.store.OpenSlipByID(ctx, p.Slip.ID); err != nil { // closed a moment ago
		return err
	}
	films, err := h.store.Films(ctx, p.Homework.BullpenID)
	if err != nil {
		return err
	}
	plain := make([]bullpen.Film, len(films))
	for i, f := range films {
		plain[i] = f.Film
	}
	used, err := h.Used(ctx, p.Homework.ID, plain)
	if err != nil {
		return err
	}
	switch {
	case used.Files >= p.Slip.MaxFiles:
		return bullpen.Errorf(bullpen.Invalid, "This homework takes %d films and has them; ask your instructor for room.", p.Slip.MaxFiles)
	case info.Size > p.Slip.MaxBytes-used.Bytes:
		return bullpen.Errorf(bullpen.Invalid, "“%s” is too large: %d MB are left for this homework. Send a shorter film, or ask your instructor for room.",
			name, max(p.Slip.MaxBytes-used.Bytes, 0)/1e6)
	}
	return h.kept.room(name, info.Size)
}

// finish takes in an upload that has come whole.
func (h *Homework) finish(event handler.HookEvent) (handler.HTTPResponse, error) {
	if t, ok := event.Context.Value(turnKey{}).(*turn); ok {
		t.whole()
	}
	err := h.take(event.Context, event.Upload.ID)
	if err != nil {
		h.log.WarnContext(event.Context, "an upload can't be taken in", "upload", event.Upload.ID, "err", err)
		return handler.HTTPResponse{}, refuse(err)
	}
	return handler.HTTPResponse{}, nil
}

// take makes an upload that is whole a film of its homework, if its slip is still
// open; else it is removed. Done twice, it does no harm: a bullpen has a film once. Where the
// storage does not find yet what it put together the upload stays, and is taken in later, by
// Sweep if nobody asks.
func (h *Homework) take(ctx context.Context, id string) error {
	err := h.takeSeen(ctx, id)
	if errors.Is(err, errUnseen) {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "Your film has arrived and is being taken in; look again in a minute.", Err: err}
	}
	return err
}

// takeSeen is take, of what the storage finds.
func (h *Homework) takeSeen(ctx context.Context, id string) error {
	u, err := h.kept.upload(ctx, id)
	if errors.Is(err, fs.ErrNotExist) && !errors.Is(err, errUnseen) {
		return errGivenUp
	}
	if err != nil || u.taken || !u.whole() {
		return err
	}
	ctx, homework, err := h.whose(context.WithoutCancel(ctx), id)
	if err == nil {
		_, _, err = h.store.OpenSlipByID(ctx, u.info.MetaData["slip"])
		if bullpen.CodeOf(err) == bullpen.NotFound {
			err = h.another(ctx, homework.ID)
		}
	}
	if bullpen.CodeOf(err) == bullpen.NotFound {
		_ = h.kept.drop(ctx, id) // what stays is swept later
		return err
	}
	if err != nil {
		return err
	}
	return h.kept.take(ctx, u, homework.BullpenID)
}

// whose returns the homework of an upload, and ctx within the academy that it is in now: its
// pitcher may have moved since the upload began.
func (h *Homework) whose(ctx context.Context, id string) (context.Context, bullpen.Homework, error) {
	homework, academy, err := h.store.HomeworkAnywhere(ctx, Of(id))
	return store.Within(ctx, academy), homework, err
}

// came notes that the film of an upload is here.
func (h *Homework) came(ctx context.Context, u upload) error {
	return h.store.FilmCame(ctx, Of(u.id))
}

// another says NotFound unless the homework has a slip that is open: one that was
// replaced while a film was on its way.
func (h *Homework) another(ctx context.Context, homeworkID string) error {
	slips, err := h.store.Slips(ctx, homeworkID)
	if err != nil {
		return err
	}
	for _, s := range slips {
		if s.Open(h.now().UnixMicro()) {
			return nil
		}
	}
	return bullpen.Errorf(bullpen.NotFound, "This link opens nothing. Ask your instructor for a new one.")
}
